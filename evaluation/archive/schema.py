"""The tables: how a new archive is made, and how an older one is brought up to date. Standard library only.

`migrations/0001.sql` and its successors are applied in order, each in one transaction that also writes the
new version number: a script is applied whole or not at all.
"""

import contextlib
import os
import sqlite3
from collections.abc import Iterator
from functools import cache
from importlib import resources
from pathlib import Path

from evaluation import unfinished
from evaluation.archive.sqlite import version
from evaluation.errors import ArchiveProblem
from evaluation.system_words import unwritten


def scripts() -> tuple[str, ...]:
    """Every migration, oldest first; the n-th leads to version n."""
    folder = resources.files("evaluation.archive").joinpath("migrations")
    names = sorted(item.name for item in folder.iterdir() if item.name.endswith(".sql"))
    return tuple(folder.joinpath(name).read_text("utf-8") for name in names)


def make(path: Path) -> None:
    """Make an empty archive of the newest version at `path`, where nothing may be yet.

    It is built beside the place and moved there whole, so that a crash leaves no half-made archive behind
    and two programs that start at once end up with the same one.
    """
    draft = unfinished.beside(path)
    try:
        with contextlib.closing(sqlite3.connect(draft, isolation_level=None)) as connection:
            connection.execute("PRAGMA journal_mode = MEMORY")  # nobody sees the draft before it is whole
            connection.execute("PRAGMA synchronous = FULL")
            upgrade(connection, scripts())
        move_to_free_place(draft, path)  # if another program was first, its archive is as good
    except (OSError, sqlite3.OperationalError) as error:
        found, remedy = unwritten(error)
        raise ArchiveProblem(
            "No archive was made.",
            where=str(path),
            expected="a folder that can be written to",
            found=found,
            remedy=f"{remedy} --archive names the place.",
        ) from error
    finally:
        with contextlib.suppress(OSError):
            draft.unlink(missing_ok=True)


def as_it_is(connection: sqlite3.Connection) -> frozenset[tuple[str, str]]:
    """Name and statement of every table, index, view and trigger."""
    return frozenset(connection.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL"))


def as_made(number: int | None = None) -> frozenset[tuple[str, str]]:
    """The same of an archive that this version makes, or of one that version `number` made."""
    return _made_by(scripts()[:number])


@cache
def _made_by(wanted: tuple[str, ...]) -> frozenset[tuple[str, str]]:
    with contextlib.closing(sqlite3.connect(":memory:", isolation_level=None)) as fresh:
        upgrade(fresh, wanted)
        return as_it_is(fresh)


def upgrade(connection: sqlite3.Connection, wanted: tuple[str, ...]) -> None:
    """Apply what is missing of `wanted`, one transaction a script. Foreign keys must be off meanwhile.

    Raises sqlite3.Error when a script does not fit; the archive then stands at the version before it.
    """
    for number, script in enumerate(wanted, start=1):
        connection.execute("BEGIN IMMEDIATE")
        try:
            # Checked inside the transaction: another program may have done it while this one waited.
            if version(connection) < number:
                for statement in _statements(script):
                    connection.execute(statement)
                if broken := connection.execute("PRAGMA foreign_key_check").fetchall():
                    raise sqlite3.IntegrityError(f"{len(broken)} rows point nowhere after script {number}")
                connection.execute(f"PRAGMA user_version = {number}")
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise


def _statements(script: str) -> Iterator[str]:
    """The statements of a script, triggers whole. `executescript` would commit on its own."""
    statement = ""
    for line in script.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""


def move_to_free_place(draft: Path, path: Path) -> bool:
    """Give a finished file its name; False when something has it already: nothing is overwritten."""
    try:
        os.link(draft, path)  # atomic
    except FileExistsError:
        return False
    except OSError:  # a file system without links, as on memory cards
        if os.path.lexists(path):
            return False
        draft.rename(path)
    return True
