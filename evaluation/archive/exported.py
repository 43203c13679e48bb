"""What an export asks an archive for: lasting names, how its sessions stand, results that are up to date."""

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from evaluation.archive import rounds, triangles
from evaluation.archive.connection import Archive
from evaluation.archive.moments import moment
from evaluation.archive.sqlite import understood
from evaluation.archive.weighings import STALE, sum_of
from evaluation.rounds import ODD, Round, Triangles

Person = tuple[str, str]  # a name; or a role, and the family of archives within which it is one person

# The newest weighing of each listed session that is not out of date, whatever the settings.
_STANDING: Final = f"""
    SELECT session, settings, at, inputs, sum, disagree, verdict FROM (
        SELECT w.*, v.verdict,
               row_number() OVER (PARTITION BY w.session ORDER BY w.at DESC, w.settings) AS place
        FROM weighing AS w JOIN session AS s ON s.id = w.session
        LEFT JOIN verdict AS v ON v.session = s.id AND v.settings = w.settings
                              AND v.use = coalesce(s.made_for, 'general')
        WHERE s.removed IS NULL AND NOT {STALE})
    WHERE place = 1
"""
# Each listed session with a text that is another once anything in it is. What it rests on is only added to,
# so the newest of it tells; the moments are those of the entries, no file's.
_SESSIONS: Final = """
    SELECT s.id, s.uid, s.created, s.state, s.regions, s.looked,
           (SELECT uid FROM session AS c WHERE c.id = s.copied_from),
           json_array(s.sheet, s.revision, s.touched, s.state,
               (SELECT json_array(e.id, e.at, b.origin, b.sequence)
                FROM entry AS e LEFT JOIN birth AS b ON b.what = 'entry' AND b.number = e.id
                WHERE e.session = s.id ORDER BY e.id DESC LIMIT 1),
               (SELECT max(t.id) FROM turn AS t JOIN entry AS e ON e.id = t.entry WHERE e.session = s.id),
               (SELECT json_group_array(v.ordinal) FROM viewing AS v WHERE v.session = s.id))
    FROM session AS s WHERE s.removed IS NULL ORDER BY s.id
"""


@dataclass(frozen=True, slots=True)
class Result:
    """Which kept weighing of a session is up to date, and what a list shows of it."""

    settings: str
    at: datetime
    inputs: str
    sum: str
    disagree: int
    verdict: str | None


@dataclass(frozen=True, slots=True)
class Stands:
    """A listed session, what a list shows of it, and a text that is another once anything in it is.

    `copied_from` is a uid.
    """

    number: int
    uid: str
    created: datetime
    state: str
    regions: int
    looked: int
    copied_from: str | None
    standing: str
    result: Result | None


def origin(archive: Archive) -> str:
    """What the archive was born as, 32 hexadecimal digits. Raises ArchiveProblem where it is none."""
    found = archive.rows("SELECT origin FROM origin")
    with understood(archive.path, "what the archive was born as"):
        ((born,),) = found
        return UUID(hex=born).hex


def stands(archive: Archive, rules: int) -> tuple[Stands, ...]:
    """Every session on the list, oldest first. Results made by other rules are out of date.

    Raises ArchiveProblem where one was begun at no moment.
    """
    standing = archive.rows(_STANDING, (rules,))
    sessions = archive.rows(_SESSIONS)
    with understood(archive.path, "when sessions were begun, and weighed"):
        results = {row[0]: Result(row[1], moment(row[2]), *row[3:]) for row in standing}
        return tuple(
            Stands(number, uid, moment(created), *(*rest, results.get(number)))
            for number, uid, created, *rest in sessions
        )


def weighing(archive: Archive, session_id: int, result: Result) -> str | None:
    """The text of a kept weighing; None where it was damaged."""
    row = archive.row(
        "SELECT CAST(result AS BLOB) FROM weighing WHERE session = ? AND settings = ? AND sum = ?",
        (session_id, result.settings, result.sum),
    )
    return None if row is None or sum_of(row[0]) != result.sum else str(row[0], "utf-8")


def lasting_names(archive: Archive, table: str) -> dict[int, str]:
    """The lasting name of each row of a table, by its number here."""
    found = archive.rows("SELECT number, origin || '/' || sequence FROM birth WHERE what = ?", (table,))
    return {int(number): str(name) for number, name in found}


def uids(archive: Archive) -> dict[int, str]:
    """The lasting name of each session by its number here; those removed are among them."""
    return {int(number): str(uid) for number, uid in archive.rows("SELECT id, uid FROM session")}


def people(archive: Archive, table: str) -> dict[int, tuple[str, Person]]:
    """When somebody began to look and who, by the number of the viewing or of the round."""
    family = "CASE WHEN t.observer GLOB 'observer [0-9]*' THEN coalesce(nullif(t.family, ''), o.family) END"
    found = archive.rows(
        f"SELECT t.id, t.started, t.observer, ifnull({family}, '') FROM {table} AS t, origin AS o"
    )
    return {number: (str(at), (str(name), str(family))) for number, at, name, family in found}


def added(archive: Archive) -> dict[int, datetime]:
    """When each run was taken in."""
    found = archive.rows("SELECT id, added FROM readings")
    with understood(archive.path, "when readings were taken in"):
        return {int(number): moment(at) for number, at in found}


def rounds_over(archive: Archive) -> Iterator[Round]:
    """The rounds whose letters are no secret any more, oldest first."""
    for (number,) in archive.rows("SELECT id FROM round WHERE ask <> ? ORDER BY id", (ODD,)):
        if not (found := rounds.load(archive, number)).is_open:
            yield found


def triangles_over(archive: Archive) -> Iterator[Triangles]:
    """The triangles that wait for no answer, oldest first."""
    for (number,) in archive.rows("SELECT id FROM round WHERE ask = ? ORDER BY id", (ODD,)):
        if not (found := triangles.load(archive, number)).is_open:
            yield found


def digest(*parts: object) -> str:
    """Of what something stands as, for comparison."""
    return hashlib.sha256(json.dumps(parts, default=str).encode()).hexdigest()


def elsewhere(archive: Archive) -> list[str]:
    """The origins that came by a merge: what was shown to whoever sat there was not shown here."""
    return [str(origin) for (origin,) in archive.rows("SELECT origin FROM elsewhere ORDER BY origin")]
