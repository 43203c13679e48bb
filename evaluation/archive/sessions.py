"""Sessions: made, found, listed, loaded whole.

Standard library only: this is on the way to the first frame.
"""

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Final, Literal

from evaluation.archive import rows
from evaluation.archive.connection import Archive
from evaluation.archive.moments import as_json, encodable, moment, moment_or_none, stamped
from evaluation.archive.sqlite import understood
from evaluation.archive.weighings import STALE
from evaluation.errors import UsageProblem
from evaluation.fold import Fold, Subject, folded, further
from evaluation.plain_text import shortened
from evaluation.said import Entry
from evaluation.session import PrintingCondition, Session, Summary, Viewing, ViewingKind

Summarise = Callable[[Session], Summary]  # what a list shows of a session, a pure function of it
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
_SHORTEST_NAME = 4  # characters of a uid that may stand for it


@dataclass(frozen=True, slots=True)
class Head:
    """One line of a list of sessions.

    `verdict` is that of the newest weighing with the settings asked for, for what the print is made for
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


def create(archive: Archive, *, sheet_digest: str, now: datetime, copied_from: int | None = None) -> int:
    """Begin an empty session scored with the kept sheet of that digest; its number."""
    with archive.joined() as connection:
        if copied_from is not None:
            require(archive, copied_from)
        made = connection.execute(
            "INSERT INTO session (uid, sheet, created, touched, copied_from, words) "
            "VALUES (?, ?, ?, ?, ?, 'describing') RETURNING id",
            (os.urandom(16).hex(), sheet_digest, stamped(now), stamped(now), copied_from),
        )
        return int(made.fetchone()[0])


def load(archive: Archive, session_id: int) -> Session:
    """The session as it stands, all viewings and answers with it. Raises UsageProblem when there is none."""
    return _from_log(archive, session_id).session


def _from_log(archive: Archive, session_id: int) -> Fold:
    with archive.snapshot():
        row = archive.row(
            "SELECT id, uid, sheet, created, revision, copied_from FROM session WHERE id = ?", (session_id,)
        )
        if row is None:
            raise _unknown(str(session_id))
        viewings = archive.rows(
            f"SELECT {rows.VIEWING} FROM viewing WHERE session = ? ORDER BY ordinal", (session_id,)
        )
        entries = archive.rows(
            f"SELECT {rows.ENTRY} FROM entry WHERE session = ? AND undone = 0 ORDER BY id", (session_id,)
        )
    with understood(archive.path, f"the entries of session {session_id}"):
        id_, uid, sheet, created, revision, copied_from = row
        head = Session(
            id_, uid, sheet, moment(created), revision, PrintingCondition(), copied_from=copied_from
        )
        return folded(head, map(rows.viewing, viewings), rows.entries(entries))


def current(archive: Archive, session_id: int, at_hand: Session | None = None) -> Session:
    """The session as it stands: the one at hand when no entry that weighs was made since, else loaded."""
    if at_hand is not None and at_hand.id == session_id:
        row = archive.row("SELECT revision FROM session WHERE id = ?", (session_id,))
        if row is not None and row[0] == at_hand.revision:
            return at_hand
    return load(archive, session_id)


def conditions(archive: Archive, session: Session) -> tuple[str, ...]:
    """The measurement conditions of the readings that are in, in order; those not stated are left out."""
    if not session.runs:
        return ()
    slots = ", ".join("?" * len(session.runs))
    found = archive.rows(
        f"SELECT DISTINCT condition FROM readings WHERE id IN ({slots}) AND condition IS NOT NULL "
        "ORDER BY condition",
        tuple(sorted(session.runs)),
    )
    return tuple(str(condition) for (condition,) in found)


def newest_viewing(archive: Archive, session_id: int) -> int | None:
    """The number of the viewing begun last, whose answers undo may reach; None before any."""
    row = archive.row("SELECT id FROM viewing WHERE session = ? ORDER BY ordinal DESC LIMIT 1", (session_id,))
    return None if row is None else int(row[0])


def find(archive: Archive, reference: str, *, removed: bool = False) -> int:
    """The number of the session a person means: its number, or the beginning of its uid.

    Of the sessions on the list, or of those removed from it. Raises UsageProblem when no session, or more
    than one, goes by that.
    """
    reference = reference.strip()
    if reference.isascii() and reference.isdigit() and len(reference) < 19:
        row = archive.row("SELECT removed FROM session WHERE id = ?", (int(reference),))
        if row is not None:
            _require_listed(int(reference), row[0], removed)
            return int(reference)
    if len(reference) < _SHORTEST_NAME or not all(char in "0123456789abcdef" for char in reference):
        raise _unknown(reference)
    found = archive.rows(
        f"SELECT id FROM session WHERE uid >= ? AND uid < ? AND {_on_list(removed)}",
        (reference, reference + "g"),
    )
    if len(found) > 1:
        raise UsageProblem(
            f"{len(found)} sessions begin with {reference}.",
            remedy="Give more of it, or the session's number.",
        )
    if not found:
        raise _unknown(reference)
    return int(found[0][0])


def standing(archive: Archive, session_id: int) -> tuple[str, int, bool] | None:
    """The uid and revision of a session, and whether it was removed; None without such a session."""
    row = archive.row("SELECT uid, revision, removed IS NOT NULL FROM session WHERE id = ?", (session_id,))
    return None if row is None else (row[0], row[1], bool(row[2]))


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
) -> tuple[Head, ...]:
    """A window of the list. Every word of `match` occurs in a session's paper, printer, print or state.

    `settings` is the digest of the weighing tables whose verdicts are shown; "" shows no verdict. Those made
    by another version of the rules than `rules` are stale. With `removed` the sessions taken off the
    list, the last one first where the order is "newest".
    """
    where, words = _matching(match, removed)
    by = _REMOVED_LAST if removed and order == "newest" else _ORDERS[order]
    columns = ", ".join(f"s.{name}" for name in rows.SUMMARY.split(", "))
    found = archive.rows(
        f"""
        SELECT s.id, s.uid, s.sheet, s.created, s.touched, v.verdict, coalesce(w.disagree, 0),
               coalesce({STALE}, 0), s.removed, {columns}
        FROM (SELECT * FROM session AS s WHERE {where} ORDER BY {by} LIMIT ? OFFSET ?) AS s
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
    where, words = _matching(match, removed)
    row = archive.row(f"SELECT count(*) FROM session AS s WHERE {where}", words)
    return int(row[0]) if row else 0


