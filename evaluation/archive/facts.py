"""Where facts for readers were stated, over all sessions."""

from evaluation.archive.connection import Archive
from evaluation.entry import FACT


def stated_in(archive: Archive) -> tuple[int, ...]:
    """Sessions on the list of which a fact was stated, newest first."""
    found = archive.rows(
        "SELECT DISTINCT e.session FROM entry AS e JOIN session AS s ON s.id = e.session "
        "WHERE e.kind = 'condition' AND e.undone = 0 AND substr(e.subject, 1, ?) = ? AND s.removed IS NULL "
        "ORDER BY e.session DESC",
        (len(FACT), FACT),
    )
    return tuple(int(row[0]) for row in found)
