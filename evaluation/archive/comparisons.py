"""Stored comparisons of two sessions: a cache, one row a pair and set of settings. Standard library only."""

from collections.abc import Callable, Sequence

from evaluation.archive.connection import Archive
from evaluation.archive.weighings import sum_of

Pair = tuple[int, int]  # the smaller number first


def put(archive: Archive, pair: Pair, settings: str, *, inputs: str, result: str) -> None:
    """Keep a comparison (JSON text) in place of the one before.

    `settings` is the digest of the kept tables it was made with, `inputs` that of everything it rests on: a
    comparison with any other inputs is not found.
    """
    with archive.joined() as connection:
        connection.execute(
            "INSERT INTO comparison (a, b, settings, inputs, result, sum) VALUES (?, ?, ?, ?, ?, ?) "
            "ON CONFLICT (a, b, settings) DO UPDATE SET inputs = excluded.inputs, result = excluded.result, "
            "sum = excluded.sum",
            (*pair, settings, inputs, result, sum_of(result.encode("utf-8"))),
        )


def get(
    archive: Archive, sessions: Sequence[int], settings: str, inputs: Callable[[Pair], str]
) -> dict[Pair, str]:
    """The kept comparisons among these sessions that rest on exactly their inputs: pair -> JSON text."""
    marks = ", ".join("?" * len(sessions))
    rows = archive.rows(
        "SELECT a, b, inputs, CAST(result AS BLOB), sum FROM comparison "
        f"WHERE a IN ({marks}) AND b IN ({marks}) AND settings = ?",
        (*sessions, *sessions, settings),
    )
    return {
        (a, b): str(result, "utf-8")
        for a, b, rests_on, result, kept in rows
        if inputs((a, b)) == rests_on and sum_of(result) == kept
    }
