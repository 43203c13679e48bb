"""Sessions of one archive into another: rows under their lasting names, with numbers of their new place.

It works in an open transaction of `into`. Of what the tables keep from being rewritten, only numbers and
ordinals are rewritten here: they hold in one archive alone.
"""

import contextlib
import json
import sqlite3
from collections.abc import Collection, Iterator
from typing import Any, Final

from evaluation.archive.bundles import causality
from evaluation.archive.bundles.causality import EntryInSight
from evaluation.archive.bundles.records import Head, Holdings, Name, Record

Subject = tuple[int, int | None, str, str]  # session, viewing, kind, name: numbers of this archive

_RUN: Final = (
    "session, added, source, source_name, part, reader, condition, stated, printed_as, rounding, remarks, "
    "count, patches, device_space, device, wavelengths, spectra, lab, xyz"
)
_COLUMNS: Final = {
    "viewing": "session, observer, kind, region_order, started, reference, ordinal, family",
    "readings": _RUN,
    "entry": "session, viewing, kind, subject, value, at, after_reveal, action, undone",
    "turn": "entry, takes_back",
    "round": "started, observer, region, ask, prints, shown, family",
    "judgement": "round, place, named, at",
}
_SUMMARY: Final = (
    "revision, touched, printer, paper, printed, printed_at, made_for, state, dries_until, regions, looked, "
    "again, words"
)


class Bringing:
    """One taking of records into an archive: the numbers that their names have there."""

    def __init__(self, source: sqlite3.Connection, into: sqlite3.Connection) -> None:
        self._source = source
        self._into = into
        self._next: dict[str, int] = {}
        self._numbers: dict[Name, int] = {}
        self._actions: dict[tuple[str, int], int] = {}

    def number_of(self, name: Name | None) -> int | None:
        """The number of what goes by a name in this archive; None for None. Raises KeyError."""
        if name is None:
            return None
        if name not in self._numbers:
            origin, _, sequence = name.partition("/")
            row = self._into.execute(
                "SELECT number FROM birth WHERE origin = ? AND sequence = ?", (origin, int(sequence))
            ).fetchone()
            if row is None:
                raise KeyError(name)
            self._numbers[name] = int(row[0])
        return self._numbers[name]

    def session_of(self, uid: str | None) -> int | None:
        """The number of a session in this archive; None for None. Raises KeyError."""
        if uid is None:
            return None
        row = self._into.execute("SELECT id FROM session WHERE uid = ?", (uid,)).fetchone()
        if row is None:
            raise KeyError(uid)
        return int(row[0])

    def session(self, head: Head) -> None:
        """A new session, with what its own list showed of it."""
        shown = self._source.execute(
            f"SELECT {_SUMMARY} FROM session WHERE id = ?", (head.number,)
        ).fetchone()
        copied_from = None
        with contextlib.suppress(KeyError):
            copied_from = self.session_of(head.copied_from)
        self._insert(
            "session",
            f"uid, sheet, created, removed, copied_from, {_SUMMARY}",
            (head.uid, head.sheet, head.created, head.removed, copied_from, *shown),
        )

    def record(self, record: Record, live: Collection[Name]) -> int:
        """A row that this archive has not; its number. Raises KeyError where it points to nothing."""
        columns = _COLUMNS[record.what]
        number = self._free(record.what)
        origin, _, sequence = record.name.partition("/")
        self._into.execute(
            "INSERT INTO birth VALUES (?, ?, ?, ?)", (origin, int(sequence), record.what, number)
        )
        self._insert(record.what, f"id, {columns}", (number, *self._values(record, live)))
        self._numbers[record.name] = number
        return number

    def sight(self, entry: Name, saw: Name) -> None:
        """What an entry was made in sight of."""
        self._into.execute(
            "INSERT OR IGNORE INTO sight VALUES (?, ?)", (self.number_of(entry), self.number_of(saw))
        )

    def _values(self, record: Record, live: Collection[Name]) -> tuple[Any, ...]:
        content = record.content
        match record.what:
            case "viewing":
                session = self.session_of(record.session)
                (ordinal,) = self._into.execute(
                    "SELECT coalesce(max(ordinal), 0) + 1 FROM viewing WHERE session = ?", (session,)
                ).fetchone()
                return (session, *content[:4], self.session_of(content[4]), ordinal, content[5])
            case "readings":
                return (self.session_of(record.session), *content)
            case "entry":
                viewing, kind, subject, value, at, after_reveal = content
                if kind == "readings":
                    subject = str(self.number_of(subject))
                if kind == "condition" and subject == "black_from" and value != "null":
                    value = str(self.session_of(value))
                session = self.session_of(record.session)
                action = self._action(session, record)
                undone = 0 if record.name in live else -1
                number = self.number_of(viewing)
                return (session, number, kind, subject, value, at, after_reveal, action, undone)
            case "turn":
                return tuple(map(self.number_of, content))
            case "round":
                prints = [[letter, self.session_of(uid)] for letter, uid in json.loads(content[4])]
                return (*content[:4], json.dumps(prints, separators=(",", ":")), *content[5:])
        return (self.number_of(content[0]), *content[1:])

    def _action(self, session: int | None, record: Record) -> int:
        key = (record.session, record.action)
        if key not in self._actions:
            (self._actions[key],) = self._into.execute(
                "SELECT coalesce(max(action), 0) + 1 FROM entry WHERE session = ?", (session,)
            ).fetchone()
        return self._actions[key]

    def _free(self, table: str) -> int:
        if table not in self._next:
            (last,) = self._into.execute(f"SELECT coalesce(max(id), 0) FROM {table}").fetchone()
            self._next[table] = int(last)
        self._next[table] += 1
        return self._next[table]

    def _insert(self, table: str, columns: str, values: tuple[Any, ...]) -> None:
        marks = ", ".join("?" * len(values))
        self._into.execute(f"INSERT INTO {table} ({columns}) VALUES ({marks})", values)


