"""What is an archive of ours, and whether this version may touch it. Standard library only.

A file is judged by its first hundred bytes (sqlite.org, "Database File Format", 1.3) before SQLite sees it,
so that what is refused stays untouched, side files included.
"""

import sqlite3
import struct
from pathlib import Path
from typing import Final

from evaluation.errors import ArchiveProblem
from evaluation.system_words import unread

APPLICATION_ID: Final = 1685215556  # the bytes 'drYD'
VERSION: Final = 4  # of the newest migration
OLDEST_SQLITE: Final = (3, 37, 0)  # STRICT tables

_MAGIC: Final = b"SQLite format 3\0"


def require_sqlite() -> None:
    """Raises ArchiveProblem when the SQLite of this Python cannot keep the promises of the tables."""
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        raise ArchiveProblem(
            "The archive was not opened.",
            expected=f"SQLite {'.'.join(map(str, OLDEST_SQLITE[:2]))} or later",
            found=f"SQLite {sqlite3.sqlite_version}",
            remedy="Use a Python built with a newer SQLite.",
        )


def require_archive(path: Path) -> None:
    """Raises ArchiveProblem unless an archive lies at `path` that this version may open."""
    try:
        with path.open("rb") as file:
            head = file.read(100)
    except FileNotFoundError:
        raise ArchiveProblem(
            "No archive is there.",
            where=str(path),
            remedy="Make one with `drydown new` or `drydown demo --to`, or name another with --archive.",
        ) from None
    except OSError as error:
        raise _not_one(path, unread(error).found) from error
    if not head:
        raise _not_one(path, "an empty file")
    if len(head) < 100 or not head.startswith(_MAGIC):
        raise _not_one(path, "another kind of file")
    number, application = struct.unpack(">i4xI", head[60:72])
    if application != APPLICATION_ID or number < 1:
        raise _not_one(path, "a database of another program")
    require_known(path, number)


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


def _not_one(path: Path, found: str) -> ArchiveProblem:
    return ArchiveProblem(
        "It was not touched.",
        where=str(path),
        expected="an archive of drydown",
        found=found,
        remedy="Name another file with --archive.",
    )
