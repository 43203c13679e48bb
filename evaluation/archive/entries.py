"""The log of entries: one transaction a key press, one undo and one redo for everything.

An entry is live (`undone` = 0), undone (1, 2, ... in the order of undoing, the highest is redone first) or
overtaken by something newer (-1). Standard library only.
"""

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from sqlite3 import Connection
from typing import Any, Final

from evaluation.archive import rows
from evaluation.archive.connection import Archive
from evaluation.archive.moments import as_json, encodable, stamped
from evaluation.archive.sessions import Summarise, refresh, require
from evaluation.archive.sqlite import understood
from evaluation.entry import FACT, Draft, Entry, EntryKind
from evaluation.fold import Subject, refuse_nonsense, subject_of
from evaluation.session import ASIDE

Belongs = Callable[[Sequence[Entry]], bool]  # whether an action, by its entries, is one of those meant

_AT_ONCE: Final = 16  # actions looked at; the newest is nearly always the one

# Entries that no weighing rests on: a stored one stays true after these, but for a remark on `ASIDE`.
BESIDE: Final[frozenset[EntryKind]] = frozenset({"remark", "attachment", "timer", "written"})


@dataclass(frozen=True, slots=True)
class Recorded:
    """An entry of the history, and whether it still counts."""

    entry: Entry
    live: bool


def any_action(entries: Sequence[Entry]) -> bool:
    """Every action belongs."""
    return True


def say(
    archive: Archive, session_id: int, drafts: Sequence[Draft], now: datetime, summarise: Summarise
) -> tuple[Entry, ...]:
    """Add the entries of one key press: they are on disk when this returns. What was undone is beyond redo.

    Raises UsageProblem for an unknown session, ArchiveProblem when nothing could be saved, and ValueError
    for drafts no session can hold (a value its subject cannot have, a reveal together with something else).
    """
    if not drafts:
        return ()
    with archive.joined() as connection:
        entries = append(archive, connection, session_id, drafts, now)
        newest = {subject_of(entry): entry for entry in entries}
        refresh(archive, session_id, now, summarise, weighs=_weighs(entries), newest=newest)
    return entries


def append(
    archive: Archive, connection: Connection, session_id: int, drafts: Sequence[Draft], now: datetime
) -> tuple[Entry, ...]:
    """Add the entries of one action inside an open transaction that also calls `sessions.refresh`."""
    kinds = {draft.kind for draft in drafts}
    if "reveal" in kinds and kinds != {"reveal"}:
        raise ValueError("a reveal cannot be undone, so it is the only entry of its action")
    require(archive, session_id)
    connection.execute("UPDATE entry SET undone = -1 WHERE session = ? AND undone > 0", (session_id,))
    action = connection.execute(
        "SELECT coalesce(max(action), 0) + 1 FROM entry WHERE session = ?", (session_id,)
    ).fetchone()[0]
    made = [
        connection.execute(
            "INSERT INTO entry (session, viewing, kind, subject, value, at, after_reveal, action) "
            f"VALUES (?, ?, ?, ?, ?, ?, ?, ?) RETURNING {rows.ENTRY}",
            (
                session_id,
                draft.viewing,
                draft.kind,
                encodable(draft.subject),
                as_json(draft.value),
                stamped(now),
                draft.after_reveal,
                action,
            ),
        ).fetchone()
        for draft in drafts
    ]
    entries = rows.entries(made)
    refuse_nonsense(entries)
    return entries


def undo(
    archive: Archive,
    session_id: int,
    viewing_id: int | None,
    now: datetime,
    summarise: Summarise,
    belongs: Belongs = any_action,
) -> tuple[Entry, ...]:
    """Take the newest action back out; the entries it had, or () when nothing is left to undo.

    Only entries made outside Look or in the given viewing: no key of one observer undoes another's answer.
    A reveal is stepped over, for what was seen stays seen. So is every action that does not belong, or that
    came from another archive.
    """
    with archive.joined() as connection:
        taken = to_undo(archive, session_id, viewing_id, belongs)
        if not taken:
            return ()
        (rank,) = connection.execute(
            "SELECT coalesce(max(undone), 0) + 1 FROM entry WHERE session = ? AND undone > 0", (session_id,)
        ).fetchone()
        return _turn(archive, connection, session_id, taken[0].action, rank, now, summarise)


def redo(
    archive: Archive,
    session_id: int,
    viewing_id: int | None,
    now: datetime,
    summarise: Summarise,
    belongs: Belongs = any_action,
) -> tuple[Entry, ...]:
    """Bring back what was undone last, within the same bounds as `undo`; () when there is nothing."""
    with archive.joined() as connection:
        again = to_redo(archive, session_id, viewing_id, belongs)
        if not again:
            return ()
        return _turn(archive, connection, session_id, again[0].action, 0, now, summarise)


