"""Stored comparisons of two sessions: a cache, one row a pair and set of settings. Standard library only."""

from collections.abc import Mapping, Sequence

from evaluation.archive.connection import Archive

Pair = tuple[int, int]  # the smaller number first


def put(archive: Archive, pair: Pair, settings: str, *, basis: str, result: str) -> None:
    """Keep a comparison (JSON text) in place of the one before.

    `settings` is the digest of the kept tables it was made with; `basis` says what else it rests on, and is
    compared as a whole: a comparison with another basis counts for nothing.
    """
    with archive.joined() as connection:
        connection.execute(
            "INSERT INTO comparison (a, b, settings, basis, result) VALUES (?, ?, ?, ?, ?) "
            "ON CONFLICT (a, b, settings) DO UPDATE SET basis = excluded.basis, result = excluded.result",
            (*pair, settings, basis, result),
        )


def get(
    archive: Archive, sessions: Sequence[int], settings: str, bases: Mapping[Pair, str]
) -> dict[Pair, str]:
    """The kept comparisons among these sessions that rest on what they should: pair -> JSON text."""
    marks = ", ".join("?" * len(sessions))
    rows = archive.rows(
        f"SELECT a, b, basis, result FROM comparison WHERE a IN ({marks}) AND b IN ({marks}) "
        "AND settings = ?",
        (*sessions, *sessions, settings),
    )
    return {(a, b): result for a, b, basis, result in rows if bases.get((a, b)) == basis}
