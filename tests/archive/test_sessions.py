"""Sessions are made, found by what people call them, listed in windows, and loaded whole."""

import contextlib
import re
import sqlite3
from datetime import timedelta

import pytest

from evaluation.archive import (
    documents,
    entries,
    health,
    runs,
    schema,
    session_list,
    sessions,
    weighings,
)
from evaluation.archive.connection import open_archive
from evaluation.entry import Draft, encoded
from evaluation.errors import UsageProblem
from evaluation.session import Grade, PrintingCondition, Session, Summary

PAPERS = ("Lustre 247", "Baryta 322", "Rag 293", "Ærø 100")


@pytest.fixture
def four(archive, sheet_digest, now, summarise):
    """Sessions 1 to 4, a minute apart, each on a paper of its own."""
    for number, paper in enumerate(PAPERS):
        at = now + timedelta(minutes=number)
        made = sessions.create(archive, sheet_digest=sheet_digest, now=at)
        drafts = [Draft("condition", "paper", paper), Draft("condition", "printer", "Merrowby 24")]
        entries.say(archive, made, drafts, at, summarise)
    return archive


def numbers(heads):
    return [head.id for head in heads]


def test_a_new_session_is_empty(archive, session_id, sheet_digest, now, load):
    made = load()
    assert made == Session(session_id, made.uid, sheet_digest, now, 0, PrintingCondition())


def test_a_session_remembers_where_it_was_copied_from(archive, session_id, sheet_digest, now):
    copy = sessions.create(archive, sheet_digest=sheet_digest, now=now, copied_from=session_id)
    assert sessions.load(archive, copy).copied_from == session_id
    with pytest.raises(UsageProblem):
        sessions.create(archive, sheet_digest=sheet_digest, now=now, copied_from=99)


def test_an_unknown_session_is_told_in_a_sentence(archive):
    with pytest.raises(UsageProblem, match="No session goes by 7"):
        sessions.load(archive, 7)


def test_a_session_at_hand_is_not_read_again_until_something_that_weighs_was_said(
    archive, session_id, say, load
):
    at_hand = load()
    assert sessions.current(archive, session_id, at_hand) is at_hand
    say(Draft("condition", "paper", "Rag 293"))
    assert sessions.current(archive, session_id, at_hand) == load() != at_hand
    assert sessions.current(archive, session_id) == load()


def test_a_session_at_hand_of_another_number_is_never_taken(archive, session_id, sheet_digest, now, load):
    other = sessions.create(archive, sheet_digest=sheet_digest, now=now)
    assert sessions.current(archive, other, load()).id == other
    with pytest.raises(UsageProblem, match="No session goes by 7"):
        sessions.current(archive, 7, load())


# Finding -----------------------------------------------------------------------------------------------


def test_a_session_is_found_by_its_number(archive, session_id):
    assert sessions.find(archive, f" {session_id} ") == session_id


def test_a_session_is_found_by_the_beginning_of_its_name(archive, session_id, load):
    assert sessions.find(archive, load().uid) == session_id
    assert sessions.find(archive, load().uid[:4]) in (session_id,)


@pytest.mark.parametrize(
    "reference", ["", "7", "-1", "1.0", "abc", "zzzz", "1 2", "%", "[/a]", "9" * 40, "²"]
)
def test_what_names_no_session_is_told_in_a_sentence(archive, session_id, reference):
    with pytest.raises(UsageProblem, match="No session goes by"):
        sessions.find(archive, reference)


def test_an_ambiguous_name_is_told_in_a_sentence(archive, sheet_digest):
    for end in "ab":
        archive.connection.execute(
            "INSERT INTO session (uid, sheet, created, touched) VALUES (?, ?, '', '')",
            ("beef" + end * 28, sheet_digest),
        )
    with pytest.raises(UsageProblem, match="2 sessions begin with beef"):
        sessions.find(archive, "beef")
    assert sessions.find(archive, "beefb") == 2


def test_a_removed_session_is_not_found_until_it_is_restored(archive, session_id, now, load):
    uid = load().uid
    session_list.remove(archive, session_id, now)
    with pytest.raises(UsageProblem, match="Session 1 was removed"):
        sessions.find(archive, "1")
    with pytest.raises(UsageProblem, match="No session"):
        sessions.find(archive, uid)
    session_list.restore(archive, session_id)
    assert sessions.find(archive, "1") == sessions.find(archive, uid) == session_id


# Listing -----------------------------------------------------------------------------------------------


