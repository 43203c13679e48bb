"""Stored weighings: a cache beside the session, one for each set of settings. Standard library only.

What is kept is what could be worked out again; it saves a list of ten thousand sessions from weighing them. A
result is found by the digest of everything it rests on, or not at all. Lists, which do not know all of that,
go by the part of it that stands in columns (`STALE`).
"""

import hashlib
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Final

from evaluation.archive.connection import Archive
from evaluation.archive.moments import as_json, stamped

# Whether a kept weighing `w` of a session `s` is out of date, as far as a list knows: other rules (the one
# value), or the session changed, or one that it names. What lies outside the archive is not looked at.
STALE: Final = """
    (w.revision < s.revision OR w.rules <> ? OR w.named <> '[]' AND EXISTS (
        SELECT 1 FROM json_each(CASE WHEN json_valid(w.named) THEN w.named ELSE '[[0]]' END) AS n
        LEFT JOIN session AS o ON o.id = json_extract(n.value, '$[0]')
        WHERE o.id IS NULL OR o.revision <> json_extract(n.value, '$[1]')
           OR (o.removed IS NOT NULL) <> json_extract(n.value, '$[2]')))
"""


def put(
    archive: Archive,
    session_id: int,
    settings: str,
    *,
    inputs: str,
    rules: int,
    revision: int,
    named: Sequence[tuple[int, int, bool]],
    now: datetime,
    result: str,
    verdicts: Mapping[str, str],
    disagree: int,
) -> bool:
    """Keep a weighing (JSON text) in place of the one before; False when a newer one is there already.

    `settings` is the digest of the kept tables it was made with, `inputs` that of everything it rests on;
    `rules`, `revision` and `named` (session, revision, removed) are the part of it that lists look at.
    `verdicts` is the word for each use, `disagree` the number of regions where eye and instrument disagree.
    """
    stands = as_json([[session, at, int(removed)] for session, at, removed in named])
    with archive.joined() as connection:
        written = connection.execute(
            """
            INSERT INTO weighing
                (session, settings, inputs, rules, revision, named, at, disagree, result, sum)
            VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
            ON CONFLICT (session, settings) DO UPDATE SET inputs = excluded.inputs, rules = excluded.rules,
                revision = excluded.revision, named = excluded.named, at = excluded.at,
                disagree = excluded.disagree, result = excluded.result, sum = excluded.sum
            WHERE excluded.revision >= weighing.revision
            RETURNING 1
            """,
            (
                session_id,
                settings,
                inputs,
                rules,
                revision,
                stands,
                stamped(now),
                disagree,
                result,
                sum_of(result.encode("utf-8")),
            ),
        ).fetchall()
        if not written:
            return False
        connection.execute("DELETE FROM verdict WHERE session = ? AND settings = ?", (session_id, settings))
        connection.executemany(
            "INSERT INTO verdict (session, settings, use, verdict) VALUES (?, ?, ?, ?)",
            [(session_id, settings, use, word) for use, word in verdicts.items()],
        )
        return True


def get(archive: Archive, session_id: int, settings: str, inputs: str) -> str | None:
    """The kept weighing that rests on exactly these inputs, as it was put; None when there is none."""
    row = archive.row(
        "SELECT CAST(result AS BLOB), sum FROM weighing WHERE session = ? AND settings = ? AND inputs = ?",
        (session_id, settings, inputs),
    )
    return None if row is None or sum_of(row[0]) != row[1] else str(row[0], "utf-8")


def standing(archive: Archive, session_id: int, settings: str, rules: int) -> str | None:
    """The kept weighing as it was put, where a list takes it for up to date; None where there is none."""
    row = archive.row(
        f"SELECT CAST(w.result AS BLOB), w.sum FROM weighing AS w JOIN session AS s ON s.id = w.session "
        f"WHERE w.session = ? AND w.settings = ? AND NOT {STALE}",
        (session_id, settings, rules),
    )
    return None if row is None or sum_of(row[0]) != row[1] else str(row[0], "utf-8")


def disagreeing(archive: Archive, session_id: int, settings: str, rules: int) -> int | None:
    """In how many regions eye and readings disagree; None where nothing is kept, or it is out of date."""
    row = archive.row(
        f"SELECT w.disagree FROM weighing AS w JOIN session AS s ON s.id = w.session "
        f"WHERE w.session = ? AND w.settings = ? AND NOT {STALE}",
        (session_id, settings, rules),
    )
    return None if row is None else int(row[0])


def sum_of(result: bytes) -> str:
    """The checksum of a kept result: sha256 of its text in UTF-8, in hexadecimal."""
    return hashlib.sha256(result).hexdigest()
