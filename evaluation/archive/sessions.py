"""Sessions: made, found, loaded whole, brought up to their entries.

Standard library only: this is on the way to the first frame.
"""

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from evaluation.archive import rows
from evaluation.archive.connection import Archive
from evaluation.archive.moments import as_json, encodable, moment, stamped
from evaluation.archive.sqlite import understood
from evaluation.entry import Entry
from evaluation.errors import UsageProblem
from evaluation.fold import Fold, Subject, folded, further
from evaluation.plain_text import shortened
from evaluation.session import PrintingCondition, Session, Summary, Viewing, ViewingKind

Summarise = Callable[[Session], Summary]  # what a list shows of a session, a pure function of it
_SHORTEST_NAME = 4  # characters of a uid that may stand for it


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
            f"SELECT {rows.ENTRY} FROM entry WHERE session = ? AND undone = 0 "
            # Readings shown before any viewing were shown to whoever sat at that archive.
            f"AND NOT (kind = 'reveal' AND viewing IS NULL AND {rows.CAME}) ORDER BY id",
            (session_id,),
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


def is_looked_at_here(archive: Archive, session_id: int) -> bool:
    """Whether a viewing of the session was begun in this archive, and not brought by a merge."""
    found = archive.row(
        "SELECT 1 FROM viewing AS v JOIN birth AS b ON b.what = 'viewing' AND b.number = v.id "
        "WHERE v.session = ? AND b.origin NOT IN (SELECT origin FROM elsewhere) LIMIT 1",
        (session_id,),
    )
    return found is not None


def with_remark(archive: Archive, subject: str) -> tuple[int, ...]:
    """Listed sessions that have a remark on this subject, outside Look."""
    found = archive.rows(
        "SELECT e.session, e.value FROM entry AS e JOIN session AS s ON s.id = e.session "
        "WHERE e.kind = 'remark' AND e.subject = ? AND e.viewing IS NULL AND e.undone = 0 "
        f"AND s.{on_list(False)} ORDER BY e.session, e.id",
        (encodable(subject),),
    )
    newest = dict(found)
    return tuple(session for session, value in newest.items() if value != "null")


def looked_at(archive: Archive, observer: str) -> tuple[int, ...]:
    """Listed sessions that have a viewing under this name, oldest first."""
    found = archive.rows(
        "SELECT DISTINCT v.session FROM viewing AS v JOIN session AS s ON s.id = v.session "
        f"WHERE {rows.observer_of('v')} = ? AND s.{on_list(False)} ORDER BY v.session",
        (encodable(observer),),
    )
    return tuple(session for (session,) in found)


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
        f"SELECT id FROM session WHERE uid >= ? AND uid < ? AND {on_list(removed)}",
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


def observers_by_print(archive: Archive, sheet_digest: str) -> dict[int, frozenset[str]]:
    """Who looked at each listed print of a sheet, by session, in their order."""
    found: dict[int, set[str]] = {}
    for session, observer in archive.rows(
        f"SELECT v.session, {rows.observer_of('v')} FROM viewing AS v JOIN session AS s ON s.id = v.session "
        f"WHERE s.sheet = ? AND s.{on_list(False)} ORDER BY v.session",
        (sheet_digest,),
    ):
        found.setdefault(session, set()).add(observer)
    return {session: frozenset(people) for session, people in found.items()}


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
            INSERT INTO viewing (session, ordinal, observer, kind, started, region_order, reference, family)
            SELECT ?1, coalesce(max(ordinal), 0) + 1, ?2, ?3, ?4, ?5, ?6, (SELECT family FROM origin)
            FROM viewing WHERE session = ?1
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
    archive.connection.execute(
        "UPDATE session SET revision = ?, touched = ? WHERE id = ?",
        (session.revision, stamped(now), session_id),
    )
    # Most keys change nothing that is listed: the indexes of the list are then left alone.
    columns, shown = f"{rows.SUMMARY}, words", rows.summary_row(summarise(session))
    slots = ", ".join("?" * len(shown))
    archive.connection.execute(
        f"UPDATE session SET ({columns}) = ({slots}) WHERE id = ? AND ({columns}) IS NOT ({slots})",
        (*shown, session_id, *shown),
    )
    archive.at_hand = state, replace(fold, session=session)


def require(archive: Archive, session_id: int) -> None:
    """Raises UsageProblem when there is no session of that number."""
    if archive.row("SELECT 1 FROM session WHERE id = ?", (session_id,)) is None:
        raise _unknown(str(session_id))


def on_list(removed: bool) -> str:
    """The condition on a row of `session` that is on the list, or was removed from it."""
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
