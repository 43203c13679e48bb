"""Heads of readings of patches printed unmanaged, over all sessions: what may be offered to another."""

from dataclasses import dataclass

from evaluation.archive.connection import Archive


@dataclass(frozen=True, slots=True)
class ChartHead:
    """A run and the session it was loaded in; none of its readings."""

    id: int
    session: int
    source: str | None
    source_name: str
    part: str
    condition: str | None
    count: int


def heads(archive: Archive) -> tuple[ChartHead, ...]:
    """Of runs that are in, with device values, of sessions on the list; oldest first."""
    found = archive.rows("""
        SELECT r.id, r.session, r.source, r.source_name, r.part, r.condition, r.count
        FROM readings AS r JOIN session AS s ON s.id = r.session
        WHERE r.printed_as = 'unmanaged' AND r.device IS NOT NULL AND s.removed IS NULL AND '"in"' = (
            SELECT value FROM entry
            WHERE session = r.session AND kind = 'readings' AND subject = CAST(r.id AS TEXT) AND undone = 0
            ORDER BY id DESC LIMIT 1)
        ORDER BY r.id
        """)
    return tuple(ChartHead(*row) for row in found)
