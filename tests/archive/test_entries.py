"""What was said is kept in order, counts until it is undone, and is undone one key press at a time."""

from dataclasses import replace
from datetime import timedelta

import pytest

from evaluation.archive import entries, session_list, sessions
from evaluation.entry import ENTRY_KINDS, Draft, encoded
from evaluation.errors import UsageProblem
from evaluation.session import Cast, Count, Grade, Pick, Place, YesNo


def paper(value):
    return Draft("condition", "paper", value)


def grade(number, viewing, subject="skin/overall"):
    return Draft("answer", subject, encoded(Grade(number)), viewing)


def values(recorded):
    return [(said.entry.value, said.live) for said in recorded]


def test_what_was_said_is_there_after_the_archive_is_opened_again(archive, session_id, say, now):
    from evaluation.archive.connection import open_archive

    say(paper("Brackmoor Rag 293"))
    archive.close()
    with open_archive(archive.path) as again:
        assert sessions.load(again, session_id).condition.paper == "Brackmoor Rag 293"


def test_the_entries_that_come_back_are_the_ones_that_were_stored(archive, session_id, say):
    made = say(paper("Rag"), Draft("readiness", "dry", {"mark": "done", "detail": {"hours": 24.5}}))
    assert tuple(said.entry for said in entries.history(archive, session_id)) == made


def test_nothing_said_changes_nothing(archive, session_id, say, load):
    before = load()
    assert say() == ()
    assert load() == before


@pytest.mark.parametrize(
    "value",
    [
        Grade(1),
        Count(0),
        Cast((("dark", "blue", "just"), ("light", "none", None))),
        Pick((12, 47), None),
        Pick((), "yellow"),
        Place((("magenta", 17), ("tint", None))),
        YesNo(False),
    ],
)
def test_every_kind_of_answer_comes_back_as_it_was_given(say, load, viewing_id, now, value):
    say(Draft("answer", "skin/q", encoded(value), viewing_id))
    answer = load().viewing.answers["skin", "q"]
    assert (answer.value, answer.at, answer.after_reveal) == (value, now, False)


@pytest.mark.parametrize("kind", ENTRY_KINDS)
def test_every_kind_of_entry_has_its_place_in_the_table(say, viewing_id, kind):
    value = {
        "readiness": {"mark": "done"},
        "timer": "2024-03-02T14:00:00+00:00",
        "answer": encoded(YesNo(True)),
        "fault": {"where": "left"},
        "readings": "out",
        "attachment": {"digest": "0" * 64, "caption": ""},
        "written": {"file": "a.html"},
    }.get(kind, "x")
    viewing = viewing_id if kind in ("answer", "fault", "again", "reveal", "remark", "attachment") else None
    (entry,) = say(Draft(kind, "1" if kind == "readings" else "skin/q", value, viewing))
    assert (entry.kind, entry.value, entry.viewing) == (kind, value, viewing)


def test_null_withdraws_what_was_said(say, load):
    say(paper("Rag"))
    say(paper(None))
    assert load().condition.paper == ""


def test_undo_returns_what_stood_before_and_redo_what_stood_after(say, undo, redo, load):
    say(paper("Rag"))
    say(paper("Lustre"))
    before = load()
    assert [entry.value for entry in undo()] == ["Lustre"]
    assert load().condition.paper == "Rag"
    assert [entry.value for entry in redo()] == ["Lustre"]
    assert replace(load(), revision=0) == replace(before, revision=0)


def test_many_steps_back_and_forth(say, undo, redo, load):
    names = [f"paper {number}" for number in range(5)]
    for name in names:
        say(paper(name))
    assert [undo()[0].value for _ in names] == names[::-1]
    assert undo() == ()
    assert [redo()[0].value for _ in names] == names
    assert redo() == ()
    assert load().condition.paper == names[-1]


def test_entries_of_one_key_press_are_undone_and_redone_together(say, undo, redo, load):
    say(paper("Rag"), Draft("condition", "printer", "Merrowby 24"))
    assert len(undo()) == 2
    assert (load().condition.paper, load().condition.printer) == ("", "")
    assert len(redo()) == 2
    assert (load().condition.paper, load().condition.printer) == ("Rag", "Merrowby 24")


def test_a_new_entry_puts_what_was_undone_beyond_redo(archive, session_id, say, undo, redo):
    say(paper("Rag"))
    undo()
    say(paper("Lustre"))
    assert redo() == ()
    assert values(entries.history(archive, session_id)) == [("Rag", False), ("Lustre", True)]


def test_what_was_overtaken_stays_so_when_the_newer_entry_is_undone_too(say, undo, redo, load):
    say(paper("Rag"))
    undo()
    say(paper("Lustre"))
    undo()
    assert [entry.value for entry in redo()] == ["Lustre"]
    assert redo() == ()


def test_undo_steps_over_a_reveal_which_stays(say, undo, load, viewing_id):
    say(grade(4, viewing_id))
    say(Draft("reveal", "skin", True, viewing_id))
    assert [entry.kind for entry in undo(viewing_id)] == ["answer"]
    assert undo(viewing_id) == ()
    assert list(load().viewing.revealed) == ["skin"]


