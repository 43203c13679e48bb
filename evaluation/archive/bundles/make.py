"""A bundle: one file with what a few sessions need, that opens as an archive to look at."""

import contextlib
import json
import sqlite3
from collections.abc import Collection
from datetime import datetime
from pathlib import Path
from typing import Final

from evaluation.archive import held, schema
from evaluation.archive.bundles import records, sealed
from evaluation.archive.bundles.bring import Bringing, documents_of
from evaluation.archive.bundles.nameless import without_names
from evaluation.archive.bundles.nouns import Bundled
from evaluation.archive.bundles.records import Holdings
from evaluation.archive.connection import Archive
from evaluation.archive.moments import stamped
from evaluation.archive.sqlite import DAMAGED
from evaluation.archive.upkeep import Progress, new_file, not_copied, untold, within
from evaluation.errors import ArchiveProblem
from evaluation.system_words import unwritten

NOT_MADE: Final = "No bundle was made."
_AT_A_TIME: Final = 250  # records
# Sessions that a session leans on: the black it should reach, a reference beside it, readings taken over.
_LEANS_ON: Final = """
    SELECT CAST(value AS INTEGER) FROM entry
    WHERE session = ?1 AND kind = 'condition' AND subject = 'black_from' AND value <> 'null'
    UNION SELECT reference FROM viewing WHERE session = ?1 AND reference IS NOT NULL
    UNION SELECT r.session FROM entry AS e JOIN readings AS r ON r.id = CAST(e.subject AS INTEGER)
    WHERE e.session = ?1 AND e.kind = 'readings'"""


def make(
    archive: Archive,
    sessions: Collection[int],
    file: Path,
    now: datetime,
    drydown: str,
    *,
    names: bool = True,
    pictures: bool = True,
    progress: Progress = untold,
) -> Bundled:
    """Write a bundle of these sessions to a new file. `progress` is called for each part; may raise to stop.

    Raises ArchiveProblem where one of that name is there, nothing can be written there, or rows are damaged.
    """
    held.refuse(file, NOT_MADE)
    with new_file(file, NOT_MADE) as draft, archive.snapshot():
        wanted = _with_others(archive, sessions)
        try:
            found = records.read(archive.connection, wanted)
            found = found if pictures else _without_pictures(found)
            found = found if names else without_names(found)
            about = sealed.BundleFacts(
                stamped(now), archive.rows("SELECT origin FROM origin")[0][0], drydown, names, pictures
            )
            documents = _write(archive.connection, found, draft, about, progress)
        except sqlite3.OperationalError as error:
            raise not_copied(
                file, "a folder that can be written to", *unwritten(error), what=NOT_MADE
            ) from error
        except (ValueError, TypeError, LookupError) as error:
            raise ArchiveProblem(
                NOT_MADE,
                where=str(archive.path),
                expected="sound sessions",
                found=str(error),
                remedy=DAMAGED[1],
            ) from error
    also = tuple(sorted(wanted - set(sessions)))
    return Bundled(tuple(sessions), also, documents, file.stat().st_size)


def leans_on(archive: Archive, sessions: Collection[int]) -> tuple[int, ...]:
    """The sessions that a bundle of these holds as well."""
    return tuple(sorted(_with_others(archive, sessions) - set(sessions)))


def _with_others(archive: Archive, sessions: Collection[int]) -> set[int]:
    wanted: set[int] = set()
    waiting = list(sessions)
    while waiting:
        if (number := waiting.pop()) not in wanted:
            wanted.add(number)
            waiting += [other for (other,) in archive.rows(_LEANS_ON, (number,))]
    return wanted


def _without_pictures(found: Holdings) -> Holdings:
    """Without photographs, and the entries that name them: merged later, a whole bundle brings both."""
    dropped = {one.name for one in found.of("entry") if one.content[1] == "attachment"}
    records_left = {
        name: one
        for name, one in found.records.items()
        if name not in dropped and not (one.what == "turn" and one.content[0] in dropped)
    }
    return Holdings(found.sessions, records_left, frozenset(p for p in found.sights if not dropped & set(p)))


def _write(
    source: sqlite3.Connection, found: Holdings, draft: Path, about: sealed.BundleFacts, progress: Progress
) -> int:
    first, then = within(progress, 0, 50), within(progress, 50, 100)
    with contextlib.closing(sqlite3.connect(draft, isolation_level=None)) as into:
        into.execute("PRAGMA journal_mode = MEMORY")  # nobody sees the draft before it is whole
        schema.upgrade(into, schema.scripts())
        into.execute("PRAGMA foreign_keys = ON")
        into.execute("BEGIN IMMEDIATE")
        digests = sorted(documents_of(found))
        documents = source.execute(
            "SELECT digest, kind, name, size, content FROM document "
            "WHERE digest IN (SELECT value FROM json_each(?))",
            (json.dumps(digests),),
        )
        count = 0
        for digest, kind, name, size, content in documents:
            shown = name if about.with_names else f"{kind} {digest[:12]}"
            into.execute("INSERT INTO document VALUES (?, ?, ?, ?, ?)", (digest, kind, shown, size, content))
            count += 1
            first(count, len(digests), f"{kind} {count} of {len(digests)}")
        bringing, live = Bringing(source, into), found.live()
        # The oldest first, so that a session finds the one it was begun like.
        for head in found.sessions.values():
            bringing.session(head)
        many = len(found.records)
        for place, record in enumerate(found.records.values()):
            bringing.record(record, live)
            if place % _AT_A_TIME == 0:
                then(place, many, f"{place} of {many} entries")
        for pair in found.sights:
            bringing.sight(*pair)
        families = source.execute("SELECT number, family FROM other_family")
        into.executemany("INSERT INTO other_family VALUES (?, ?)", families)
        sealed.close(into, about)
        into.execute("UPDATE origin SET place = ''")
        into.execute("COMMIT")
        into.execute("PRAGMA journal_mode = DELETE")
    return count