def documents_of(held: Holdings) -> set[str]:
    """The digests of all documents that sessions name, whether they are there or not."""
    found: set[Any] = {head.sheet for head in held.sessions.values()}
    found |= {record.content[1] for record in held.of("readings")}
    for entry in held.of("entry"):
        _, kind, subject, value, *_ = entry.content
        if kind == "written":
            found.add(subject)
        elif kind == "attachment" or (kind == "condition" and subject == "profile_digest"):
            said = json.loads(value)
            found.add(said.get("digest") if isinstance(said, dict) else said)
    return {one for one in found if isinstance(one, str)}


@contextlib.contextmanager
def rewriting(connection: sqlite3.Connection, *triggers: str) -> Iterator[None]:
    """Without these triggers, in an open transaction: afterwards they are as they were."""
    marks = ", ".join("?" * len(triggers))
    made = connection.execute(
        f"SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND name IN ({marks})", triggers
    ).fetchall()
    for name, _ in made:
        connection.execute(f"DROP TRIGGER {name}")
    yield
    for _, sql in made:
        connection.execute(sql)


def count_again(connection: sqlite3.Connection, session: int) -> bool:
    """Let the entries of a session count as their undos say; whether any changed."""
    undone = """
        EXISTS (SELECT 1 FROM turn AS t WHERE t.entry = entry.id AND t.takes_back IS NULL
                AND NOT EXISTS (SELECT 1 FROM turn AS r WHERE r.takes_back = t.id))"""
    changed = connection.execute(
        f"SELECT id, {undone} FROM entry WHERE session = ? AND (undone <> 0) <> {undone}", (session,)
    ).fetchall()
    if changed:
        with rewriting(connection, "entry_is_undone", "entry_is_redone", "overtaken_entry_stays_undone"):
            connection.executemany(
                "UPDATE entry SET undone = ? WHERE id = ?",
                [(-1 if out else 0, number) for number, out in changed],
            )
    return bool(changed)


def order_viewings(connection: sqlite3.Connection, session: int) -> bool:
    """Number the viewings of a session as they were begun; whether any number changed."""
    found = connection.execute(
        "SELECT v.id, v.ordinal FROM viewing AS v JOIN birth AS b ON b.what = 'viewing' AND b.number = v.id "
        "WHERE v.session = ? ORDER BY v.started, b.origin, b.sequence",
        (session,),
    ).fetchall()
    if [ordinal for _, ordinal in found] == list(range(1, len(found) + 1)):
        return False
    with rewriting(connection, "viewing_is_immutable"):
        high = max(ordinal for _, ordinal in found)  # two of one ordinal may not be, meanwhile either
        for start in (high, 0):
            connection.executemany(
                "UPDATE viewing SET ordinal = ? WHERE id = ?",
                [(start + place, number) for place, (number, _) in enumerate(found, start=1)],
            )
    return True


def told(connection: sqlite3.Connection, subject: Subject) -> list[EntryInSight]:
    """All entries on a subject."""
    found = connection.execute(
        """
        SELECT b.origin || '/' || b.sequence, e.id, e.undone = 0, e.value,
               (SELECT json_group_array(p.origin || '/' || p.sequence)
                FROM sight AS g JOIN birth AS p ON p.what = 'entry' AND p.number = g.saw WHERE g.entry = e.id)
        FROM entry AS e JOIN birth AS b ON b.what = 'entry' AND b.number = e.id
        WHERE e.session = ? AND e.viewing IS ? AND e.kind = ? AND e.subject = ? ORDER BY e.id
        """,
        subject,
    )
    return [
        EntryInSight(name, number, bool(live), value, tuple(json.loads(saw)))
        for name, number, live, value, saw in found
    ]


def let_count(connection: sqlite3.Connection, subject: Subject, name: Name) -> None:
    """Let an entry go on counting where others that stand apart from it came in behind it."""
    found = told(connection, subject)
    apart = causality.apart(found)
    if not apart or apart[-1].name == name or name not in {one.name for one in apart}:
        return
    numbers = sorted(one.number for one in found)
    to = {
        one.number: number
        for one, number in zip(causality.with_last(found, name), numbers, strict=True)
        if one.number != number
    }
    names = ("entry_is_immutable", "birth_is_immutable", "turn_is_immutable", "sight_is_immutable")
    connection.execute("PRAGMA defer_foreign_keys = ON")
    with rewriting(connection, *names):
        for away in (True, False):  # over free numbers: no two may be alike, meanwhile either
            moves = [(-new, old) if away else (new, -new) for old, new in to.items()]
            for statement in (
                "UPDATE entry SET id = ? WHERE id = ?",
                "UPDATE birth SET number = ? WHERE what = 'entry' AND number = ?",
                "UPDATE turn SET entry = ? WHERE entry = ?",
                "UPDATE sight SET entry = ? WHERE entry = ?",
                "UPDATE sight SET saw = ? WHERE saw = ?",
            ):
                connection.executemany(statement, moves)
