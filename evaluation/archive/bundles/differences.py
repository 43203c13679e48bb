"""What was entered apart from each other on one subject: all of it stands until a person has chosen."""

import json
from collections.abc import Collection
from typing import Final

from evaluation.archive.bundles import bring, causality
from evaluation.archive.bundles.nouns import Divergence, Version
from evaluation.archive.connection import Archive
from evaluation.archive.moments import moment
from evaluation.archive.sqlite import understood

# Of these the newest is as good as any other, and nobody need choose.
_NO_CHOICE: Final = ("timer", "reveal", "written")
# Sessions with an entry that came by a merge: only there can anything stand apart. CROSS JOIN keeps the order
# of the tables, so that it costs what came, not what is here.
_MET: Final = """
    SELECT o.session FROM elsewhere AS w CROSS JOIN birth AS n ON n.origin = w.origin AND +n.what = 'entry'
    CROSS JOIN entry AS o ON o.id = n.number"""


def differences(archive: Archive, sessions: Collection[int] | None = None) -> tuple[Divergence, ...]:
    """What is still to be chosen, in these sessions or in all. Raises ArchiveProblem for damaged rows."""
    if not archive.rows("SELECT 1 FROM elsewhere LIMIT 1"):
        return ()
    among = _MET if sessions is None else "SELECT value FROM json_each(?)"
    marks = ", ".join(f"'{kind}'" for kind in _NO_CHOICE)
    subjects = archive.rows(
        f"""
        SELECT e.session, e.viewing, e.kind, e.subject
        FROM entry AS e CROSS JOIN birth AS b ON b.what = 'entry' AND b.number = e.id
        WHERE e.undone = 0 AND e.kind NOT IN ({marks}) AND e.session IN ({among})
        GROUP BY e.session, e.viewing, e.kind, e.subject
        HAVING count(DISTINCT b.origin) > 1 AND count(DISTINCT e.value) > 1
        ORDER BY e.session, e.kind, e.subject
        """,
        () if sessions is None else (json.dumps(sorted(sessions)),),
    )
    found = []
    with understood(archive.path, "what differs"):
        for session, viewing, kind, subject in subjects:
            entries = bring.told(archive.connection, (session, viewing, kind, subject))
            if apart := causality.apart(entries):
                versions = tuple(_version(archive, one) for one in _each_once(apart))
                found.append(Divergence(session, viewing, kind, subject, versions))
    return tuple(found)


def _each_once(apart: tuple[causality.EntryInSight, ...]) -> list[causality.EntryInSight]:
    """One for each value, in the order of the last entry that has it."""
    found: dict[str, causality.EntryInSight] = {}
    for one in apart:
        found.pop(one.value, None)
        found[one.value] = one
    return list(found.values())


def _version(archive: Archive, one: causality.EntryInSight) -> Version:
    ((at, came),) = archive.rows(
        "SELECT at, (SELECT 1 FROM elsewhere WHERE origin = ?) FROM entry WHERE id = ?",
        (one.origin, one.number),
    )
    return Version(json.loads(one.value), moment(at), came is None)
