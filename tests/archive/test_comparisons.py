"""A stored comparison is one for each pair and settings, and counts only while its basis is the same."""

import sqlite3

import pytest

from evaluation.archive import comparisons, documents, sessions
from evaluation.archive.connection import Archive


@pytest.fixture
def tables(archive: Archive) -> str:
    return documents.keep(archive, "settings", "weighing.toml", b"grade = 1")


@pytest.fixture
def pair(archive: Archive, session_id: int, sheet_digest: str, now) -> tuple[int, int]:
    return session_id, sessions.create(archive, sheet_digest=sheet_digest, now=now)


def test_a_comparison_comes_back_while_its_basis_is_the_same(archive, pair, tables) -> None:
    comparisons.put(archive, pair, tables, basis="3, 5", result='["alike"]')
    assert comparisons.get(archive, pair, tables, {pair: "3, 5"}) == {pair: '["alike"]'}
    assert comparisons.get(archive, pair, tables, {pair: "3, 6"}) == {}


def test_the_next_one_takes_the_place_of_the_one_before(archive, pair, tables) -> None:
    comparisons.put(archive, pair, tables, basis="3, 5", result="[1]")
    comparisons.put(archive, pair, tables, basis="3, 6", result="[2]")
    assert comparisons.get(archive, pair, tables, {pair: "3, 6"}) == {pair: "[2]"}


def test_a_pair_is_kept_once_the_smaller_number_first(archive, pair, tables) -> None:
    with pytest.raises(sqlite3.IntegrityError):
        comparisons.put(archive, (pair[1], pair[0]), tables, basis="", result="[]")


def test_other_sessions_stay_out(archive, pair, tables) -> None:
    comparisons.put(archive, pair, tables, basis="x", result="[]")
    assert comparisons.get(archive, pair[:1], tables, {pair: "x"}) == {}
