"""Triangles, in the tables of rounds: kept when drawn, every answer when given. Standard library only."""

import json
from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Final

from evaluation.archive import rounds
from evaluation.archive.connection import Archive
from evaluation.archive.moments import moment, stamped
from evaluation.archive.rows import observer_of
from evaluation.archive.sqlite import understood
from evaluation.errors import UsageProblem
from evaluation.rounds import ODD, Odd, Triangles

_LETTERS: Final = ("K", "M")  # of the two prints, in the tables alone


def begin(
    archive: Archive,
    *,
    observer: str,
    region: str,
    prints: tuple[int, int],
    shown: Sequence[tuple[int, int, int]],
    now: datetime,
) -> Triangles:
    """Keep triangles as they were drawn."""
    letters = dict(zip(prints, _LETTERS, strict=True))
    with archive.joined():
        made = rounds.begin(
            archive,
            observer=observer,
            region=region,
            ask=ODD,
            prints={letter: session for session, letter in letters.items()},
            shown=[tuple(letters[one] for one in lying) for lying in shown],
            now=now,
        )
        return load(archive, made.id)


def name_odd(archive: Archive, number: int, place: int, named: Odd | None, now: datetime) -> Triangles:
    """Keep which is the odd one of a triangle, or take it back (None); it is on disk when this returns.

    Raises ValueError for a place that is not shown.
    """
    with archive.joined() as connection:
        if place not in range(len(load(archive, number).shown)):
            raise ValueError(f"test {number} shows no triangle {place}")
        connection.execute(
            "INSERT INTO judgement (round, place, named, at) VALUES (?, ?, ?, ?)",
            (number, place, named, stamped(now)),
        )
        return load(archive, number)


def load(archive: Archive, number: int) -> Triangles:
    """Triangles with their answers. Raises UsageProblem when there are none of that number."""
    with archive.snapshot():
        row = archive.row(
            f"SELECT id, started, {observer_of('round')}, region, prints, shown FROM round "
            "WHERE id = ? AND ask = ?",
            (number, ODD),
        )
        if row is None:
            raise UsageProblem(f"No triangles go by {number}.")
        said = archive.rows("SELECT place, named FROM judgement WHERE round = ? ORDER BY id", (number,))
    with understood(archive.path, f"triangles {number}"):
        id, started, observer, region, prints, shown = row
        session = dict(json.loads(prints))
        first, second = session.values()
        lying = [tuple(session[letter] for letter in one) for one in json.loads(shown)]
        newest: dict[int, Odd | None] = dict(said)
        return Triangles(
            id,
            moment(started),
            observer,
            region,
            (first, second),
            tuple((left, middle, right) for left, middle, right in lying),
            {place: named for place, named in newest.items() if named is not None},
        )


def among(archive: Archive, sessions: Collection[int]) -> tuple[Triangles, ...]:
    """All of which both prints are among these sessions, oldest first."""
    return tuple(one for one in with_any(archive, sessions) if set(one.prints) <= set(sessions))


def with_any(archive: Archive, sessions: Collection[int]) -> tuple[Triangles, ...]:
    """All that have any of these sessions in them, oldest first."""
    return tuple(load(archive, number) for number in rounds.numbers(archive, sessions, triangles=True))
