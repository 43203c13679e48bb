"""Loans: entries added one key press at a time, undone by further entries. Standard library only."""

import json
import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, Literal

from evaluation.archive.connection import Archive
from evaluation.archive.moments import as_json, encodable, moment, moment_or_none, stamped
from evaluation.archive.sqlite import understood
from evaluation.errors import UsageProblem
from evaluation.loan import Loan, LoanDraft, LoanEntry, folded

Turn = Literal["undo", "redo"]
_COLUMNS: Final = "id, kind, subject, value, at, action, takes_back"


def begin(archive: Archive, drafts: Sequence[LoanDraft], now: datetime) -> Loan:
    """Begin a loan with its first entries."""
    return say(archive, os.urandom(16).hex(), drafts, now)


def say(archive: Archive, uid: str, drafts: Sequence[LoanDraft], now: datetime) -> Loan:
    """Add the entries of one key press: they are on disk when this returns. The loan after them.

    Raises ArchiveProblem when nothing could be saved, ValueError for drafts no loan can hold.
    """
    with archive.joined() as connection:
        action = _next_action(archive, uid)
        connection.executemany(
            "INSERT INTO loan_entry (loan, kind, subject, value, at, action) VALUES (?, ?, ?, ?, ?, ?)",
            [
                (uid, one.kind, encodable(one.subject), as_json(one.value), stamped(now), action)
                for one in drafts
            ],
        )
        return _load(archive, uid, _number(archive, uid), foreign=False)


def turn(archive: Archive, uid: str, way: Turn, now: datetime) -> tuple[LoanEntry, ...]:
    """Take the newest action back, or the newest undo after which nothing was entered; () without one.

    The entries that no longer count, or count again. The first action is the loan itself, and stays.
    """
    with archive.joined() as connection:
        found = _rows(archive, uid)
        wanted, touched = _next(found, way)
        if not wanted:
            return ()
        connection.execute(
            "INSERT INTO loan_entry (loan, kind, subject, value, at, action, takes_back) "
            "VALUES (?, 'undo', '', 'null', ?, ?, ?)",
            (uid, stamped(now), _next_action(archive, uid), wanted),
        )
        with understood(archive.path, "the entries of a loan"):
            return tuple(_entry(row) for row in found if row[5] == touched)


def offered(archive: Archive, uid: str, way: Turn) -> tuple[LoanEntry, ...]:
    """The entries that `turn` would take out or bring back; nothing is changed."""
    found = _rows(archive, uid)
    _, touched = _next(found, way)
    with understood(archive.path, "the entries of a loan"):
        return tuple(_entry(row) for row in found if row[5] == touched)


def _next(found: Sequence[tuple[Any, ...]], way: Turn) -> tuple[int, int]:
    """The action to take back next, and the action whose entries that touches; 0 and 0 without one."""
    live = _live(found)
    said = {row[5] for row in found if row[6] is None}
    if way == "undo":
        wanted = max(said & live.keys(), default=0)
        return (wanted, wanted) if wanted > 1 else (0, 0)
    wanted = max((action for action, back in live.items() if back in said), default=0)
    if wanted < max(said, default=0):  # something was entered after the newest undo
        return 0, 0
    return wanted, live.get(wanted) or 0


def load(archive: Archive, number: int | None = None) -> Loan | None:
    """The loan of that number, else the newest; None where there is none at all.

    Raises UsageProblem for a number that no loan has.
    """
    with archive.snapshot():
        uids = _uids(archive)
        if number is not None and not 1 <= number <= len(uids):
            raise UsageProblem(
                f"No loan goes by {number}.",
                remedy="`drydown plan --template` prints the form of one." if not uids else "",
                expected=f"a number from 1 to {len(uids)}" if uids else "",
            )
        if not uids:
            return None
        number = number or len(uids)
        return _load(archive, uids[number - 1], number, foreign=True)


