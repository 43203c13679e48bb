"""A stored weighing is one for each session and settings, found by everything it rests on or not at all."""

import sqlite3

import pytest

from evaluation.archive import documents, schema, session_list, sessions, weighings
from evaluation.archive.connection import open_archive
from evaluation.entry import Draft

RULES = 7
INPUTS, OTHER = "1" * 64, "2" * 64


@pytest.fixture
def tables(archive):
    return documents.keep(archive, "settings", "weighing.toml", b"grade = 1")


@pytest.fixture
def put(archive, session_id, tables, now):
    def put(revision, result="{}", settings=tables, inputs=INPUTS, named=(), rules=RULES, **verdicts):
        return weighings.put(
            archive,
            session_id,
            settings,
            inputs=inputs,
            rules=rules,
            revision=revision,
            named=named,
            now=now,
            result=result,
            verdicts={use.replace("_", " "): word for use, word in verdicts.items()},
            disagree=2,
        )

    return put


@pytest.fixture
def listed(archive, tables):
    """Verdict of the session as a list shows it, None where it is out of date."""

    def listed(rules=RULES, settings=tables):
        (head, *_) = session_list.heads(archive, order="newest", settings=settings, rules=rules)[::-1]
        return None if head.stale else head.verdict

    return listed


def test_a_weighing_comes_back_as_it_was_stored(archive, session_id, tables, put):
    assert put(0, '{"grade": 4.25, "why": "–"}', general="accepted")
    assert weighings.get(archive, session_id, tables, INPUTS) == '{"grade": 4.25, "why": "–"}'


def test_without_a_weighing_there_is_none(archive, session_id, tables):
    assert weighings.get(archive, session_id, tables, INPUTS) is None
    assert weighings.disagreeing(archive, session_id, tables, RULES) is None


def test_a_weighing_of_any_other_inputs_is_not_found(archive, session_id, tables, put):
    put(0)
    assert weighings.get(archive, session_id, tables, OTHER) is None
    put(0, '{"again": 1}', inputs=OTHER)
    assert weighings.get(archive, session_id, tables, INPUTS) is None
    assert weighings.get(archive, session_id, tables, OTHER) == '{"again": 1}'


@pytest.mark.parametrize(
    "damage", ["UPDATE weighing SET result = '{\"grade\": 5}'", "UPDATE weighing SET result = x'7bff7d'"]
)
def test_a_damaged_weighing_is_not_found(archive, session_id, tables, put, damage):
    put(0, '{"grade": 4}')
    archive.connection.execute("PRAGMA ignore_check_constraints = ON")
    archive.connection.execute(damage.replace("x'7bff7d'", "CAST(x'7bff7d' AS TEXT)"))
    assert weighings.get(archive, session_id, tables, INPUTS) is None


def test_the_next_weighing_takes_the_place_of_the_one_before(put, listed):
    put(0, general="accepted", portrait="undecided")
    put(0, '{"again": 1}', general="not accepted")
    assert listed() == "not accepted"


def test_a_late_weighing_does_not_replace_a_newer_one(archive, session_id, tables, put):
    put(5, '{"new": 1}')
    assert not put(4, '{"old": 1}', inputs=OTHER)
    assert weighings.get(archive, session_id, tables, INPUTS) == '{"new": 1}'


def test_other_settings_have_a_weighing_of_their_own(archive, session_id, tables, put, listed):
    stricter = documents.keep(archive, "settings", "weighing.toml", b"grade = 2")
    put(0, general="accepted")
    put(0, settings=stricter, general="undecided")
    assert (listed(), listed(settings=stricter)) == ("accepted", "undecided")


# What a list can tell without the inputs -----------------------------------------------------------------


def test_a_list_shows_no_verdict_of_a_session_that_changed(archive, session_id, tables, put, say, listed):
    put(0, general="accepted")
    assert listed() == "accepted"
    assert weighings.disagreeing(archive, session_id, tables, RULES) == 2
    say(Draft("condition", "paper", "Rag"))
    assert listed() is None
    assert weighings.disagreeing(archive, session_id, tables, RULES) is None
    put(1, general="accepted")
    assert listed() == "accepted"


def test_a_list_shows_no_verdict_of_other_rules(archive, session_id, tables, put, listed):
    put(0, general="accepted")
    assert listed(rules=RULES + 1) is None
    assert weighings.disagreeing(archive, session_id, tables, RULES + 1) is None


def test_a_list_shows_no_verdict_once_a_named_session_changed(archive, sheet_digest, now, put, listed):
    named = sessions.create(archive, sheet_digest=sheet_digest, now=now)
    put(0, named=[(named, 0, False)], general="accepted")
    assert listed() == "accepted"
    session_list.remove(archive, named, now)
    assert listed() is None, "it was removed"
    put(0, named=[(named, 0, True)], general="undecided")
    assert listed() == "undecided", "weighed while it was removed"
    session_list.restore(archive, named)
    assert listed() is None, "it came back"
    put(0, named=[(named, 3, False)], general="accepted")
    assert listed() is None, "it stands at another revision"
    put(0, named=[(99, 0, False)], general="accepted")
    assert listed() is None, "there is none of that number"


def test_a_list_is_shown_whatever_became_of_what_was_named(archive, put, listed):
    put(0, general="accepted")
    archive.connection.execute("PRAGMA ignore_check_constraints = ON")
    archive.connection.execute("UPDATE weighing SET named = '[[1,'")
    assert listed() is None


# From an earlier version ---------------------------------------------------------------------------------


def test_results_that_were_kept_by_fewer_inputs_are_let_go_and_nothing_else(tmp_path):
    path = tmp_path / "earlier.db"
    with sqlite3.connect(path, isolation_level=None) as earlier:
        schema.upgrade(earlier, schema.scripts()[:2])
        digest = "a" * 64
        earlier.execute("INSERT INTO document VALUES (?, 'sheet', '', 0, x'')", (digest,))
        earlier.execute(
            "INSERT INTO session (uid, sheet, created, touched) VALUES (?, ?, ?, ?)",
            ("u" * 32, digest, "2026-01-05T00:00:00.000+00:00", "2026-01-05T00:00:00.000+00:00"),
        )
        earlier.execute("INSERT INTO weighing VALUES (1, ?, 0, '0.1.0', '', 0, '{}')", (digest,))
        earlier.execute("INSERT INTO verdict VALUES (1, ?, 'general', 'accepted')", (digest,))
    earlier.close()
    with open_archive(path) as archive:
        (head,) = session_list.heads(archive, settings=digest, rules=RULES)
        assert (head.uid, head.verdict) == ("u" * 32, None)
        assert archive.rows("SELECT * FROM weighing") == archive.rows("SELECT * FROM verdict") == []
