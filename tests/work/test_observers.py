"""Several observers of one print: what each graded, all of them as one, and what stays hidden meanwhile."""

import shutil

import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.errors import UsageProblem
from evaluation.said import Draft, encoded
from evaluation.session import Grade
from evaluation.telling import observers as words
from evaluation.work.bench import Bench
from evaluation.work.look import look
from evaluation.work.say import say
from evaluation.work.weigh import aside, observers_document, people, weigh
from evaluation.work.weigh.observers import observers


@pytest.fixture
def at(demo_archive, tmp_path):
    shutil.copy(demo_archive, tmp_path / "archive.db")
    with open_archive(tmp_path / "archive.db") as archive:
        yield Bench(archive)


def viewing(at, session, observer, grades):
    """A viewing with grades of whole regions, in the order of the sheet; none where there is a dot."""
    begun = look.start(at, session, observer=observer, kind="full")
    names = ("neutral", "ring", "shadow", "highlight", "skin", "saturation", "gradient", "detail", "tints")
    drafts = [
        Draft("answer", f"{region}/overall", encoded(Grade(int(grade))), begun.id)
        for region, grade in zip(names, grades, strict=False)
        if grade != "."
    ]
    say(at, session, drafts)


def test_each_observer_has_a_column_and_all_of_them_a_grade_with_its_interval(at):
    viewing(at, 6, "first", "544343542")
    viewing(at, 6, "second", "544453543")
    viewing(at, 6, "third", "433342431")
    found = observers(at, 6)
    assert found.roles == ("observer 1", "observer 2", "observer 3") and len(found.regions) == 9
    tints = found.regions[-1]
    assert tints.grades == (2.0, 3.0, 1.0) and tints.pooled.grade == 2.0 and tints.pooled.observers == 3
    assert found.leans.of[2].named and found.lean_of[2] is found.leans.of[2] and found.leans.of[2].by < -0.3
    told = observers_document.told(found)
    assert told[1] == (
        "Observer 2 grades 0.5 kinder than all on average (± 0.1); "
        "observer 3 grades 0.6 harsher than all on average (± 0.1)."
    )
    assert any("fewer than 20 grades" in line for line in told) and any("BT.500" in line for line in told)
    document = observers_document.document(found)
    assert [one["named"] for one in document["observers"]] == [False, True, True]
    low, high = document["regions"][0]["interval"]
    assert low < document["regions"][0]["grade"] < high


def test_whoever_looks_now_sees_no_grade_of_others_before_the_own(at):
    viewing(at, 6, "first", "544")
    viewing(at, 6, "second", "5.3")
    found = observers(at, 6)
    assert [one.region for one in found.regions] == ["neutral", "shadow"]
    assert len(found.waiting) == 1 and found.partial == ()
    assert f"Hidden until the newest viewing has graded them: {found.waiting[0]}." in observers_document.told(
        found
    )
    viewing(at, 6, "third", "543")
    assert len(observers(at, 6).partial) == 1


def test_answers_unlike_the_others_are_named_and_of_two_nobodys(at):
    viewing(at, 6, "first", "544343542")
    viewing(at, 6, "second", "151525125")
    told = " ".join(observers_document.told(observers(at, 6)))
    assert "of two nobody can say whose: look again together" in told
    viewing(at, 6, "third", "544353542")
    told = " ".join(observers_document.told(observers(at, 6)))
    assert "Observer 2: answers unlike the others'. Look again together; nobody was left out." in told
    assert len(observers(at, 6).regions[0].grades) == 3


def test_one_observer_is_compared_with_nobody(at):
    viewing(at, 6, "first", "544")
    viewing(at, 6, "first", "543")
    with pytest.raises(UsageProblem, match=r"Found: 1\. Nobody was compared"):
        observers(at, 6)


def test_a_viewing_set_aside_keeps_its_column_and_the_result_is_given_both_ways(at):
    viewing(at, 6, "first", "554543543")
    viewing(at, 6, "second", "222322212")
    viewing(at, 6, "third", "545543443")
    before = weigh.weigh(at, 6)
    for ordinal, reason, wrong in ((7, "tired", "a viewing of session 6: 1 to 3"), (0, "x", "Found: 0")):
        with pytest.raises(UsageProblem, match=wrong):
            aside.set_aside(at, 6, ordinal, reason)
    aside.set_aside(at, 6, 2, " looked in daylight ")
    found, after = observers(at, 6), weigh.weigh(at, 6)
    assert found.roles == ("observer 1", "observer 2", "observer 3") and found.aside == (False, True, False)
    neutral = found.regions[0]
    assert neutral.grades == (5, 2, 5) and neutral.pooled.grade == 5 and neutral.all_in.grade == 4
    assert found.lean_of[1] is None and found.unlike[1] is None and found.lean_of[2] is not None
    table = words.table(found)
    assert table.heads[2:] == ("observer 2 (aside)", "observer 3", "together (95 %)", "with all in")
    assert after.revision > before.revision and after.findings[0].eye.grade == 5
    assert after.findings[0].eye.observers == ("observer 1", "observer 3")  # roles stay
    assert after.caveats[0] == "Viewing 2, observer 2, is set aside: “looked in daylight”."
    assert after.caveats[1].startswith("With it in: ") and "by eye 4.0 in place of 5.0" in after.caveats[1]
    aside.set_aside(at, 6, 3, "as well")  # the newest: the gate stays as it was
    assert weigh.weigh(at, 6).findings[0].eye.observers == ("observer 1",)
    counting = sessions.load(at.archive, 6).counting()
    assert [one.ordinal for one in counting.viewings] == [1]  # none that counts is newer
    with pytest.raises(UsageProblem, match="viewing 1 alone"):
        aside.set_aside(at, 6, 1, "and this")
    for ordinal in (2, 3):
        aside.set_aside(at, 6, ordinal, "")
    again = weigh.weigh(at, 6)
    assert again.findings == before.findings and again.caveats == before.caveats


def test_colour_vision_is_that_of_whoever_looked_after_it_was_entered(at):
    found = observers(at, 3)
    assert [one.prints for one in found.people] == [5, 1, 1]
    assert (
        found.people[0].colour_vision and found.people[1].colour_vision == found.people[2].colour_vision == ""
    )
    assert "Observer 1: 5 prints seen, colour vision plates" in words.people(
        found.roles, [(one.prints, one.colour_vision) for one in found.people]
    )
    from evaluation.work.describe import prepare

    prepare.say_detail(at, 3, "colour_vision", "an anomaloscope")
    viewing(at, 3, "observer 2", "")
    assert people.person(at, "observer 2").colour_vision == "an anomaloscope"
    assert people.person(at, "observer 3").colour_vision == ""
