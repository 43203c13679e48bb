"""Rounds of prints beside each other: kept when drawn, every answer when given. Standard library only."""

import json
from collections.abc import Collection, Mapping, Sequence
from datetime import datetime

from evaluation.archive.connection import Archive
from evaluation.archive.moments import as_json, encodable, moment, stamped
from evaluation.archive.rows import observer_of
from evaluation.archive.sqlite import understood
from evaluation.errors import UsageProblem
from evaluation.rounds import ODD, Named, Round

_COLUMNS = f"id, started, {observer_of('round')}, region, ask, prints, shown"


def begin(
    archive: Archive,
    *,
    observer: str,
    region: str,
    ask: str,
    prints: Mapping[str, int],
    shown: Sequence[tuple[str, ...]],
    now: datetime,
) -> Round:
    """Keep a round as it was drawn."""
    with archive.joined() as connection:
        (number,) = connection.execute(
            "INSERT INTO round (started, observer, region, ask, prints, shown, family) "
            "VALUES (?, ?, ?, ?, ?, ?, (SELECT family FROM origin)) RETURNING id",
            (
                stamped(now),
                encodable(observer),
                encodable(region),
                encodable(ask),
                as_json([list(one) for one in prints.items()]),
                as_json([list(lying) for lying in shown]),
            ),
        ).fetchone()
        return load(archive, int(number))


def judge(archive: Archive, round_id: int, place: int, named: Named | None, now: datetime) -> Round:
    """Keep the answer to one pair, or take it back (None); it is on disk when this returns.

    Raises UsageProblem where the letters are open already; ValueError for a place that is not shown.
    """
    with archive.joined() as connection:
        found = load(archive, round_id)
        if place not in range(len(found.pairs)):
            raise ValueError(f"round {round_id} shows no pair {place}")
        if found.opened is not None:
            raise UsageProblem(
                "No answer was taken.",
                expected="a round whose letters are not known",
                found=f"round {round_id}, opened before its last answer",
                remedy="Begin a new one: new letters are drawn for it.",
            )
        connection.execute(
            "INSERT INTO judgement (round, place, named, at) VALUES (?, ?, ?, ?)",
            (round_id, place, named, stamped(now)),
        )
        return load(archive, round_id)


def open_letters(archive: Archive, round_id: int, now: datetime) -> Round:
    """Record that the letters of a round were opened before its last answer; it takes no more."""
    with archive.joined() as connection:
        if load(archive, round_id).is_open:
            connection.execute("INSERT INTO judgement (round, at) VALUES (?, ?)", (round_id, stamped(now)))
        return load(archive, round_id)


def load(archive: Archive, round_id: int) -> Round:
    """One round with its answers. Raises UsageProblem when there is none of that number."""
    with archive.snapshot():
        row = archive.row(f"SELECT {_COLUMNS} FROM round WHERE id = ?", (round_id,))
        if row is None:
            raise UsageProblem(f"No round goes by {round_id}.")
        said = archive.rows("SELECT place, named, at FROM judgement WHERE round = ? ORDER BY id", (round_id,))
    with understood(archive.path, f"round {round_id}"):
        number, started, observer, region, ask, prints, shown = row
        answers: dict[int, Named] = {}
        opened = None
        for place, named, at in said:
            if place is None:
                opened = opened or moment(at)
            elif named is None:
                answers.pop(place, None)
            else:
                answers[place] = named
        return Round(
            number,
            moment(started),
            observer,
            region,
            ask,
            dict(json.loads(prints)),
            tuple(tuple(lying) for lying in json.loads(shown)),
            answers,
            opened,
        )


def among(archive: Archive, sessions: Collection[int]) -> tuple[Round, ...]:
    """Every round whose prints are all among these sessions, oldest first."""
    return tuple(one for one in with_any(archive, sessions) if one.sessions <= set(sessions))


def with_any(archive: Archive, sessions: Collection[int]) -> tuple[Round, ...]:
    """Every round that has any of these sessions in it, oldest first."""
    return tuple(load(archive, number) for number in numbers(archive, sessions, triangles=False))


def numbers(archive: Archive, sessions: Collection[int], *, triangles: bool) -> tuple[int, ...]:
    """Of rounds that have any of these sessions in them, or else of triangles, oldest first."""
    found = archive.rows(
        "SELECT id FROM round AS r WHERE (ask = ?) = ? AND EXISTS (SELECT 1 FROM json_each(r.prints) AS p "
        f"WHERE json_extract(p.value, '$[1]') IN ({', '.join('?' * len(sessions))})) ORDER BY id",
        (ODD, triangles, *sessions),
    )
    return tuple(number for (number,) in found)