def current(archive: Archive, loan: Loan) -> Loan:
    """A loan as it stands by now: another program may have entered something since it was loaded."""
    with archive.snapshot():
        return _load(archive, loan.uid, loan.number, foreign=True)


def every(archive: Archive) -> tuple[Loan, ...]:
    """All loans, oldest first."""
    with archive.snapshot():
        return tuple(_load(archive, uid, place, foreign=True) for place, uid in enumerate(_uids(archive), 1))


def _uids(archive: Archive) -> list[str]:
    found = archive.rows("SELECT loan FROM loan_entry GROUP BY loan ORDER BY min(id)")
    return [uid for (uid,) in found]


def _number(archive: Archive, uid: str) -> int:
    return _uids(archive).index(uid) + 1


def _next_action(archive: Archive, uid: str) -> int:
    row = archive.row("SELECT coalesce(max(action), 0) + 1 FROM loan_entry WHERE loan = ?", (uid,))
    return int(row[0]) if row else 1


def _rows(archive: Archive, uid: str) -> list[tuple[Any, ...]]:
    return archive.rows(f"SELECT {_COLUMNS} FROM loan_entry WHERE loan = ? ORDER BY action, id", (uid,))


def _load(archive: Archive, uid: str, number: int, *, foreign: bool) -> Loan:
    """What is not `foreign` was entered just now: nonsense in it is the caller's, and no damage."""
    found = _rows(archive, uid)
    live = _live(found)
    if not foreign:
        return folded(uid, number, [_entry(row) for row in found if row[6] is None and row[5] in live])
    with understood(archive.path, f"loan {number}"):
        return folded(uid, number, [_entry(row) for row in found if row[6] is None and row[5] in live])


def _live(found: Sequence[tuple[Any, ...]]) -> dict[int, int | None]:
    """The actions that count, with the action each takes back; the newest decides first."""
    takes_back: dict[int, int | None] = {row[5]: row[6] for row in found}
    out: set[int] = set()
    for action in sorted(takes_back, reverse=True):
        back = takes_back[action]
        if back is not None and action not in out:
            out.add(back)
    return {action: back for action, back in takes_back.items() if action not in out}


def _entry(row: tuple[Any, ...]) -> LoanEntry:
    id_, kind, subject, value, at, action, _ = row
    return LoanEntry(id_, kind, subject, json.loads(value), moment(at), action)


@dataclass(frozen=True, slots=True)
class LoanSession:
    """How far a session of a loan is. `viewed`: when each full viewing of it began."""

    number: int
    removed: bool
    state: str
    printed_at: datetime | None
    dries_until: datetime | None
    has_profile: bool  # a profile is named, or readings of unmanaged patches are in
    viewed: tuple[datetime, ...]


def standings(archive: Archive, uids: Iterable[str]) -> dict[str, LoanSession]:
    """Of each session that is there, by its lasting name."""
    wanted = tuple(uids)
    found = archive.rows(
        f"""
        SELECT s.uid, s.id, s.removed IS NOT NULL, s.state, s.printed_at, s.dries_until,
               coalesce((SELECT e.value NOT IN ('null', '""') FROM entry AS e WHERE e.session = s.id
                         AND e.kind = 'condition' AND e.subject = 'profile' AND e.undone = 0
                         ORDER BY e.id DESC LIMIT 1), 0)
               OR EXISTS (SELECT 1 FROM readings AS r WHERE r.session = s.id AND r.printed_as = 'unmanaged'),
               (SELECT json_group_array(v.started) FROM viewing AS v
                WHERE v.session = s.id AND v.kind = 'full')
        FROM session AS s WHERE s.uid IN ({", ".join("?" * len(wanted))})
        """,
        wanted,
    )
    with understood(archive.path, "the sessions of a loan"):
        return {
            uid: LoanSession(
                number,
                bool(removed),
                state,
                moment_or_none(printed),
                moment_or_none(dries),
                bool(profile),
                tuple(map(moment, json.loads(viewed))),
            )
            for uid, number, removed, state, printed, dries, profile, viewed in found
        }
