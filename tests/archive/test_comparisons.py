"""A stored comparison is one for each pair and settings, found by everything it rests on or not at all."""

import sqlite3

import pytest

from evaluation.archive import comparisons, documents, sessions
from evaluation.archive.connection import Archive

INPUTS, OTHER = "1" * 64, "2" * 64


@pytest.fixture
def tables(archive: Archive) -> str:
    return documents.keep(archive, "settings", "weighing.toml", b"grade = 1")


@pytest.fixture
def pair(archive: Archive, session_id: int, sheet_digest: str, now) -> tuple[int, int]:
    return session_id, sessions.create(archive, sheet_digest=sheet_digest, now=now)


def test_a_comparison_of_any_other_inputs_is_not_found(archive, pair, tables) -> None:
    comparisons.put(archive, pair, tables, inputs=INPUTS, result='["alike"]')
    assert comparisons.get(archive, pair, tables, lambda _: INPUTS) == {pair: '["alike"]'}
    assert comparisons.get(archive, pair, tables, lambda _: OTHER) == {}


def test_the_next_one_takes_the_place_of_the_one_before(archive, pair, tables) -> None:
    comparisons.put(archive, pair, tables, inputs=INPUTS, result="[1]")
    comparisons.put(archive, pair, tables, inputs=OTHER, result="[2]")
    assert comparisons.get(archive, pair, tables, lambda _: OTHER) == {pair: "[2]"}


def test_a_damaged_one_is_not_found(archive, pair, tables) -> None:
    comparisons.put(archive, pair, tables, inputs=INPUTS, result='["alike"]')
    archive.connection.execute("""UPDATE comparison SET result = '["alive"]'""")
    assert comparisons.get(archive, pair, tables, lambda _: INPUTS) == {}


def test_a_pair_is_kept_once_the_smaller_number_first(archive, pair, tables) -> None:
    with pytest.raises(sqlite3.IntegrityError):
        comparisons.put(archive, (pair[1], pair[0]), tables, inputs=INPUTS, result="[]")


def test_other_sessions_stay_out(archive, pair, tables) -> None:
    comparisons.put(archive, pair, tables, inputs=INPUTS, result="[]")
    assert comparisons.get(archive, pair[:1], tables, lambda _: INPUTS) == {}
