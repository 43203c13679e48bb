"""Names that last: (origin, sequence) of every entry, viewing, run and undo (`migrations/0005.sql`).

The tables give them by themselves. What they cannot see is that their file is a copy: two copies that both
went on under one origin would give one name to two things. Standard library only.
"""

import contextlib
import os
import re
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final

from evaluation.archive import sqlite

_ORIGIN: Final = re.compile(r"[0-9a-f]{32}")

_NAMED: Final = {
    "entry": "entries",
    "viewing": "viewings",
    "readings": "readings",
    "turn": "undos",
    "round": "rounds",
    "judgement": "judgements",
    "loan_entry": "entries of loans",
}


def claim(connection: sqlite3.Connection, path: Path) -> None:
    """Draw a new origin where this file is not the one that the last was drawn for; in an open transaction.

    A moved file may get a new one too, which costs nothing: an origin only has to be nobody else's. Raises
    ArchiveProblem where what stands there is no origin.
    """
    try:
        found = path.stat()
    except OSError:
        return  # taken away under us: what is written goes nowhere
    connection.execute(
        "UPDATE origin SET place = ?1, origin = ?2 WHERE place <> ?1",
        (_place(found), os.urandom(16).hex()),
    )
    (origin,) = connection.execute("SELECT origin FROM origin").fetchone() or ("",)
    if not _ORIGIN.fullmatch(str(origin)):
        raise sqlite.unusable(path, *sqlite.DAMAGED)


def is_home(path: Path) -> bool:
    """Whether the origin in this file was drawn for it: somebody has entered something here, at this place.

    The file alone is asked: what still lies in a log beside it is not known. Raises OSError.
    """
    found = path.stat()
    with contextlib.closing(sqlite.connect(path, "mode=ro&immutable=1")) as connection:
        with contextlib.suppress(sqlite3.Error):
            return bool(connection.execute("SELECT place FROM origin").fetchone() == (_place(found),))
        return False


def _place(found: os.stat_result) -> str:
    return f"{found.st_dev}:{found.st_ino}"


def disown(file: Path) -> None:
    """Let a finished copy draw an origin of its own, wherever it is put back."""
    with contextlib.closing(sqlite3.connect(file)) as copy, copy:
        copy.execute("UPDATE origin SET place = ''")


def troubles(rows: Callable[[str], list[Any]]) -> Iterator[str]:
    """A sentence for what has no name or lost it, for gaps in a sequence, for undos that do not fit.

    `rows` answers a query, as an archive's does. Of an origin that came by a merge some sessions may be
    elsewhere, and so gaps in its sequence say nothing.
    """
    yield from nameless(rows)
    for origin, there, last in rows(
        "SELECT origin, count(*), max(sequence) FROM birth "
        "WHERE origin NOT IN (SELECT origin FROM elsewhere) AND NOT EXISTS (SELECT 1 FROM bundle) "
        "GROUP BY origin HAVING count(*) <> max(sequence)"
    ):
        yield f"The sequence of origin {origin[:12]} has gaps: {there} of {last} are there."
    ((unlike,),) = rows(
        """
        SELECT count(*) FROM entry AS e WHERE (e.undone <> 0) <> EXISTS (
            SELECT 1 FROM turn AS t WHERE t.entry = e.id AND t.takes_back IS NULL
            AND NOT EXISTS (SELECT 1 FROM turn AS r WHERE r.takes_back = t.id))
        """
    )
    if unlike:
        yield f"Entries whose undos do not say whether they count: {unlike}."


def nameless(rows: Callable[[str], list[Any]]) -> Iterator[str]:
    """A sentence for each table with rows that have no name, or names that have lost their row."""
    for table, called in _NAMED.items():
        ((without,),) = rows(
            f"SELECT count(*) FROM {table} WHERE id NOT IN (SELECT number FROM birth WHERE what = '{table}')"
        )
        ((lost,),) = rows(
            f"SELECT count(*) FROM birth WHERE what = '{table}' AND number NOT IN (SELECT id FROM {table})"
        )
        if without:
            yield f"Without origin and sequence: {without} {called}."
        if lost:
            yield f"Lost, with origin and sequence still there: {lost} {called}."
