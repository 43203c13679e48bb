"""Opening an archive: what it is, whether this version may touch it, and its transactions.

Standard library only: this is on the way to the first frame. The file is recognised by its first hundred
bytes (sqlite.org, "Database File Format", 1.3) before SQLite sees it, so what is refused stays untouched.
"""

import contextlib
import os
import sqlite3
import struct
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import TracebackType
from typing import Any, Final, Self

from evaluation.archive.place import network_kind
from evaluation.errors import ArchiveProblem

APPLICATION_ID: Final = 1685215556  # the bytes 'drYD'
VERSION: Final = 1  # of the newest migration
OLDEST_SQLITE: Final = (3, 37, 0)  # STRICT tables

_MAGIC = b"SQLite format 3\0"
_BUSY_MS = 5000


class Archive:
    """One open archive. It belongs to the thread that opened it; a worker opens its own.

    `remark` says in a sentence what a read-only look may not show, else it is empty.
    """

    __slots__ = ("connection", "path", "read_only", "remark")

    def __init__(
        self, connection: sqlite3.Connection, path: Path, read_only: bool = False, remark: str = ""
    ) -> None:
        self.connection = connection
        self.path = path
        self.read_only = read_only
        self.remark = remark

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; a transaction that is still open is given up."""
        self.connection.close()

    @contextlib.contextmanager
    def transaction(self) -> Iterator[sqlite3.Connection]:
        """All or nothing, on disk when it ends. Transactions do not nest (RuntimeError),
        but every verb of the archive joins one that is open.

        Raises ArchiveProblem when the archive may not be written, is kept busy, or the disk refuses.
        """
        if self.read_only:
            raise ArchiveProblem(
                "It is open for reading only; nothing was saved.",
                where=str(self.path),
                remedy="Copy it to a folder you may write to.",
            )
        if self.connection.in_transaction:
            raise RuntimeError("a transaction is already open")
        with self._in_words():
            self.connection.execute("BEGIN IMMEDIATE")
            try:
                yield self.connection
                self.connection.execute("COMMIT")
            except BaseException:
                self._give_up()
                raise

    @contextlib.contextmanager
    def joined(self) -> Iterator[sqlite3.Connection]:
        """The open transaction, or one of its own: verbs that a caller has put together become one change."""
        if self.connection.in_transaction:
            yield self.connection
        else:
            with self.transaction() as connection:
                yield connection

    @contextlib.contextmanager
    def snapshot(self) -> Iterator[None]:
        """Several reads that see one state of the archive, whatever other programs write meanwhile."""
        if self.connection.in_transaction:
            yield
            return
        with self._in_words():
            self.connection.execute("BEGIN")
            try:
                yield
            finally:
                self._give_up()

    def rows(self, statement: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        """All rows of a query. Raises ArchiveProblem when the file cannot be read."""
        with self._in_words():
            return self.connection.execute(statement, values).fetchall()

    def row(self, statement: str, values: Sequence[Any] = ()) -> tuple[Any, ...] | None:
        """The first row of a query, or None."""
        rows = self.rows(statement, values)
        return rows[0] if rows else None

    def _give_up(self) -> None:
        if self.connection.in_transaction:
            with contextlib.suppress(sqlite3.Error):  # the first trouble is the one to tell
                self.connection.execute("ROLLBACK")

    @contextlib.contextmanager
    def _in_words(self) -> Iterator[None]:
        """What the disk or another program did, as a sentence; mistakes of our own stay what they are."""
        try:
            yield
        except (sqlite3.IntegrityError, sqlite3.ProgrammingError):
            raise
        except sqlite3.DatabaseError as error:
            raise problem(self.path, error) from error


def open_archive(path: str | Path, *, create: bool = False, read_only: bool = False) -> Archive:
    """Open the archive at `path`; with `create`, make it first when nothing is there.

    An older archive is backed up beside itself and brought up to date. With `read_only` nothing is written:
    where not even SQLite's own side files can be, `Archive.remark` says what may be missing.

    Raises ArchiveProblem, in one sentence and with the file untouched, for what is no archive, is empty,
    comes from a newer version, or lies where it cannot be kept safely.
    """
    path = Path(path)
    _require_sqlite()
    if not read_only and (kind := network_kind(path)):
        raise ArchiveProblem(
            "It was not opened: two programs could damage it there.",
            where=str(path),
            expected="a folder on this computer",
            found=f"a network place ({kind})",
            remedy="Keep the archive on this computer and back it up to the network.",
        )
    if create and not read_only and not os.path.lexists(path):
        from evaluation.archive import schema  # reads the scripts; not on the way to the first frame

        schema.make(path)
    _recognise(path)
    if read_only:
        return _look(path)
    return _open(path)


def problem(path: Path, error: sqlite3.Error) -> ArchiveProblem:
    """The sentence for what SQLite met while it worked on a recognised archive."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    found, remedy = {
        sqlite3.SQLITE_BUSY: ("another program that keeps it busy", "Try again in a moment."),
        sqlite3.SQLITE_FULL: ("a full disk", "Make room and try again."),
        sqlite3.SQLITE_READONLY: ("a read-only place", "Copy it to a folder you may write to."),
        sqlite3.SQLITE_CANTOPEN: ("a read-only place", "Copy it to a folder you may write to."),
        sqlite3.SQLITE_CORRUPT: (
            "a damaged file",
            "Look at it with `drydown check`, or go back to a backup.",
        ),
        sqlite3.SQLITE_NOTADB: ("a damaged file", "Go back to a backup."),
    }.get(code, (str(error), "Look at it with `drydown check`."))
    return ArchiveProblem(
        "Nothing was changed.", where=str(path), expected="a usable archive", found=found, remedy=remedy
    )


