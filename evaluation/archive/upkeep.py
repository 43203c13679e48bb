"""An older archive's way to the newest version, and files that appear whole or not at all."""

import contextlib
import os
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Final

from evaluation import unfinished
from evaluation.archive import schema
from evaluation.archive.sqlite import version
from evaluation.errors import ArchiveProblem
from evaluation.system_words import unwritten

NOT_COPIED: Final = "No copy was made."
Progress = Callable[[int, int, str], None]  # done, in all, what is being done; may raise to stop
_HUNDRED: Final = 100
_PAGES: Final = 512  # that are copied at a time where somebody is told


def untold(_done: int, _parts: int, _about: str) -> None:
    """Progress is not reported."""


def within(progress: Progress, start: int, end: int) -> Progress:
    """The progress of one part of a longer work: from `start` to `end` hundredths of it."""

    def told(done: int, parts: int, about: str) -> None:
        progress(start + (end - start) * done // max(1, parts), _HUNDRED, about)

    return told


@contextlib.contextmanager
def new_file(file: Path, what: str = NOT_COPIED) -> Iterator[Path]:
    """A place for a draft of `file`, which becomes it when all went well; `what` is said where it did not."""
    if os.path.lexists(file):
        raise not_copied(file, "a free name", "a file of that name", what=what)
    draft = unfinished.beside(file)
    try:
        yield draft
        if not schema.move_to_free_place(draft, file):
            raise not_copied(file, "a free name", "a file of that name", what=what)
    except OSError as error:
        raise not_copied(file, "a folder that can be written to", *unwritten(error), what=what) from error
    finally:
        with contextlib.suppress(OSError):
            draft.unlink(missing_ok=True)


def copy(connection: sqlite3.Connection, draft: Path, progress: Progress | None = None) -> None:
    """Copy all of an open archive into `draft`; `progress` is called for its pages and may raise to stop.

    Raises ArchiveProblem when nothing can be written there.
    """

    def told(_status: int, remaining: int, total: int) -> None:
        if progress is not None:
            progress(total - remaining, total, f"{total - remaining} of {total} pages")

    try:
        with contextlib.closing(sqlite3.connect(draft, isolation_level=None)) as copy:
            connection.backup(copy, pages=-1 if progress is None else _PAGES, progress=told)
            # One file that can be carried anywhere, without a log beside it.
            copy.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.OperationalError as error:
        raise not_copied(draft.parent, "a folder that can be written to", *unwritten(error)) from error


def bring_up_to_date(connection: sqlite3.Connection, path: Path) -> Path:
    """Bring an older archive to the newest version; the backup that was made beside it first.

    Raises ArchiveProblem when a step does not fit; the archive stands as it was before that step.
    """
    spare = _free_name(path, version(connection))
    with new_file(spare) as draft:
        copy(connection, draft)
    try:
        schema.upgrade(connection, schema.scripts())
    except sqlite3.Error as error:
        raise ArchiveProblem(
            "It could not be brought up to date and is as it was.",
            where=str(path),
            expected=f"an archive of version {version(connection)}",
            found=str(error),
            remedy=f"A copy is in {spare.name}.",
        ) from error
    return spare


def copy_up_to_date(connection: sqlite3.Connection, path: Path) -> sqlite3.Connection:
    """A copy of an older bundle at the newest version, which goes with its connection.

    SQLite keeps it for itself, on disk where it is large (sqlite.org, "In-Memory Databases"). The file stays
    as it is. It may come from anybody: no script runs over tables that its version did not make.

    Raises ArchiveProblem for such tables, and for rows that do not fit.
    """
    with contextlib.ExitStack() as unless_made:
        copy = sqlite3.connect("", isolation_level=None)
        unless_made.callback(copy.close)
        try:
            if schema.as_it_is(connection) != schema.as_made(version(connection)):
                raise _not_up_to_date(path, "tables that are not as that version made them")
            connection.backup(copy)
            schema.upgrade(copy, schema.scripts())
        except sqlite3.Error as error:
            raise _not_up_to_date(path, str(error)) from error
        unless_made.pop_all()
    return copy


def _not_up_to_date(path: Path, found: str) -> ArchiveProblem:
    return ArchiveProblem(
        "It was not touched.",
        where=str(path),
        expected="a bundle as an earlier version made it",
        found=found,
        remedy="Ask for the bundle again.",
    )


def _free_name(path: Path, number: int) -> Path:
    """`prints.db` of version 1 is kept as `prints.version-1.db`, or the first free name after that."""
    spare, again = path.with_name(f"{path.stem}.version-{number}{path.suffix}"), 1
    while os.path.lexists(spare):
        again += 1
        spare = path.with_name(f"{path.stem}.version-{number}.{again}{path.suffix}")
    return spare


def not_copied(
    file: Path, expected: str, found: str, remedy: str = "Name another file.", what: str = NOT_COPIED
) -> ArchiveProblem:
    return ArchiveProblem(what, where=str(file), expected=expected, found=found, remedy=remedy)
