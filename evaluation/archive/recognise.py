"""Which files are archives of ours, and whether this version may touch them. Standard library only.

SQLite reads the numbers that a file carries in its first page (sqlite.org, "Database File Format", 1.3), in
ways that leave a refused file as it was and make no file beside it.
"""

import contextlib
import os
import sqlite3
import stat
from pathlib import Path
from typing import Final

from evaluation.archive import sqlite
from evaluation.errors import ArchiveProblem
from evaluation.system_words import unread

APPLICATION_ID: Final = 1685215556  # the bytes 'drYD'
VERSION: Final = 10  # of the newest migration
_BUNDLES_SINCE: Final = 8
OLDEST_SQLITE: Final = (3, 37, 0)  # STRICT tables

_SMALLEST: Final = 512  # bytes of SQLite's smallest page
_AS_IT_LIES: Final = "mode=ro&immutable=1"  # the file alone: no lock is taken, no log looked for


def require_sqlite() -> None:
    """Raises ArchiveProblem when the SQLite of this Python is too old for the tables."""
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        raise ArchiveProblem(
            "The archive was not opened.",
            expected=f"SQLite {'.'.join(map(str, OLDEST_SQLITE[:2]))} or later",
            found=f"SQLite {sqlite3.sqlite_version}",
            remedy="Use a Python built with a newer SQLite.",
        )


def is_bundle(connection: sqlite3.Connection, number: int) -> bool:
    """Whether an archive of this version number is a bundle (`bundles/`)."""
    return number >= _BUNDLES_SINCE and connection.execute("SELECT 1 FROM bundle").fetchone() is not None


def require_archive(path: Path) -> None:
    """Raises ArchiveProblem unless an archive lies at `path` that this version may open.

    An archive carries its mark from its first byte on; a newer number may still stand in the log beside it
    (`require_known_log`).
    """
    try:
        found = path.stat()
    except (FileNotFoundError, NotADirectoryError):
        raise ArchiveProblem(
            "No archive is there.",
            where=str(path),
            remedy="Make one with `drydown new` or `drydown demo --to`, or name another with --archive.",
        ) from None
    except (OSError, ValueError) as error:
        raise _not_one(path, unread(error).found) from error
    if not stat.S_ISREG(found.st_mode):
        raise _not_one(path, "a folder" if stat.S_ISDIR(found.st_mode) else "another kind of file")
    if not os.access(path, os.R_OK):
        raise _not_one(path, unread(PermissionError(13, "")).found)
    if found.st_size < _SMALLEST:
        raise _not_one(path, "another kind of file" if found.st_size else "an empty file")
    application, number = _marks(path)
    if application != APPLICATION_ID or number < 1:
        raise _not_one(path, "a database of another program")
    require_known(path, number)


def require_known_log(path: Path) -> None:
    """Raises ArchiveProblem where the log beside the archive holds a version newer than this one.

    The log is left where it is: whoever closes an archive as the last one moves its log into it, so the
    question comes before an opening that may write.
    """
    if not sqlite.is_logged(path):
        return
    with sqlite.in_words(path):
        for read in (_number_alone, _number_shared, _number_alone):  # others come and go meanwhile
            if (number := read(path)) is not None:
                require_known(path, number)
                return


def require_known(path: Path, number: int) -> None:
    """Raises ArchiveProblem for a version that is newer than this one."""
    if number > VERSION:
        raise ArchiveProblem(
            "It was not touched.",
            where=str(path),
            expected=f"an archive of version {VERSION} or before",
            found=f"version {number}, written by a newer drydown",
            remedy="Install the newer drydown.",
        )


def _marks(path: Path) -> tuple[int, int]:
    """Whose file it is, and the number of its version as the file alone has it."""
    with contextlib.closing(sqlite.connect(path, _AS_IT_LIES)) as connection:
        try:
            # While another program moves its log into the file, the first page may count pages to come.
            connection.execute("PRAGMA writable_schema = ON")
            (application,) = connection.execute("PRAGMA application_id").fetchone()
            return int(application), sqlite.version(connection)
        except sqlite3.DatabaseError as error:
            if sqlite.code_of(error) == sqlite3.SQLITE_IOERR:
                raise _not_one(path, "a disk that does not answer") from error
            raise _not_one(path, "another kind of file") from error


def _number_alone(path: Path) -> int | None:
    """The number where nobody has the archive open: its log was left behind, or copied along.

    SQLite then keeps the index of the log in its own memory. None when somebody has it open.
    """
    with contextlib.closing(sqlite.connect(path, "mode=rw", patience=0)) as connection:
        try:
            connection.execute("PRAGMA locking_mode = EXCLUSIVE")
            return sqlite.version(connection)
        except sqlite3.OperationalError as error:
            if sqlite.code_of(error) != sqlite3.SQLITE_BUSY:
                raise
            return None
        finally:
            connection.interrupt()  # closing would move the log into the file; this stops it


def _number_shared(path: Path) -> int | None:
    """The number as programs that have the archive open see it; None when nobody has by now.

    Neither log nor index is written.
    """
    with contextlib.closing(sqlite.connect(path, "mode=ro&readonly_shm=1")) as connection:
        try:
            return sqlite.version(connection)
        except sqlite3.OperationalError as error:
            if sqlite.code_of(error) != sqlite3.SQLITE_CANTOPEN:
                raise
            return None


def _not_one(path: Path, found: str) -> ArchiveProblem:
    return ArchiveProblem(
        "It was not touched.",
        where=str(path),
        expected="an archive of drydown",
        found=found,
        remedy="Name another file with --archive.",
    )
