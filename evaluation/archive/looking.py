"""Looking at an archive without writing a byte, not even beside it. Standard library only.

SQLite makes its side files with the rights of the archive: an index left beside a write-protected archive
would keep its owner from ever writing again. So a look makes none.
"""

import sqlite3
from pathlib import Path
from typing import NamedTuple

from evaluation.archive import sqlite
from evaluation.errors import ArchiveProblem


class Stand(NamedTuple):
    """What shows that a file was changed since."""

    file: int
    modified: int  # ns
    size: int  # bytes


def connect(path: Path) -> tuple[sqlite3.Connection, Stand | None]:
    """A connection that only reads.

    Where other programs have the archive open, their log and its locks are shared. Otherwise the file is
    read as it lies, without locks: the reader must check afterwards that it is unchanged (`stand`).

    Raises ArchiveProblem where the newest changes lie in a log that cannot be read without its index.
    """
    if is_shared(path):
        return sqlite.connect(path, "mode=ro&readonly_shm=1"), None
    if sqlite.is_logged(path):
        log = sqlite.log_of(path)
        raise ArchiveProblem(
            "It was not opened.",
            where=str(path),
            expected="an archive that was closed, or a folder that can be written to",
            found=f"the newest changes in {log.name} beside it",
            remedy="Copy both files to a folder you may write to.",
        )
    return sqlite.connect(path, "mode=ro&immutable=1"), stand(path)


def is_shared(path: Path) -> bool:
    """Whether a program has the archive open, or left it without closing it."""
    return sqlite.index_of(path).exists() and (sqlite.is_logged(path) or sqlite.size_of_log(path) == 0)


def stand(path: Path) -> Stand:
    """How the file stands now; it is not opened. One that is gone stands like no other."""
    try:
        found = path.stat()
    except OSError:
        return Stand(0, 0, 0)
    return Stand(found.st_ino, found.st_mtime_ns, found.st_size)