def test_the_newest_session_comes_first(four):
    assert numbers(session_list.heads(four)) == [4, 3, 2, 1]


@pytest.mark.parametrize(
    ("order", "expected"),
    [
        ("newest", [4, 3, 2, 1]),
        ("touched", [2, 4, 3, 1]),
        ("paper", [2, 1, 3, 4]),
        ("printer", [4, 3, 2, 1]),
        ("state", [4, 3, 2, 1]),
        ("printed", [4, 3, 2, 1]),
    ],
)
def test_the_list_has_several_orders(four, now, summarise, order, expected):
    entries.say(four, 2, [Draft("remark", "describe", "x")], now + timedelta(days=1), summarise)
    assert numbers(session_list.heads(four, order=order)) == expected


def test_the_list_comes_in_windows(four):
    assert numbers(session_list.heads(four, offset=1, limit=2)) == [3, 2]
    assert session_list.heads(four, offset=4, limit=2) == ()


@pytest.mark.parametrize(
    ("match", "expected"),
    [
        ("lustre", [1]),
        ("LUSTRE", [1]),
        ("merrowby 293", [3]),
        ("ærø", [4]),
        ("ÆRØ", [4]),
        ("r", [4, 3, 2, 1]),
        ("  ", [4, 3, 2, 1]),
        ("%", []),
        ("'; DROP TABLE session; --", []),
        ("describing", [4, 3, 2, 1]),
    ],
)
def test_the_list_is_narrowed_by_every_word(four, match, expected):
    assert numbers(session_list.heads(four, match=match)) == expected
    assert session_list.count(four, match=match) == len(expected)


def test_removed_sessions_are_not_listed_and_keep_everything(four, now):
    before = sessions.load(four, 3)
    session_list.remove(four, 3, now)
    assert numbers(session_list.heads(four)) == [4, 2, 1]
    assert session_list.count(four) == 3
    assert sessions.load(four, 3) == before
    session_list.restore(four, 3)
    assert numbers(session_list.heads(four)) == [4, 3, 2, 1]


def test_a_list_costs_what_it_shows_however_long_it_is(four, now, summarise):
    """Counted by the words that sessions go by, and read through an index, whatever is asked for."""
    asked = []
    four.connection.set_trace_callback(asked.append)
    few, paper = [], sessions.load(four, 4).condition.paper
    for order in ("newest", "touched", "printed", "paper", "printer", "state"):
        session_list.heads(four, order=order)
        few += numbers(session_list.heads(four, order=order, match=paper))
    assert session_list.count(four) == 4 and session_list.count(four, removed=True) == 0
    session_list.heads(four, removed=True)
    four.connection.set_trace_callback(None)
    assert few == [4] * 6 and len(asked) > 13
    for statement in filter(lambda each: each.strip().startswith("SELECT"), asked):
        steps = [row[3] for row in four.rows(f"EXPLAIN QUERY PLAN {statement}")]
        assert steps and not [step for step in steps if re.match(r"SCAN (s|session)\b(?!.* INDEX)", step)], (
            steps
        )
    # What was counted stays right, or `check` says so.
    entries.say(four, 1, [Draft("condition", "paper", paper)], now, summarise)
    session_list.remove(four, 4, now)
    assert session_list.count(four, match=paper) == session_list.count(four, match=paper, removed=True) == 1
    assert health.check(four).sound, health.check(four).troubles
    four.connection.execute("UPDATE session_words SET listed = 7 WHERE listed = 1")
    assert health.check(four).troubles == (
        "The list of sessions is counted wrongly: some may not be found by their words.",
    )


def test_an_archive_made_before_lists_were_counted_is_counted(four, now, tmp_path):
    session_list.remove(four, 2, now)
    with contextlib.closing(sqlite3.connect(tmp_path / "older.db", isolation_level=None)) as older:
        schema.upgrade(older, schema.scripts()[:8])
        columns = "uid, sheet, created, touched, removed, paper, words"
        older.execute("PRAGMA foreign_keys = OFF")
        found = four.rows(f"SELECT {columns} FROM session")
        older.executemany(f"INSERT INTO session ({columns}) VALUES (?, ?, ?, ?, ?, ?, ?)", found)
        older.execute("INSERT INTO document SELECT DISTINCT sheet, 'sheet', '', 0, x'' FROM session")
    with open_archive(tmp_path / "older.db") as brought:
        assert numbers(session_list.heads(brought)) == [4, 3, 1]
        assert session_list.count(brought) == 3 and not list(session_list.troubles(brought))


