"""What sessions hold, by lasting names: the same in every archive, whatever numbers its rows have there."""

import hashlib
import json
import sqlite3
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

Name = str  # origin/sequence

_CHOSEN: Final = "(SELECT value FROM json_each(?1))"  # numbers of sessions


def _name(table: str, alias: str) -> str:
    return f"(SELECT origin || '/' || sequence FROM birth WHERE what = '{table}' AND number = {alias})"


_RUN: Final = (
    "added, source, source_name, part, reader, condition, stated, printed_as, rounding, remarks, count, "
    "patches, device_space, device, wavelengths, spectra, lab, xyz"
)
# Name, number here, session, action, and what never changes of each row: in the order they can come in.
_QUERIES: Final[Mapping[str, str]] = {
    "viewing": f"""
        SELECT {_name("viewing", "v.id")}, v.id, s.uid, 0, v.observer, v.kind, v.region_order, v.started,
               (SELECT uid FROM session WHERE id = v.reference), v.family
        FROM viewing AS v JOIN session AS s ON s.id = v.session WHERE s.id IN {_CHOSEN} ORDER BY v.id""",
    "readings": f"""
        SELECT {_name("readings", "r.id")}, r.id, s.uid, 0, {_RUN}
        FROM readings AS r JOIN session AS s ON s.id = r.session WHERE s.id IN {_CHOSEN} ORDER BY r.id""",
    "entry": f"""
        SELECT {_name("entry", "e.id")}, e.id, s.uid, e.action, {_name("viewing", "e.viewing")}, e.kind,
               CASE e.kind WHEN 'readings' THEN {_name("readings", "CAST(e.subject AS INTEGER)")}
                           ELSE e.subject END,
               CASE WHEN e.kind = 'condition' AND e.subject = 'black_from' AND e.value <> 'null'
                    THEN (SELECT uid FROM session WHERE id = CAST(e.value AS INTEGER)) ELSE e.value END,
               e.at, e.after_reveal
        FROM entry AS e JOIN session AS s ON s.id = e.session WHERE s.id IN {_CHOSEN} ORDER BY e.id""",
    "turn": f"""
        SELECT {_name("turn", "t.id")}, t.id, s.uid, 0,
               {_name("entry", "t.entry")}, {_name("turn", "t.takes_back")}
        FROM turn AS t JOIN entry AS e ON e.id = t.entry JOIN session AS s ON s.id = e.session
        WHERE s.id IN {_CHOSEN} ORDER BY t.id""",
    "round": f"""
        SELECT {_name("round", "r.id")}, r.id, '', 0, r.started, r.observer, r.region, r.ask,
               (SELECT json_group_array(json_array(json_extract(p.value, '$[0]'),
                    (SELECT uid FROM session WHERE id = json_extract(p.value, '$[1]'))))
                FROM json_each(r.prints) AS p), r.shown, r.family
        FROM round AS r WHERE NOT EXISTS (
            SELECT 1 FROM json_each(r.prints) AS p WHERE json_extract(p.value, '$[1]') NOT IN {_CHOSEN})
        ORDER BY r.id""",
    "judgement": f"""
        SELECT {_name("judgement", "j.id")}, j.id, '', 0, {_name("round", "j.round")}, j.place, j.named, j.at
        FROM judgement AS j JOIN round AS r ON r.id = j.round WHERE NOT EXISTS (
            SELECT 1 FROM json_each(r.prints) AS p WHERE json_extract(p.value, '$[1]') NOT IN {_CHOSEN})
        ORDER BY j.id""",
}
# What a digest is made of, in columns: later versions may add some, which enter it where they say anything.
_AT_FIRST: Final = {"viewing": 5, "readings": 18, "entry": 6, "turn": 2, "round": 6, "judgement": 4}
_SIGHTS: Final = f"""
    SELECT {_name("entry", "g.entry")}, {_name("entry", "g.saw")}
    FROM sight AS g JOIN entry AS e ON e.id = g.entry WHERE e.session IN {_CHOSEN}"""


@dataclass(frozen=True, slots=True)
class Record:
    """A row by its lasting name. `session` is a uid, "" of rounds; `action` and `number` hold here alone."""

    what: str
    name: Name
    number: int
    session: str
    action: int
    content: tuple[Any, ...]

    @property
    def line(self) -> str:
        """The same text wherever the record is read; arrays by their digest.

        What a later version added stays out where it is empty: bundles made before agree with their digests.
        """
        plain = [hashlib.sha256(one).hexdigest() if isinstance(one, bytes) else one for one in self.content]
        while len(plain) > _AT_FIRST[self.what] and plain[-1] in ("", None):
            plain.pop()
        return json.dumps([self.what, self.name, self.session, plain])


@dataclass(frozen=True, slots=True)
class Head:
    """A session without what it holds. `copied_from` is a uid; `removed` as the archive keeps it."""

    uid: str
    number: int
    sheet: str
    created: str
    removed: str | None
    copied_from: str | None


@dataclass(frozen=True, slots=True)
class Holdings:
    """Sessions with all they hold: records in the order they came, and what entries were made in sight of."""

    sessions: Mapping[str, Head]
    records: Mapping[Name, Record]
    sights: frozenset[tuple[Name, Name]]

    def of(self, table: str) -> Iterator[Record]:
        """The records of one table, in order."""
        return (record for record in self.records.values() if record.what == table)

    def live(self) -> frozenset[Name]:
        """The entries that count: each undo of them was taken back."""
        back = {record.content[1] for record in self.of("turn")}
        out = {
            turn.content[0] for turn in self.of("turn") if turn.content[1] is None and turn.name not in back
        }
        return frozenset(record.name for record in self.of("entry") if record.name not in out)


def read(connection: sqlite3.Connection, numbers: Collection[int]) -> Holdings:
    """What these sessions hold, and the rounds with no print but theirs. Raises sqlite3.Error.

    Raises ValueError for rows without a name, or that point to what is not there.
    """
    chosen = (json.dumps(sorted(numbers)),)
    heads = connection.execute(
        f"SELECT uid, id, sheet, created, removed, (SELECT uid FROM session AS c WHERE c.id = s.copied_from) "
        f"FROM session AS s WHERE id IN {_CHOSEN} ORDER BY id",
        chosen,
    )
    records: dict[Name, Record] = {}
    for table, query in _QUERIES.items():
        for name, number, session, action, *content in connection.execute(query, chosen):
            if name is None or name in records:
                raise ValueError(f"a row of {table} without a name of its own")
            records[name] = Record(table, name, number, session, action, tuple(content))
            if table == "entry" and (content[2] is None or content[3] is None):
                raise ValueError("an entry that points to what is not there")
    sights = frozenset(connection.execute(_SIGHTS, chosen))
    return Holdings({row[0]: Head(*row) for row in heads}, records, sights)


def digests(held: Holdings) -> dict[tuple[str, str], str]:
    """A digest for each session, and one for all rounds."""
    lines: dict[str, list[str]] = {uid: [] for uid in held.sessions}
    for record in held.records.values():
        lines.setdefault(record.session, []).append(record.line)
    for entry, saw in held.sights:
        lines[held.records[entry].session].append(json.dumps(["sight", entry, saw]))
    for uid, head in held.sessions.items():
        lines[uid].append(
            json.dumps(["session", uid, head.sheet, head.created, head.removed, head.copied_from])
        )
    lines.setdefault("", [])
    return {
        ("session", uid) if uid else ("rounds", ""): hashlib.sha256(
            "\n".join(sorted(each)).encode()
        ).hexdigest()
        for uid, each in lines.items()
    }