def test_a_reveal_stands_alone_in_its_action(say, load, viewing_id):
    with pytest.raises(ValueError, match="reveal"):
        say(grade(4, viewing_id), Draft("reveal", "skin", True, viewing_id))
    assert load().viewing.answers == {}


def test_several_regions_are_revealed_in_one_action(say, load, viewing_id):
    say(Draft("reveal", "skin", True, viewing_id), Draft("reveal", "neutral", True, viewing_id))
    assert set(load().viewing.revealed) == {"skin", "neutral"}


def test_undo_never_reaches_into_the_viewing_of_another_observer(
    archive, session_id, say, undo, redo, load, viewing_id, now, summarise
):
    say(paper("Rag"))
    say(grade(4, viewing_id))
    second = sessions.start_viewing(archive, session_id, "observer 2", "full", ["skin"], now, summarise).id
    say(grade(2, second))
    assert [entry.viewing for entry in undo(second)] == [second]
    assert [entry.kind for entry in undo(second)] == ["condition"]
    assert undo(second) == ()
    assert [entry.viewing for entry in undo(viewing_id)] == [viewing_id]


def test_redo_brings_back_what_was_undone_last_across_viewings(
    archive, session_id, say, undo, redo, viewing_id, now, summarise
):
    say(grade(4, viewing_id))
    second = sessions.start_viewing(archive, session_id, "observer 2", "full", ["skin"], now, summarise).id
    say(paper("Rag"))
    say(grade(2, second))
    assert [entry.kind for entry in undo(viewing_id)] == ["condition"]
    assert [entry.viewing for entry in undo(second)] == [second]
    assert [entry.viewing for entry in undo(viewing_id)] == [viewing_id]
    assert [entry.viewing for entry in redo(second)] == [second]
    assert [entry.kind for entry in redo(second)] == ["condition"]
    assert [entry.viewing for entry in redo(viewing_id)] == [viewing_id]


def test_outside_look_only_what_was_said_outside_is_undone(say, undo, viewing_id):
    say(paper("Rag"))
    say(grade(4, viewing_id))
    assert [entry.kind for entry in undo(None)] == ["condition"]
    assert undo(None) == ()


def test_history_tells_what_counts_and_what_does_not(archive, session_id, say, undo):
    say(paper("Rag"))
    say(paper("Lustre"))
    undo()
    assert values(entries.history(archive, session_id)) == [("Rag", True), ("Lustre", False)]


def test_the_row_of_the_session_changes_with_its_entries(archive, say, undo, redo):
    say(paper("Rag"))
    assert session_list.heads(archive)[0].summary.paper == "Rag"
    undo()
    assert session_list.heads(archive)[0].summary.paper == ""
    redo()
    assert session_list.heads(archive)[0].summary.paper == "Rag"


def test_every_change_a_weighing_rests_on_raises_the_revision(say, undo, redo, load):
    at_first = load().revision
    say(paper("Rag"))
    undo()
    redo()
    assert load().revision == at_first + 3


@pytest.mark.parametrize(
    ("kind", "subject", "value"),
    [
        ("remark", "describe", "a little cockle"),
        ("written", "0" * 64, {"file": "a.html"}),
        ("timer", "adaptation", "2024-03-02T14:00:00+00:00"),
        ("attachment", "skin/cast", {"digest": "0" * 64, "caption": ""}),
    ],
)
def test_what_is_said_beside_the_evaluation_leaves_weighings_true(say, undo, load, kind, subject, value):
    at_first = load().revision
    say(Draft(kind, subject, value))
    undo()
    assert load().revision == at_first


def test_what_no_session_can_hold_is_refused_whole(archive, session_id, say, load, viewing_id):
    say(paper("Rag"))
    before = load()
    with pytest.raises(ValueError, match="not an answer"):
        say(paper("Lustre"), Draft("answer", "skin/q", {"grade": "four"}, viewing_id))
    with pytest.raises(ValueError, match="JSON"):
        say(paper(float("nan")))
    assert load() == before
    assert len(entries.history(archive, session_id)) == 1


def test_an_unknown_session_is_refused_in_a_sentence(archive, now, summarise):
    for act in (
        lambda: entries.say(archive, 9, [paper("Rag")], now, summarise),
        lambda: entries.undo(archive, 9, None, now, summarise),
        lambda: entries.redo(archive, 9, None, now, summarise),
        lambda: entries.history(archive, 9),
    ):
        with pytest.raises(UsageProblem, match="No session goes by 9"):
            act()


def test_moments_are_kept_in_utc_and_need_a_zone(archive, session_id, now, summarise):
    from datetime import timezone

    local = now.astimezone(timezone(timedelta(hours=5, minutes=30)))
    (entry,) = entries.say(archive, session_id, [paper("Rag")], local, summarise)
    assert (entry.at, entry.at.utcoffset()) == (now, timedelta(0))
    with pytest.raises(ValueError, match="time zone"):
        entries.say(archive, session_id, [paper("Rag")], now.replace(tzinfo=None), summarise)


def test_verbs_put_together_by_a_caller_become_one_change(archive, session_id, load, now, summarise):
    with pytest.raises(RuntimeError, match="changed my mind"), archive.transaction():
        entries.say(archive, session_id, [paper("Rag")], now, summarise)
        raise RuntimeError("changed my mind")
    assert load().condition.paper == ""