def test_a_line_of_the_list_has_all_of_the_summary(archive, session_id, now):
    shown = Summary(
        "Merrowby 24",
        "Rag 293",
        "profile, fine",
        now - timedelta(hours=1),
        "portrait",
        "looking",
        now + timedelta(hours=23),
        9,
        5,
        1,
    )
    at = now + timedelta(minutes=2)
    entries.say(archive, session_id, [Draft("remark", "describe", "x")], at, lambda session: shown)
    (head,) = session_list.heads(archive)
    assert (head.summary, head.created, head.touched) == (shown, now, at)


def weighed(archive, session_id, revision, now, settings, **words):
    weighings.put(
        archive,
        session_id,
        settings,
        inputs="0" * 64,
        rules=1,
        revision=revision,
        named=[],
        now=now,
        result="{}",
        verdicts=words,
        disagree=1,
    )


def test_a_line_shows_the_verdict_for_what_the_print_is_made_for(archive, session_id, now):
    settings = documents.keep(archive, "settings", "", b"")
    weighed(archive, session_id, 0, now, settings, general="undecided", portrait="accepted")

    def shown(**asked):
        (head,) = session_list.heads(archive, rules=1, **asked)
        return head.verdict, head.disagree, head.stale

    assert shown() == (None, 0, False)
    assert shown(settings="f" * 64) == (None, 0, False)
    assert shown(settings=settings) == ("undecided", 1, False)
    drafts = [Draft("condition", "made_for", "portrait")]
    entries.say(
        archive, session_id, drafts, now, lambda session: Summary(made_for=session.condition.made_for)
    )
    assert shown(settings=settings) == ("accepted", 1, True)


# Viewings and sheets -----------------------------------------------------------------------------------


def test_viewings_are_numbered_within_their_session(archive, session_id, sheet_digest, now, summarise, load):
    other = sessions.create(archive, sheet_digest=sheet_digest, now=now)
    for session, observer in ((session_id, "1"), (other, "1"), (session_id, "2")):
        sessions.start_viewing(archive, session, observer, "quick", ("skin",), now, summarise)
    assert [(viewing.ordinal, viewing.observer) for viewing in load().viewings] == [(1, "1"), (2, "2")]


def test_a_viewing_comes_back_as_it_was_begun(archive, session_id, sheet_digest, now, summarise, load):
    other = sessions.create(archive, sheet_digest=sheet_digest, now=now)
    begun = sessions.start_viewing(
        archive, session_id, "observer 1", "full", ("skin", "neutral"), now, summarise, reference=other
    )
    assert load().viewings == (begun,)
    assert (begun.region_order, begun.reference, begun.kind) == (("skin", "neutral"), other, "full")


def test_a_new_viewing_shows_in_the_list(archive, session_id, viewing_id, say, now, summarise):
    say(Draft("answer", "skin/overall", encoded(Grade(4)), viewing_id))
    assert session_list.heads(archive)[0].summary.looked == 1
    sessions.start_viewing(archive, session_id, "observer 2", "full", ("skin",), now, summarise)
    assert session_list.heads(archive)[0].summary.looked == 0


def test_the_sheet_may_change_until_something_rests_on_it(
    archive, session_id, viewing_id, say, undo, now, summarise, load
):
    mono = documents.keep(archive, "sheet", "mono.toml", b"format = 1\nmono = true\n")
    say(Draft("condition", "made_for", "black and white"))
    sessions.use_sheet(archive, session_id, mono, now, summarise)
    assert load().sheet_digest == mono
    say(Draft("answer", "skin/overall", encoded(Grade(4)), viewing_id))
    with pytest.raises(UsageProblem, match="keeps its sheet"):
        sessions.use_sheet(archive, session_id, mono, now, summarise)
    undo(viewing_id)
    sessions.use_sheet(archive, session_id, mono, now, summarise)


@pytest.mark.parametrize(
    ("kind", "subject", "value"),
    [("fault", "skin/cast", {"where": ""}), ("reveal", "skin", True), ("readings", "1", "in")],
)
def test_faults_reveals_and_readings_fix_the_sheet_too(
    archive, session_id, viewing_id, sheet_digest, say, now, summarise, a_run, kind, subject, value
):
    runs.keep(archive, session_id, [a_run], now)
    say(Draft(kind, subject, value, None if kind == "readings" else viewing_id))
    with pytest.raises(UsageProblem, match="keeps its sheet"):
        sessions.use_sheet(archive, session_id, sheet_digest, now, summarise)