def remove(archive: Archive, session_id: int, now: datetime) -> None:
    """Take a session off the list. Everything in it is kept, and `restore` brings it back."""
    _set_removed(archive, session_id, stamped(now))


def restore(archive: Archive, session_id: int) -> None:
    """Put a removed session back on the list."""
    _set_removed(archive, session_id, None)


def start_viewing(
    archive: Archive,
    session_id: int,
    observer: str,
    kind: ViewingKind,
    region_order: Sequence[str],
    now: datetime,
    summarise: Summarise,
    *,
    reference: int | None = None,
) -> Viewing:
    """Begin one observer's way through the regions, in an order that was drawn for it and is kept."""
    with archive.joined() as connection:
        require(archive, session_id)
        made = connection.execute(
            f"""
            INSERT INTO viewing (session, ordinal, observer, kind, started, region_order, reference)
            SELECT ?1, coalesce(max(ordinal), 0) + 1, ?2, ?3, ?4, ?5, ?6 FROM viewing WHERE session = ?1
            RETURNING {rows.VIEWING}
            """,
            (session_id, encodable(observer), kind, stamped(now), as_json(list(region_order)), reference),
        ).fetchone()
        refresh(archive, session_id, now, summarise)
        return rows.viewing(made)


def use_sheet(
    archive: Archive, session_id: int, sheet_digest: str, now: datetime, summarise: Summarise
) -> None:
    """Score the session with another kept sheet.

    Raises UsageProblem once anything was graded, found at fault, shown or measured with it.
    """
    with archive.joined() as connection:
        require(archive, session_id)
        fixed = archive.row(
            "SELECT 1 FROM entry WHERE session = ? AND undone = 0 "
            "AND kind IN ('answer', 'fault', 'reveal', 'readings') LIMIT 1",
            (session_id,),
        )
        if fixed:
            raise UsageProblem(
                f"Session {session_id} keeps its sheet: something was graded or measured with it.",
                remedy="Begin a new session like this one.",
            )
        connection.execute("UPDATE session SET sheet = ? WHERE id = ?", (sheet_digest, session_id))
        refresh(archive, session_id, now, summarise)


