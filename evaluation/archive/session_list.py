"""The list of sessions: a window of it, searched and ordered; sessions taken off it and brought back.

Standard library only: this is on the way to the first frame.
"""

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, Literal

from evaluation.archive import rows
from evaluation.archive.connection import Archive
from evaluation.archive.moments import encodable, moment, moment_or_none, stamped
from evaluation.archive.sessions import on_list, require
from evaluation.archive.sqlite import understood
from evaluation.archive.weighings import STALE
from evaluation.session import Summary

Order = Literal["newest", "touched", "printed", "paper", "printer", "state"]

_ORDERS: Final[dict[Order, str]] = {
    "newest": "s.id DESC",
    "touched": "s.touched DESC, s.id DESC",
    "printed": "s.printed_at DESC, s.id DESC",
    "paper": "s.paper COLLATE NOCASE, s.id DESC",
    "printer": "s.printer COLLATE NOCASE, s.id DESC",
    "state": "s.state, s.id DESC",
}
_REMOVED_LAST: Final = "s.removed DESC, s.id DESC"
_FEW: Final = 0.3  # share of the list up to which those that match are gathered, not come upon in order


@dataclass(frozen=True, slots=True)
class ListedSession:
    """One line of a list of sessions.

    `verdict` is that of the newest weighing with the settings given, for what the print is made for
    (general use where nothing is stated); None: never weighed. `stale`: out of date (`weighings.STALE`).
    Whether it may be shown is not decided here. `removed`: when it was taken off the list, or None.
    """

    id: int
    uid: str
    sheet_digest: str
    created: datetime
    touched: datetime
    summary: Summary
    verdict: str | None
    disagree: int
    stale: bool
    removed: datetime | None = None


def heads(
    archive: Archive,
    *,
    order: Order = "newest",
    match: str = "",
    settings: str = "",
    rules: int = 0,
    removed: bool = False,
    offset: int = 0,
    limit: int = 64,
) -> tuple[ListedSession, ...]:
    """A window of the list. Every word of `match` occurs in a session's paper, printer, print or state.

    `settings` is the digest of the weighing tables whose verdicts are shown; "" shows no verdict. Those made
    by another version of the rules than `rules` are stale. With `removed` the sessions taken off the
    list, the last one first where the order is "newest".
    """
    words = _words(match)
    by = _REMOVED_LAST if removed and order == "newest" else _ORDERS[order]
    where = _where(archive, order, words, removed)
    columns = ", ".join(f"s.{name}" for name in rows.SUMMARY.split(", "))
    found = archive.rows(
        f"""
        SELECT s.id, s.uid, s.sheet, s.created, s.touched, v.verdict, coalesce(w.disagree, 0),
               coalesce({STALE}, 0), s.removed, {columns}
        FROM (SELECT s.id FROM session AS s {where} ORDER BY {by} LIMIT ? OFFSET ?) AS found
        JOIN session AS s ON s.id = found.id
        LEFT JOIN weighing AS w ON w.session = s.id AND w.settings = ?
        LEFT JOIN verdict AS v ON v.session = s.id AND v.settings = w.settings
                              AND v.use = coalesce(s.made_for, 'general')
        ORDER BY {by}
        """,
        (rules, *words, limit, offset, settings),
    )
    with understood(archive.path, "the list of sessions"):
        return tuple(map(_head, found))


def count(archive: Archive, *, match: str = "", removed: bool = False) -> int:
    """How many sessions the list has, or how many of them `match`; with `removed`, of those taken off."""
    words = _words(match)
    column = "removed" if removed else "listed"
    ((many,),) = archive.rows(f"SELECT total({column}) FROM session_words WHERE {_match(words)}", words)
    return int(many)


def of_these(archive: Archive, numbers: Iterable[int]) -> frozenset[int]:
    """Those of these sessions that are on the list."""
    found = archive.rows(
        f"SELECT id FROM session AS s WHERE s.{on_list(False)} AND id IN (SELECT value FROM json_each(?))",
        (json.dumps(list(numbers)),),
    )
    return frozenset(number for (number,) in found)


def remove(archive: Archive, session_id: int, now: datetime) -> None:
    """Take a session off the list. Everything in it is kept, and `restore` brings it back."""
    _set_removed(archive, session_id, stamped(now))


def restore(archive: Archive, session_id: int) -> None:
    """Put a removed session back on the list."""
    _set_removed(archive, session_id, None)


def _set_removed(archive: Archive, session_id: int, when: str | None) -> None:
    with archive.joined() as connection:
        require(archive, session_id)
        connection.execute("UPDATE session SET removed = ? WHERE id = ?", (when, session_id))


def troubles(archive: Archive) -> Iterator[str]:
    """A sentence where the counts that a list goes by are not those of its sessions."""
    counted = "SELECT words, count(*) - count(removed), count(removed) FROM session GROUP BY words"
    kept = "SELECT words, listed, removed FROM session_words"
    for one, other in ((counted, kept), (kept, counted)):
        if archive.rows(f"{one} EXCEPT {other} LIMIT 1"):
            yield "The list of sessions is counted wrongly: some may not be found by their words."
            return


def _words(match: str) -> list[str]:
    return [encodable(word) for word in match.casefold().split()]


def _match(words: Sequence[str]) -> str:
    return " AND ".join(["1", *("instr(words, ?) > 0" for _ in words)])


def _where(archive: Archive, order: Order, words: Sequence[str], removed: bool) -> str:
    """The way to the sessions that match: in the order of the list, or where they are few by their words.

    Each way has its index (`migrations/0009.sql`), so that a window costs what it shows.
    """
    if removed:
        return f"WHERE s.{on_list(True)} AND {_match(words)}"
    if words and count(archive, match=" ".join(words)) <= _FEW * count(archive):
        texts = f"SELECT words FROM session_words WHERE listed > 0 AND {_match(words)}"
        return f"INDEXED BY listed_words WHERE s.{on_list(False)} AND s.words IN ({texts})"
    return f"INDEXED BY listed_{order} WHERE s.{on_list(False)} AND {_match(words)}"


def _head(row: tuple[Any, ...]) -> ListedSession:
    id_, uid, sheet, created, touched, verdict, disagree, stale, removed, *shown = row
    times, summary = (moment(created), moment(touched)), rows.summary(tuple(shown))
    return ListedSession(
        id_, uid, sheet, *times, summary, verdict, disagree, bool(stale), moment_or_none(removed)
    )