def to_undo(
    archive: Archive, session_id: int, viewing_id: int | None, belongs: Belongs = any_action
) -> tuple[Entry, ...]:
    """The entries that `undo` would take out."""
    return _next(archive, session_id, viewing_id, "undone = 0 AND action < ?", "action", belongs)


def to_redo(
    archive: Archive, session_id: int, viewing_id: int | None, belongs: Belongs = any_action
) -> tuple[Entry, ...]:
    """The entries that `redo` would bring back."""
    return _next(archive, session_id, viewing_id, "undone > 0 AND undone < ?", "max(undone)", belongs)


def _next(
    archive: Archive, session_id: int, viewing_id: int | None, which: str, place: str, belongs: Belongs
) -> tuple[Entry, ...]:
    """The first action that may be undone or redone and belongs, the latest first."""
    require(archive, session_id)
    before = 1 << 62
    while found := archive.rows(
        f"""
        SELECT action, {place} FROM entry WHERE session = ? AND {which} GROUP BY action
        HAVING NOT max(kind = 'reveal') AND NOT max(viewing IS NOT NULL AND viewing IS NOT ?)
        AND NOT max({rows.CAME})
        ORDER BY {place} DESC LIMIT {_AT_ONCE}
        """,
        (session_id, before, viewing_id),
    ):
        for action, at in found:
            found_rows = archive.rows(
                f"SELECT {rows.ENTRY} FROM entry WHERE session = ? AND action = ? ORDER BY id",
                (session_id, action),
            )
            if belongs(entries := _read(archive, session_id, found_rows)):
                return entries
            before = at
    return ()


def said_before(archive: Archive, kind: EntryKind, subject: str, limit: int) -> tuple[Any, ...]:
    """The values entered for a subject in any session, each once, the newest first."""
    found = archive.rows(
        "SELECT value FROM entry WHERE kind = ? AND subject = ? AND undone = 0 AND value <> 'null' "
        "GROUP BY value ORDER BY max(id) DESC LIMIT ?",
        (kind, subject, limit),
    )
    with understood(archive.path, "earlier entries"):
        return tuple(json.loads(value) for (value,) in found)


def history(archive: Archive, session_id: int) -> tuple[Recorded, ...]:
    """Every entry ever made in the session, oldest first. Raises UsageProblem when there is none."""
    with archive.snapshot():
        require(archive, session_id)
        found = archive.rows(
            f"SELECT undone, {rows.ENTRY} FROM entry WHERE session = ? ORDER BY id", (session_id,)
        )
    entries = _read(archive, session_id, [tuple(row) for _, *row in found])
    return tuple(Recorded(entry, row[0] == 0) for entry, row in zip(entries, found, strict=True))


def _turn(
    archive: Archive,
    connection: Connection,
    session_id: int,
    action: int,
    undone: int,
    now: datetime,
    summarise: Summarise,
) -> tuple[Entry, ...]:
    connection.execute(
        "UPDATE entry SET undone = ? WHERE session = ? AND action = ?", (undone, session_id, action)
    )
    found = archive.rows(
        f"SELECT {rows.ENTRY} FROM entry WHERE session = ? AND action = ? ORDER BY id", (session_id, action)
    )
    entries = _read(archive, session_id, found)
    newest = {about: _newest(archive, session_id, about) for about in map(subject_of, entries)}
    refresh(archive, session_id, now, summarise, weighs=_weighs(entries), newest=newest)
    return entries


def _newest(archive: Archive, session_id: int, about: Subject) -> Entry | None:
    """The last live entry on a subject."""
    found = archive.rows(
        f"SELECT {rows.ENTRY} FROM entry WHERE session = ? AND kind = ? AND subject = ? AND viewing IS ? "
        "AND undone = 0 ORDER BY id DESC LIMIT 1",
        (session_id, about.kind, about.name, about.viewing),
    )
    return _read(archive, session_id, found)[0] if found else None


def _read(archive: Archive, session_id: int, found: Sequence[rows.Row]) -> tuple[Entry, ...]:
    with understood(archive.path, f"the entries of session {session_id}"):
        return rows.entries(found)


def _weighs(entries: Iterable[Entry]) -> bool:
    return any(
        (entry.kind not in BESIDE or entry.subject == ASIDE) and not entry.subject.startswith(FACT)
        for entry in entries
    )