def refresh(
    archive: Archive,
    session_id: int,
    now: datetime,
    summarise: Summarise,
    *,
    weighs: bool = True,
    newest: Mapping[Subject, Entry | None] | None = None,
) -> None:
    """Bring the session's row up to its entries: part of the transaction that changed them.

    `weighs`: the change is one that a weighing rests on, so the revision rises and stored weighings go stale.
    `newest` is the change, where it is one of entries only: the last live entry on each subject
    it touched. The session at hand then goes on from there, and its log is not read again.
    """
    (state,) = archive.rows("PRAGMA data_version")[0]  # another one once another connection wrote anything
    before = archive.at_hand
    if newest is not None and before and before[0] == state and before[1].session.id == session_id:
        fold = further(before[1], newest)
    else:
        fold = _from_log(archive, session_id)
    session = replace(fold.session, revision=fold.session.revision + weighs)
    columns = ", ".join(f"{name} = ?" for name in rows.SUMMARY.split(", "))
    archive.connection.execute(
        f"UPDATE session SET {columns}, words = ?, revision = ?, touched = ? WHERE id = ?",
        (*rows.summary_row(summarise(session)), session.revision, stamped(now), session_id),
    )
    archive.at_hand = state, replace(fold, session=session)


def require(archive: Archive, session_id: int) -> None:
    """Raises UsageProblem when there is no session of that number."""
    if archive.row("SELECT 1 FROM session WHERE id = ?", (session_id,)) is None:
        raise _unknown(str(session_id))


def _set_removed(archive: Archive, session_id: int, when: str | None) -> None:
    with archive.joined() as connection:
        require(archive, session_id)
        connection.execute("UPDATE session SET removed = ? WHERE id = ?", (when, session_id))


def _matching(match: str, removed: bool) -> tuple[str, list[str]]:
    words = [encodable(word) for word in match.casefold().split()]
    return " AND ".join([f"s.{_on_list(removed)}", *("instr(s.words, ?) > 0" for _ in words)]), words


def _head(row: tuple[Any, ...]) -> Head:
    id_, uid, sheet, created, touched, verdict, disagree, stale, removed, *shown = row
    times, summary = (moment(created), moment(touched)), rows.summary(tuple(shown))
    return Head(id_, uid, sheet, *times, summary, verdict, disagree, bool(stale), moment_or_none(removed))


def _on_list(removed: bool) -> str:
    return "removed IS NOT NULL" if removed else "removed IS NULL"


def _require_listed(session_id: int, when: str | None, removed: bool) -> None:
    if removed and when is None:
        raise UsageProblem(f"Session {session_id} is on the list: there is nothing to bring back.")
    if when is not None and not removed:
        raise UsageProblem(
            f"Session {session_id} was removed.", remedy=f"`drydown bring-back {session_id}` brings it back."
        )


def _unknown(reference: str) -> UsageProblem:
    return UsageProblem(
        f"No session goes by {shortened(reference) or 'an empty name'}.",
        remedy="`drydown list` shows them with their numbers.",
    )
