"""Several observers of one print: what each graded, all of them as one, and what stays hidden meanwhile."""

import shutil

import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.entry import Draft, encoded
from evaluation.errors import UsageProblem
from evaluation.judgement.observers.in_common import InCommon, in_common
from evaluation.session import Count, Grade, Pick
from evaluation.telling import observers as words
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.compare import compare
from evaluation.work.log import say
from evaluation.work.look import look
from evaluation.work.neutrality.neutrality import neutrality
from evaluation.work.weigh import curves, observers_document, people, set_aside, weigh
from evaluation.work.weigh.observers import observers
from evaluation.work.write_up import write_up


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
        "Observer 2 grades 0.5 kinder than the mean of all (± 0.1); "
        "observer 3 grades 0.6 harsher than the mean of all (± 0.1)."
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
    assert "with two there is no knowing whose are off: look again together" in told
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
    before, compared = weigh.weigh(at, 6), compare.worked_out(at, (6, 1)).difference("neutral", 1, 6)
    for ordinal, reason, wrong in ((7, "tired", "a viewing of session 6: 1 to 3"), (0, "x", "Found: 0")):
        with pytest.raises(UsageProblem, match=wrong):
            set_aside.set_aside(at, 6, ordinal, reason)
    set_aside.set_aside(at, 6, 2, " looked in daylight ")
    found, after = observers(at, 6), weigh.weigh(at, 6)
    heard = compare.worked_out(at, (6, 1)).difference("neutral", 1, 6)  # what was kept is not found any more
    assert (compared.graded[1], heard.graded[1]) == (4, 5) and heard.viewings[1] == compared.viewings[1] - 1
    assert found.roles == ("observer 1", "observer 2", "observer 3") and found.aside == (False, True, False)
    neutral = found.regions[0]
    assert neutral.grades == (5, 2, 5) and neutral.pooled.grade == 5 and neutral.all_in.grade == 4
    assert found.lean_of[1] is None and found.unlike[1] is None and found.lean_of[2] is not None
    table = words.table(found)
    assert table.heads[2:] == ("observer 2 (aside)", "observer 3", "together (95 %)", "with all in")
    assert [one.ordinal for one in sessions.load(at.archive, 6).counting().heard] == [1, 3]
    assert after.revision > before.revision and after.findings[0].eye.grade == 5
    assert after.findings[0].eye.observers == ("observer 1", "observer 3")  # roles stay
    assert after.caveats[0] == "Viewing 2, observer 2, is set aside: “looked in daylight”."
    assert after.caveats[1].startswith("With it in: ") and "by eye 4.0 in place of 5.0" in after.caveats[1]
    set_aside.set_aside(at, 6, 3, "as well")  # the newest: the gate stays as it was
    assert weigh.weigh(at, 6).findings[0].eye.observers == ("observer 1",)
    counting = sessions.load(at.archive, 6).counting()
    assert [one.ordinal for one in counting.viewings] == [1]  # none that counts is newer
    with pytest.raises(UsageProblem, match="viewing 1 alone"):
        set_aside.set_aside(at, 6, 1, "and this")
    for ordinal in (2, 3):
        set_aside.set_aside(at, 6, ordinal, "")
    again = weigh.weigh(at, 6)
    assert again.findings == before.findings and again.caveats == before.caveats
    assert compare.worked_out(at, (6, 1)).difference("neutral", 1, 6) == compared


def _facts(block, name):
    return [value for key, value in getattr(block, "rows", ()) if key == name]


def test_what_is_set_aside_is_read_by_nothing_that_is_made_of_the_session(at):
    """The ring picked, the first step counted, the print beside it, who looked: of viewings that count."""
    sheet = sheet_of(at, sessions.load(at.archive, 1))
    ring = next(region for region in sheet.regions if region.kind == "ring")
    number = int(next(patch for patch in sheet.patches if patch.region == ring.id).name)
    step = next(one.id for one in sheet.region("shadow").questions if one.pairs_with)

    def read():
        greys = neutrality(at, (1,)).prints[0].record
        figures = curves.of_region(at, 1, "shadow")
        column = compare.at_once(at, (1, 4)).columns[0]
        front = write_up.appendix(at, (1,), write_up.Choices("summary"))
        judged = next(rest for block in front.sections[0].blocks for rest in _facts(block, "Judged by"))
        return greys.rings, figures, column.beside, column.hours, judged

    before = read()
    begun = look.start(at, 1, observer="second", kind="full", reference=4)
    look.answer(at, 1, ring.id, "pick_dark", Pick((number,)))
    look.answer(at, 1, "shadow", step, Count(9))
    for region in ("neutral", "shadow", ring.id):
        look.answer(at, 1, region, "overall", Grade(1))
    changed = read()
    assert all(one != other for one, other in zip(before, changed, strict=True))
    set_aside.set_aside(at, 1, begun.ordinal, "tired")
    after = read()
    assert after == before
    session = sessions.load(at.archive, 1)
    assert [one.ordinal for one in session.counting().heard] == [one.ordinal for one in session.heard]


@pytest.mark.long
def test_prints_that_other_people_saw_are_named(at):
    assert in_common(1, {1: frozenset("ab"), 2: frozenset("ab"), 3: frozenset("a"), 4: frozenset("c")}) == (
        InCommon(1, (3,), (4,))
    )
    assert in_common(1, {1: frozenset("a"), 2: frozenset(), 3: frozenset("a")}).complete
    found = observers(at, 3)
    assert found.others.partly and not found.others.others
    assert (
        " only some observers with print 3: what observers lean by does not cancel between them."
        in " ".join(observers_document.told(found))
    )
    viewing(at, 4, "second", "54")
    set_aside.set_aside(at, 4, 1, "in daylight")
    told = compare.at_once(at, (4, 1, 5)).caveats[-1]
    assert told.startswith("Prints 1 and 5 were seen by others than print 4: what they differ by to the eye")
    assert compare.at_once(at, (1, 5)).caveats == compare.at_once(at, (4, 1, 5)).caveats[:-1]


@pytest.mark.long
def test_the_appendix_has_a_column_for_each_observer_by_role_or_by_name(at):
    viewing(at, 6, "Ann", "554543543")
    viewing(at, 6, "Bert", "222322212")
    viewing(at, 6, "Cleo", "545543443")
    set_aside.set_aside(at, 6, 3, "a cold")
    for naming, called, named in (("role", "observer 2", "observer 2"), ("name", "Bert", "Bert")):
        document = write_up.appendix(at, (6,), write_up.Choices("article", naming))
        (section,) = (one for one in document.sections if one.id == "session-6-observers")
        table, points = section.blocks
        assert table.heads[2] == called and table.heads[-2:] == ("with all in", "equal, within one grade")
        assert table.rows[0][-1] == "0 %, 0 %" and table.rows[-2][-1] == "0 %, 100 %"
        assert f"{named[0].upper()}{named[1:]} grades" in points.items[2] or named in " ".join(points.items)
        assert any("of two nobody can say whose" in one or "within one grade" in one for one in points.items)
        assert not any(one.title == "Viewings side by side" for one in document.sections)
        assert ("Ann" in str(document)) == (naming == "name")
    many = write_up.appendix(at, (1, 6), write_up.Choices("article"))
    assert [one.title for one in many.sections if "observers" in one.id] == ["Session 6: several observers"]


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