def version(connection: sqlite3.Connection) -> int:
    """The version number an archive carries."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def _require_sqlite() -> None:
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        raise ArchiveProblem(
            "The archive was not opened.",
            expected=f"SQLite {'.'.join(map(str, OLDEST_SQLITE[:2]))} or later",
            found=f"SQLite {sqlite3.sqlite_version}",
            remedy="Use a Python built with a newer SQLite.",
        )


def _recognise(path: Path) -> int:
    """The version of the archive at `path`, read from its first bytes. Raises ArchiveProblem."""
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
        raise _not_one(
            path, "a folder" if path.is_dir() else f"no way to read it ({error.strerror})"
        ) from error
    if not head:
        raise _not_one(path, "an empty file")
    if len(head) < 100 or not head.startswith(_MAGIC):
        raise _not_one(path, "another kind of file")
    number, application = struct.unpack(">i4xI", head[60:72])
    if application != APPLICATION_ID or number < 1:
        raise _not_one(path, "a database of another program")
    return _known(path, number)


def _not_one(path: Path, found: str) -> ArchiveProblem:
    return ArchiveProblem(
        "It was not touched.",
        where=str(path),
        expected="an archive of drydown",
        found=found,
        remedy="Name another file with --archive.",
    )


def _known(path: Path, number: int) -> int:
    if number > VERSION:
        raise ArchiveProblem(
            "It was not touched.",
            where=str(path),
            expected=f"an archive of version {VERSION} or before",
            found=f"version {number}, written by a newer drydown",
            remedy="Install the newer drydown.",
        )
    return number


def _connect(path: Path, query: str) -> sqlite3.Connection:
    connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?{query}", uri=True, isolation_level=None, timeout=_BUSY_MS / 1000
    )
    # Without it REPLACE would delete rows and not fire the triggers that keep them.
    connection.execute("PRAGMA recursive_triggers = ON")
    return connection


def _open(path: Path) -> Archive:
    connection = None
    try:
        connection = _connect(path, "mode=rw")
        # The log may hold a newer state than the first bytes of the file: ask again before any write.
        found = _known(path, version(connection))
        if connection.execute("PRAGMA journal_mode = WAL").fetchone()[0] != "wal":
            raise ArchiveProblem(
                "It was not opened: what is saved there could be lost.",
                where=str(path),
                expected="a place where SQLite can keep a write-ahead log",
                found="one where it cannot",
                remedy="Move the archive to a folder on this computer.",
            )
        connection.execute("PRAGMA synchronous = FULL")  # a key shown as saved survives a power cut
        connection.execute("PRAGMA fullfsync = ON")  # the same on macOS
        connection.execute("BEGIN IMMEDIATE")  # SQLite opens a read-only file without a word
        connection.execute("ROLLBACK")
        if found < VERSION:
            from evaluation.archive import upkeep  # once in the life of an archive

            upkeep.bring_up_to_date(connection, path)
        connection.execute("PRAGMA foreign_keys = ON")
    except sqlite3.Error as error:
        _close(connection)
        raise problem(path, error) from error
    except BaseException:
        _close(connection)
        raise
    return Archive(connection, path)


def _look(path: Path) -> Archive:
    """Open without writing a byte, not even beside the file when that cannot be."""
    remark = ""
    connection = None
    try:
        try:
            connection = _connect(path, "mode=ro")
            found = version(connection)
        except sqlite3.OperationalError:
            # A write-ahead log wants its side files; in a read-only folder only "immutable" does without.
            _close(connection)
            connection = _connect(path, "mode=ro&immutable=1")
            found = version(connection)
            remark = _unseen(path)
        _known(path, found)
        if found < VERSION:
            raise ArchiveProblem(
                "It was not touched.",
                where=str(path),
                expected=f"an archive of version {VERSION}",
                found=f"version {found}, which must be brought up to date first",
                remedy="Open it once from a folder you may write to.",
            )
    except sqlite3.Error as error:
        _close(connection)
        raise problem(path, error) from error
    except BaseException:
        _close(connection)
        raise
    return Archive(connection, path, read_only=True, remark=remark)


def _unseen(path: Path) -> str:
    log = path.with_name(path.name + "-wal")
    with contextlib.suppress(OSError):
        if log.stat().st_size:
            return (
                f"The folder cannot be written to, so what was last saved into {log.name} is not shown. "
                "Copy both files to a folder you may write to."
            )
    return "The folder cannot be written to: what another program saves meanwhile is not shown."


def _close(connection: sqlite3.Connection | None) -> None:
    if connection is not None:
        connection.close()
