"""The archives this program has open, so that nobody takes one for an ordinary file. Standard library only.

A person may name the archive itself in place of a file of readings, a picture, or a file to write to.
Opening it there would drop SQLite's locks (`sqlite.py`); moving something onto it would be its end.
"""

import contextlib
import os
import threading
from collections import Counter
from pathlib import Path
from typing import Final

from evaluation.errors import UsageProblem

_OPEN: Final[Counter[Path]] = Counter()
_COUNTING: Final = threading.Lock()
_BESIDE: Final = (
    "",
    "-wal",
    "-shm",
    "-journal",
)  # what SQLite itself keeps under names made of the archive's


def hold(path: Path) -> None:
    """An archive was opened."""
    with _COUNTING:
        _OPEN[path.absolute()] += 1


def let_go(path: Path) -> None:
    """An archive was closed."""
    with _COUNTING:
        _OPEN[path.absolute()] -= 1
        if _OPEN[path.absolute()] <= 0:
            del _OPEN[path.absolute()]


def refuse(path: Path, what: str) -> None:
    """Raise UsageProblem for an archive that is open, or a file of SQLite's beside it. Nothing is opened.

    `what` did not happen, as DrydownError takes it.
    """
    with _COUNTING:
        archives = tuple(_OPEN)
    for archive in archives:
        if any(_same(path, archive.with_name(archive.name + ending)) for ending in _BESIDE):
            raise UsageProblem(
                what,
                where=str(path),
                expected="another file",
                found="the archive itself",
                remedy="Name another.",
            )


def _same(path: Path, other: Path) -> bool:
    if path.name == other.name and os.path.realpath(path.parent) == os.path.realpath(other.parent):
        return True
    with contextlib.suppress(OSError, ValueError):
        return path.samefile(other)
    return False
