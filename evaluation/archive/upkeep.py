"""Keeping the archive well: a copy of it, a look at whether it is sound, and its way to a newer version."""

import contextlib
import os
import sqlite3
from dataclasses import dataclass
from pathlib import Path

from evaluation.archive import documents, reports, runs, schema, sessions
from evaluation.archive.connection import Archive, version
from evaluation.errors import ArchiveProblem, DrydownError
from evaluation.system_words import unwritten


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
        return not self.troubles


def check(archive: Archive) -> Health:
    """Look at everything in the archive: pages, references, tables, every document and every session.

    Documents are unpacked and their digests worked out again, sessions are put together from their entries.
    """
    from sqlite_utils import Database  # 80 ms to import: never on the way to the first frame

    with archive.snapshot():
        if troubles := _pages(archive):
            return Health(version(archive.connection), 0, 0, 0, 0, 0, _size(archive), tuple(troubles))
        database = Database(archive.connection)
        counts = {name: database.table(name).count for name in database.table_names()}
        troubles += [
            f"A row of {table} points to a row of {parent} that is not there."
            for table, _, parent, _ in archive.rows("PRAGMA foreign_key_check")
        ]
        if _tables(archive.connection) != _tables_as_made():
            troubles.append("The tables are not as this version makes them.")
        troubles += _documents(archive)
        troubles += _sessions(archive)
        troubles += reports.unreadable(archive)
    return Health(
        version(archive.connection),
        counts["session"],
        counts["entry"],
        counts["readings"],
        counts["document"],
        counts["weighing"],
        _size(archive),
        tuple(troubles),
    )


def backup(archive: Archive, file: Path) -> int:
    """Copy the archive as it stands to a new file, while others may go on working; its size in bytes.

    Raises ArchiveProblem when something is there already, or nothing can be written there.
    """
    if os.path.lexists(file):
        raise _not_copied(file, "a free name", "a file of that name")
    draft = file.with_name(f".drydown-{os.urandom(8).hex()}")
    try:
        with contextlib.closing(sqlite3.connect(draft, isolation_level=None)) as copy:
            archive.connection.backup(copy)
            # One file that can be carried anywhere, without a log beside it.
            copy.execute("PRAGMA journal_mode = DELETE")
        if not schema.move_to_free_place(draft, file):
            raise _not_copied(file, "a free name", "a file of that name")
        return file.stat().st_size
    except (OSError, sqlite3.OperationalError) as error:
        raise _not_copied(file, "a folder that can be written to", *unwritten(error)) from error
    finally:
        with contextlib.suppress(OSError):
            draft.unlink(missing_ok=True)


def bring_up_to_date(connection: sqlite3.Connection, path: Path) -> Path:
    """Bring an older archive to the newest version; the backup that was made beside it first.

    Raises ArchiveProblem when a step does not fit; the archive stands as it was before that step.
    """
    spare = _free_name(path, version(connection))
    backup(Archive(connection, path), spare)
    try:
        schema.upgrade(connection, schema.scripts())
    except sqlite3.Error as error:
        raise ArchiveProblem(
            "It could not be brought up to date and is as it was.",
            where=str(path),
            expected=f"an archive of version {version(connection)}",
            found=str(error),
            remedy=f"A copy lies in {spare.name}.",
        ) from error
    return spare


def _free_name(path: Path, number: int) -> Path:
    """`prints.db` of version 1 is kept as `prints.version-1.db`, or the first free name after that."""
    spare, again = path.with_name(f"{path.stem}.version-{number}{path.suffix}"), 1
    while os.path.lexists(spare):
        again += 1
        spare = path.with_name(f"{path.stem}.version-{number}.{again}{path.suffix}")
    return spare


def _pages(archive: Archive) -> list[str]:
    """What SQLite says about its own pages, rows and constraints; it stops at a hundred."""
    try:
        said = [row[0] for row in archive.rows("PRAGMA integrity_check")]
    except ArchiveProblem:
        return ["The file is damaged beyond reading. Go back to a backup."]
    return [f"The file is damaged: {sentence}." for sentence in said if sentence != "ok"]


def _documents(archive: Archive) -> list[str]:
    """One by one: together they may be larger than memory."""
    troubles = []
    for digest, size in archive.rows("SELECT digest, size FROM document"):
        try:
            _, content = documents.fetch(archive, digest)
        except DrydownError as error:
            troubles.append(f"Document {digest[:12]}: {error.found} found.")
            continue
        if len(content) != size or documents.digest_of(content) != digest:
            troubles.append(f"Document {digest[:12]} is not what was kept.")
    return troubles


def _sessions(archive: Archive) -> list[str]:
    troubles = []
    for (number,) in archive.rows("SELECT id FROM session"):
        try:
            sessions.load(archive, number)
        except (ValueError, TypeError, KeyError, AttributeError) as error:
            troubles.append(f"Session {number} cannot be put together from its entries: {error}.")
    for (number,) in archive.rows("SELECT id FROM readings"):
        try:
            run = runs.load(archive, number)
        except (ValueError, TypeError, KeyError) as error:
            troubles.append(f"Readings {number} cannot be read: {error}.")
            continue
        table = run.spectra if run.spectra is not None else run.lab if run.lab is not None else run.xyz
        if table is None or len(table) != len(run):
            troubles.append(f"Readings {number} do not have one row for each patch.")
    return troubles


def _tables(connection: sqlite3.Connection) -> set[tuple[str, str]]:
    return set(connection.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL"))


def _tables_as_made() -> set[tuple[str, str]]:
    with contextlib.closing(sqlite3.connect(":memory:", isolation_level=None)) as fresh:
        schema.upgrade(fresh, schema.scripts())
        return _tables(fresh)


def _size(archive: Archive) -> int:
    return archive.path.stat().st_size


def _not_copied(file: Path, expected: str, found: str, remedy: str = "Name another file.") -> ArchiveProblem:
    return ArchiveProblem("No copy was made.", where=str(file), expected=expected, found=found, remedy=remedy)
