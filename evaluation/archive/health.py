"""Is the archive sound: pages, references, tables, every document, every session, every run of readings."""

import contextlib
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from evaluation.archive import births, documents, loans, runs, schema, session_list, sessions
from evaluation.archive.connection import Archive
from evaluation.archive.sqlite import in_words, version
from evaluation.archive.upkeep import Progress
from evaluation.archive.weighings import sum_of
from evaluation.errors import ArchiveProblem

_COUNTED: Final = ("session", "entry", "readings", "document", "weighing")
# Documents that entries name: kind of entry, its subject, where the digest stands, how it is called.
_NAMED: Final = (
    ("condition", "profile_digest", "value", "$", "profile"),
    ("attachment", None, "value", "$.digest", "photograph"),
    ("written", None, "subject", None, "appendix"),
)


_KEPT: Final = (
    ("weighing", "session", "weighing of session {}"),
    ("comparison", "a, b", "comparison of sessions {} and {}"),
)


@dataclass(frozen=True, slots=True)
class Health:
    """What `check` found. `troubles` are sentences; none: the archive is sound."""

    version: int
    sessions: int
    entries: int
    readings: int
    documents: int
    weighings: int
    size: int  # bytes of the file
    troubles: tuple[str, ...]

    @property
    def sound(self) -> bool:
        """Whether no trouble was found."""
        return not self.troubles


def check(archive: Archive, progress: Progress | None = None) -> Health:
    """Look at everything in the archive, and name all that is damaged or lost.

    `progress(done, total, what)` counts what was looked at, kind by kind, and may raise to stop.

    Documents are unpacked and their digests worked out again, sessions are put together from their entries.
    Where pages are damaged the rest is still looked at, as far as it can be read.
    """
    troubles: list[str] = []
    counts = dict.fromkeys(_COUNTED, 0)
    with archive.snapshot():
        number = version(archive.connection)
        for place, (what, look) in enumerate(_LOOKS.items()):
            try:
                if progress is not None:
                    progress(place, len(_LOOKS), what)
                troubles += look(archive)
            except ArchiveProblem:
                troubles.append(f"The file is damaged: not all of its {what} could be looked at.")
        with contextlib.suppress(ArchiveProblem), in_words(archive.path):
            counts = _counts(archive)
    return Health(
        version=number,
        sessions=counts["session"],
        entries=counts["entry"],
        readings=counts["readings"],
        documents=counts["document"],
        weighings=counts["weighing"],
        size=archive.path.stat().st_size,
        troubles=tuple(dict.fromkeys(troubles)),
    )


def _counts(archive: Archive) -> dict[str, int]:
    from sqlite_utils import Database  # 80 ms to import: never on the way to the first frame

    database = Database(archive.connection)
    return {name: database.table(name).count for name in _COUNTED}


def _pages(archive: Archive) -> Iterator[str]:
    """What SQLite finds wrong with its own pages, rows and constraints; it stops at a hundred."""
    for (sentence,) in archive.rows("PRAGMA integrity_check"):
        if sentence != "ok":
            yield f"The file is damaged: {sentence}."


def _references(archive: Archive) -> Iterator[str]:
    for table, _, parent, _ in archive.rows("PRAGMA foreign_key_check"):
        yield f"A row of {table} points to a row of {parent} that is not there."


def _tables(archive: Archive) -> Iterator[str]:
    if schema.as_it_is(archive.connection) != schema.as_made():
        yield "The tables are not as this version makes them."


def _documents(archive: Archive) -> Iterator[str]:
    """One by one: together they may be larger than memory."""
    for digest, kind, name, size in archive.rows("SELECT digest, kind, name, size FROM document"):
        try:
            _, content = documents.fetch(archive, str(digest))
        except ArchiveProblem:
            yield f"The {documents.called(kind, name, digest)} is damaged."
            continue
        if len(content) != size:
            yield f"The {documents.called(kind, name, digest)} is not as long as it was."


def _results(archive: Archive) -> Iterator[str]:
    """Damaged results. They are worked out again when needed, so nothing is lost."""
    for table, columns, called in _KEPT:
        found = archive.rows(f"SELECT {columns}, CAST(result AS BLOB), sum FROM {table}")
        for *numbers, result, kept in found:
            if result is None or sum_of(result) != kept:
                yield f"The kept {called.format(*numbers)} is damaged. It will be worked out again."


def _named(archive: Archive) -> Iterator[str]:
    """Documents that entries name and the archive has not."""
    for kind, subject, column, path, called in _NAMED:
        digest = f"json_extract({column}, '{path}')" if path else column
        only = "" if subject is None else f"AND subject = '{subject}'"
        lost = archive.rows(
            f"SELECT DISTINCT session, {digest} AS digest FROM entry "
            f"WHERE kind = ? {only} AND undone = 0 AND value <> 'null' AND json_valid(value) "
            f"AND {digest} NOT IN (SELECT digest FROM document)",
            (kind,),
        )
        for session, missing in lost:
            yield f"The {called} of session {session} (document {str(missing)[:12]}) is lost."


def _sessions(archive: Archive) -> Iterator[str]:
    for (number,) in archive.rows("SELECT id FROM session"):
        try:
            sessions.load(archive, number)
        except (ArchiveProblem, KeyError):
            yield f"Session {number} cannot be put together from its entries."


def _loans(archive: Archive) -> Iterator[str]:
    try:
        loans.every(archive)
    except ArchiveProblem:
        yield "A loan cannot be put together from its entries."


def _readings(archive: Archive) -> Iterator[str]:
    for (number,) in archive.rows("SELECT id FROM readings"):
        try:
            run = runs.load(archive, number)
        except (ArchiveProblem, KeyError):  # KeyError: an index has a row that its table has lost
            yield f"Readings {number} cannot be read."
            continue
        if not runs.is_possible(run):
            yield f"Readings {number} hold what no instrument gives."
        table = run.spectra if run.spectra is not None else run.lab if run.lab is not None else run.xyz
        if table is None or len(table) != len(run):
            yield f"Readings {number} do not have one row for each patch."


def _origins(archive: Archive) -> Iterator[str]:
    yield from births.troubles(archive.rows)


def _unreadable_views(archive: Archive) -> Iterator[str]:
    """The views that people query with tools of their own: a sentence for each that cannot be read whole."""
    from sqlite_utils import Database  # brings numpy: never on the way to the first frame

    for view in Database(archive.connection).views:
        try:
            for _ in view.rows:
                pass
        except sqlite3.Error as error:
            yield f"The table {view.name} cannot be read: {error}."


_LOOKS: Final[dict[str, Callable[[Archive], Iterator[str]]]] = {
    "pages": _pages,
    "references": _references,
    "origins": _origins,
    "tables": _tables,
    "documents": _documents,
    "documents that were named": _named,
    "results": _results,
    "sessions": _sessions,
    "list of sessions": session_list.troubles,
    "loans": _loans,
    "readings": _readings,
    "views": _unreadable_views,
}
