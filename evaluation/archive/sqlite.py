"""SQLite as the archive uses it: connections, and what goes wrong with them in words.

Nothing but SQLite ever opens an archive or the files beside it: closing any other handle of a file drops the
locks that this program has on it (sqlite.org, "How To Corrupt An SQLite Database File", 2.2), and the next
program then takes itself for the only one. Standard library only: this is on the way to the first frame.
"""

import contextlib
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from evaluation.errors import ArchiveProblem

# SQLite asks again ten times a second, and out of turn: beside a program that writes without a pause, on a
# machine that is busy, a save may take many tries.
_BUSY_S = 20.0
_SHORTEST_LOG: Final = (
    32 + 24 + 512
)  # bytes: head, and one frame of the smallest page (sqlite.org, "WAL Format")
# A row holds what its STRICT column cannot, and wants to be written again (SQLITE_CONSTRAINT_DATATYPE).
_WRONG_TYPE: Final = sqlite3.SQLITE_CONSTRAINT | 12 << 8
DAMAGED: Final = ("a damaged file", "Look at it with `drydown check`, or go back to a backup.")
LATER: Final = "Try again in a moment."
ELSEWHERE: Final = ("a read-only place", "Copy it to a folder you may write to.")
_TROUBLES: Final = {
    0: DAMAGED,  # of Python's own: text that is no UTF-8
    sqlite3.SQLITE_BUSY: ("another program that keeps it busy", LATER),
    sqlite3.SQLITE_PROTOCOL: ("another program that keeps it busy", LATER),
    sqlite3.SQLITE_IOERR: ("a disk that does not answer", "Check the disk and copy what is on it."),
    sqlite3.SQLITE_FULL: ("a full disk", "Make room and try again."),
    sqlite3.SQLITE_READONLY: ELSEWHERE,
    sqlite3.SQLITE_CANTOPEN: ELSEWHERE,
    sqlite3.SQLITE_CORRUPT: DAMAGED,
    sqlite3.SQLITE_NOTADB: ("a damaged file", "Go back to a backup."),
}


def connect(path: Path, query: str, *, patience: float | None = None) -> sqlite3.Connection:
    """A connection to the file at `path`, opened as `query` says (sqlite.org, "URI Filenames").

    It waits `patience` seconds for what another program has locked.
    """
    return sqlite3.connect(
        f"{path.absolute().as_uri()}?{query}",
        uri=True,
        isolation_level=None,
        timeout=_BUSY_S if patience is None else patience,
    )


def version(connection: sqlite3.Connection) -> int:
    """The version number an archive carries."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def log_of(path: Path) -> Path:
    """The write-ahead log beside an archive: the newest changes, until they are moved into it."""
    return path.with_name(path.name + "-wal")


def index_of(path: Path) -> Path:
    """The index of that log, which programs share while they have the archive open."""
    return path.with_name(path.name + "-shm")


def size_of_log(path: Path) -> int | None:
    """Bytes of the log beside an archive; None where there is none. It is not opened."""
    try:
        return log_of(path).stat().st_size
    except OSError:
        return None


def is_logged(path: Path) -> bool:
    """Whether the log beside an archive may hold changes: a log that was only begun holds none."""
    return (size_of_log(path) or 0) >= _SHORTEST_LOG


def code_of(error: sqlite3.Error) -> int:
    """SQLite's primary result code; 0 where the error is one of Python's own, which have none."""
    return getattr(error, "sqlite_errorcode", 0) & 0xFF


@contextlib.contextmanager
def in_words(path: Path) -> Iterator[None]:
    """What the disk or another program did, as an ArchiveProblem; mistakes of our own stay what they are."""
    try:
        yield
    except (sqlite3.IntegrityError, sqlite3.ProgrammingError) as error:
        if getattr(error, "sqlite_errorcode", 0) != _WRONG_TYPE:
            raise
        raise unusable(path, *DAMAGED) from error
    except sqlite3.DatabaseError as error:
        found, remedy = _TROUBLES.get(code_of(error), (str(error), "Look at it with `drydown check`."))
        raise unusable(path, found, remedy) from error
    except UnicodeDecodeError as error:  # a message of SQLite's that quotes the damage
        raise unusable(path, *DAMAGED) from error


@contextlib.contextmanager
def understood(path: Path, what: str) -> Iterator[None]:
    """Around the way from rows to nouns: what makes no sense there was damaged, whatever it breaks first.

    `what` is what was looked for: "what was said in session 3".
    """
    try:
        yield
    except (ValueError, TypeError, LookupError, AttributeError, ArithmeticError) as error:
        raise ArchiveProblem(
            "It cannot be shown.", where=str(path), expected=what, found="damaged rows", remedy=DAMAGED[1]
        ) from error


def unusable(path: Path, found: str, remedy: str) -> ArchiveProblem:
    """The sentence for an archive that could not be read or written; nothing of it was changed."""
    return ArchiveProblem(
        "Nothing was changed.", where=str(path), expected="a usable archive", found=found, remedy=remedy
    )
