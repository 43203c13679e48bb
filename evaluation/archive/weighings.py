"""Stored weighings: a cache beside the session, one for each set of settings. Standard library only.

What is kept is what could be worked out again; it saves a list of ten thousand sessions from weighing them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from evaluation.archive.connection import Archive
from evaluation.archive.moments import moment, stamped


@dataclass(frozen=True, slots=True)
class Stored:
    """A weighing as it was kept. `stale`: the session changed since it stood at `revision`."""

    session: int
    settings: str
    revision: int
    engine: str
    at: datetime
    disagree: int
    result: str
    stale: bool


def put(
    archive: Archive,
    session_id: int,
    settings: str,
    *,
    revision: int,
    engine: str,
    now: datetime,
    result: str,
    verdicts: Mapping[str, str],
    disagree: int,
) -> bool:
    """Keep a weighing (JSON text) in place of the one before; False when a newer one is there already.

    `settings` is the digest of the kept tables it was made with, `engine` the version of drydown, `verdicts`
    the word for each use, `disagree` the number of regions where eye and instrument disagree.
    """
    with archive.joined() as connection:
        written = connection.execute(
            """
            INSERT INTO weighing (session, settings, revision, engine, at, disagree, result)
            VALUES (?, ?, ?, ?, ?, ?, ?)
            ON CONFLICT (session, settings) DO UPDATE SET revision = excluded.revision,
                engine = excluded.engine, at = excluded.at, disagree = excluded.disagree,
                result = excluded.result
            WHERE excluded.revision >= weighing.revision
            RETURNING 1
            """,
            (session_id, settings, revision, engine, stamped(now), disagree, result),
        ).fetchall()
        if not written:
            return False
        connection.execute("DELETE FROM verdict WHERE session = ? AND settings = ?", (session_id, settings))
        connection.executemany(
            "INSERT INTO verdict (session, settings, use, verdict) VALUES (?, ?, ?, ?)",
            [(session_id, settings, use, word) for use, word in verdicts.items()],
        )
        return True


def get(archive: Archive, session_id: int, settings: str) -> Stored | None:
    """The kept weighing with these settings, or None when there is none."""
    row = archive.row(
        """
        SELECT w.session, w.settings, w.revision, w.engine, w.at, w.disagree, w.result,
               w.revision < s.revision
        FROM weighing AS w JOIN session AS s ON s.id = w.session WHERE w.session = ? AND w.settings = ?
        """,
        (session_id, settings),
    )
    if row is None:
        return None
    session, digest, revision, engine, at, disagree, result, stale = row
    return Stored(session, digest, revision, engine, moment(at), disagree, result, bool(stale))


def verdicts(archive: Archive, session_id: int, settings: str) -> dict[str, str]:
    """The word for each use of the kept weighing; empty when there is none."""
    return dict(
        archive.rows(
            "SELECT use, verdict FROM verdict WHERE session = ? AND settings = ?", (session_id, settings)
        )
    )


def of_observer(
    archive: Archive, observer: str, settings: str, *, but: int, looked_through: int = 200, most: int = 40
) -> tuple[str, ...]:
    """Results of the newest sessions that one observer alone has looked at, none of them after a reveal.

    Stale ones and session `but` are left out. Only the newest `looked_through` weighings are gone through, so
    that an archive of ten thousand sessions takes no longer than one of a hundred.
    """
    rows = archive.rows(
        """
        SELECT w.result
        FROM (
            SELECT session, revision, result FROM weighing WHERE settings = ? ORDER BY session DESC LIMIT ?
        ) AS w
        JOIN session AS s ON s.id = w.session AND s.revision = w.revision
        WHERE w.session <> ?
          AND EXISTS (SELECT 1 FROM viewing AS v WHERE v.session = w.session)
          AND NOT EXISTS (SELECT 1 FROM viewing AS v WHERE v.session = w.session AND v.observer <> ?)
          AND NOT EXISTS (
            SELECT 1 FROM entry AS e WHERE e.session = w.session AND e.after_reveal = 1 AND e.undone = 0
          )
        ORDER BY w.session DESC LIMIT ?
        """,
        (settings, looked_through, but, observer, most),
    )
    return tuple(result for (result,) in rows)
