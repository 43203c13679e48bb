"""What locking and shared memory really do in a folder, tried with an archive of our own that is thrown away.

A place may call itself anything; what SQLite needs of it is that two programs see one log and keep each other
out (sqlite.org, "Write-Ahead Logging", disadvantages). The switch to a log may be granted there and the first
write refused, so something is written. Standard library only, and never on the way to the first frame of an
archive that is at home where it lies.
"""

import contextlib
import sqlite3
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import Final

from evaluation import unfinished
from evaluation.archive import sqlite

_PATIENCE: Final = 20  # seconds for the other program (project's own choice)
# Reads what was written here, then wants to write while this program does.
_OTHER: Final = """
import sqlite3, sys
there = sqlite3.connect(sys.argv[1], uri=True, isolation_level=None, timeout=0)
print("seen" if there.execute("SELECT * FROM probe").fetchall() == [(1,)] else "unseen")
try:
    there.execute("BEGIN IMMEDIATE")
    print("let in")
except sqlite3.OperationalError:
    print("kept out")
"""


@cache
def trouble(folder: Path) -> str:
    """Why two programs could not share an archive in this folder, as a noun phrase; "" where they can."""
    draft = unfinished.beside(folder / "probe")
    try:
        with contextlib.closing(sqlite.connect(draft, "mode=rwc", patience=0)) as connection:
            connection.execute("PRAGMA synchronous = OFF")  # nothing of it is to last
            if connection.execute("PRAGMA journal_mode = WAL").fetchone() != ("wal",):
                return "one that keeps no write-ahead log"
            connection.execute("CREATE TABLE probe (number INTEGER)")
            connection.execute("INSERT INTO probe VALUES (1)")
            connection.execute("BEGIN IMMEDIATE")
            return _told(other_program(draft))
    except (sqlite3.Error, OSError) as error:
        return f"one where a write-ahead log fails ({error})"
    finally:
        for each in (draft, sqlite.log_of(draft), sqlite.index_of(draft)):
            with contextlib.suppress(OSError):
                each.unlink(missing_ok=True)


def other_program(draft: Path) -> list[str]:
    """What another program on this computer finds in the archive that this one is writing to."""
    words = [sys.executable, "-I", "-S", "-c", _OTHER, f"{draft.absolute().as_uri()}?mode=rw"]
    done = subprocess.run(words, capture_output=True, text=True, timeout=_PATIENCE, check=False)
    return done.stdout.split("\n")[:2]


def _told(found: list[str]) -> str:
    match found:
        case ["seen", "kept out"]:
            return ""
        case ["seen", "let in"]:
            return "one that keeps no program out while another writes"
        case ["unseen", *_]:
            return "one where a program does not see what another has written"
    return "one that another program cannot use meanwhile"
