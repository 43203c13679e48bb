"""A stored weighing is one for each session and settings, the newest, and knows when it is stale."""

import pytest

from evaluation.archive import documents, weighings
from evaluation.archive.weighings import Stored
from evaluation.said import Draft


@pytest.fixture
def tables(archive):
    return documents.keep(archive, "settings", "weighing.toml", b"grade = 1")


@pytest.fixture
def put(archive, session_id, tables, now):
    def put(revision, result="{}", settings=tables, **verdicts):
        return weighings.put(
            archive,
            session_id,
            settings,
            revision=revision,
            engine="0.1.0",
            now=now,
            result=result,
            verdicts={use.replace("_", " "): word for use, word in verdicts.items()},
            disagree=2,
        )

    return put


def test_a_weighing_comes_back_as_it_was_stored(archive, session_id, tables, put, now):
    assert put(0, '{"findings": []}', general="accepted", black_and_white="not accepted")
    expected = Stored(session_id, tables, 0, "0.1.0", now, 2, '{"findings": []}', False)
    assert weighings.get(archive, session_id, tables) == expected
    words = {"general": "accepted", "black and white": "not accepted"}
    assert weighings.verdicts(archive, session_id, tables) == words


def test_without_a_weighing_there_is_none(archive, session_id, tables):
    assert weighings.get(archive, session_id, tables) is None
    assert weighings.verdicts(archive, session_id, tables) == {}


def test_a_weighing_is_stale_once_something_else_was_said(archive, session_id, tables, put, say):
    put(0)
    say(Draft("condition", "paper", "Rag"))
    assert weighings.get(archive, session_id, tables).stale
    put(1)
    assert not weighings.get(archive, session_id, tables).stale


def test_the_next_weighing_takes_the_place_of_the_one_before(archive, session_id, tables, put):
    put(0, general="accepted", portrait="undecided")
    put(0, '{"again": 1}', general="not accepted")
    assert weighings.get(archive, session_id, tables).result == '{"again": 1}'
    assert weighings.verdicts(archive, session_id, tables) == {"general": "not accepted"}


def test_a_late_weighing_does_not_replace_a_newer_one(archive, session_id, tables, put):
    put(5, '{"new": 1}', general="accepted")
    assert not put(4, '{"old": 1}', general="undecided")
    assert weighings.get(archive, session_id, tables).result == '{"new": 1}'
    assert weighings.verdicts(archive, session_id, tables) == {"general": "accepted"}


def test_other_settings_have_a_weighing_of_their_own(archive, session_id, tables, put):
    stricter = documents.keep(archive, "settings", "weighing.toml", b"grade = 2")
    put(0, general="accepted")
    put(0, settings=stricter, general="undecided")
    assert weighings.verdicts(archive, session_id, tables) == {"general": "accepted"}
    assert weighings.verdicts(archive, session_id, stricter) == {"general": "undecided"}
