"""One open archive: how it is opened, its transactions, and its reads.

Standard library only: this is on the way to the first frame.
"""

import contextlib
import os
import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import TracebackType
from typing import Any, Final, Self

from evaluation.archive import recognise
from evaluation.archive.place import network_kind
from evaluation.errors import ArchiveProblem

_BUSY_MS = 5000
_ELSEWHERE = ("a read-only place", "Copy it to a folder you may write to.")
_TROUBLES: Final = {
    sqlite3.SQLITE_BUSY: ("another program that keeps it busy", "Try again in a moment."),
    sqlite3.SQLITE_FULL: ("a full disk", "Make room and try again."),
    sqlite3.SQLITE_READONLY: _ELSEWHERE,
    sqlite3.SQLITE_CANTOPEN: _ELSEWHERE,
    sqlite3.SQLITE_CORRUPT: ("a damaged file", "Look at it with `drydown check`, or go back to a backup."),
    sqlite3.SQLITE_NOTADB: ("a damaged file", "Go back to a backup."),
}


class Archive:
    """One open archive. It belongs to the thread that opened it; a worker opens its own.

    `remark` says in a sentence what a read-only look may not show, else it is empty.
    """

    __slots__ = ("_looking", "connection", "path", "read_only", "remark")

    def __init__(
        self, connection: sqlite3.Connection, path: Path, read_only: bool = False, remark: str = ""
    ) -> None:
        self.connection = connection
        self.path = path
        self.read_only = read_only
        self.remark = remark
        self._looking = False

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
        """All or nothing, on disk when it ends. Every verb of the archive joins one that is open.

        A second one inside it is a mistake (RuntimeError).
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
        with in_words(self.path):
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
        if self.connection.in_transaction and not self._looking:
            yield self.connection
        else:
            with self.transaction() as connection:
                yield connection

    @contextlib.contextmanager
    def snapshot(self) -> Iterator[None]:
        """Several reads that see one state of the archive, whatever other programs write meanwhile.

        Nothing can be written inside it (RuntimeError).
        """
        if self.connection.in_transaction:
            yield
            return
        with in_words(self.path):
            self.connection.execute("BEGIN")
            self._looking = True
            try:
                yield
            finally:
                self._looking = False
                self._give_up()

    def rows(self, statement: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        """All rows of a query. Raises ArchiveProblem when the file cannot be read."""
        with in_words(self.path):
            return self.connection.execute(statement, values).fetchall()

    def row(self, statement: str, values: Sequence[Any] = ()) -> tuple[Any, ...] | None:
        """The first row of a query, or None."""
        rows = self.rows(statement, values)
        return rows[0] if rows else None

    def _give_up(self) -> None:
        if self.connection.in_transaction:
            with contextlib.suppress(sqlite3.Error):  # the first trouble is the one to tell
                self.connection.execute("ROLLBACK")


def open_archive(path: str | Path, *, create: bool = False, read_only: bool = False) -> Archive:
    """Open the archive at `path`; with `create`, make it first when nothing is there.

    An older archive is backed up beside itself and brought up to date. With `read_only` nothing is written:
    where not even SQLite's own side files can be, `Archive.remark` says what may be missing, and an archive
    whose newest changes lie in a log beside it is refused.

    Raises ArchiveProblem, in one sentence and with the file untouched, for what is no archive, is empty,
    comes from a newer version, or lies where it cannot be kept safely.
    """
    path = Path(path)
    recognise.require_sqlite()
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
    recognise.require_archive(path)
    if read_only:
        return _look(path)
    return _open(path)


@contextlib.contextmanager
def in_words(path: Path) -> Iterator[None]:
    """What the disk or another program did, as an ArchiveProblem; mistakes of our own stay what they are."""
    try:
        yield
    except (sqlite3.IntegrityError, sqlite3.ProgrammingError):
        raise
    except sqlite3.DatabaseError as error:
        found, remedy = _TROUBLES.get(_code(error), (str(error), "Look at it with `drydown check`."))
        raise ArchiveProblem(
            "Nothing was changed.", where=str(path), expected="a usable archive", found=found, remedy=remedy
        ) from error


def _code(error: sqlite3.Error) -> int:
    """SQLite's primary result code; 0 where the error is one of Python's own, which have none."""
    return getattr(error, "sqlite_errorcode", 0) & 0xFF


def version(connection: sqlite3.Connection) -> int:
    """The version number an archive carries."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def _connect(path: Path, query: str) -> sqlite3.Connection:
    connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?{query}", uri=True, isolation_level=None, timeout=_BUSY_MS / 1000
    )
    # Without it REPLACE would delete rows and not fire the triggers that keep them.
    connection.execute("PRAGMA recursive_triggers = ON")
    return connection


def _open(path: Path) -> Archive:
    with in_words(path), contextlib.ExitStack() as unless_opened:
        connection = _connect(path, "mode=rw")
        unless_opened.callback(connection.close)
        # The log may hold a newer state than the first bytes of the file: ask again before any write.
        found = version(connection)
        recognise.require_known(path, found)
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
        if found < recognise.VERSION:
            from evaluation.archive import upkeep  # once in the life of an archive

            upkeep.bring_up_to_date(connection, path)
        connection.execute("PRAGMA foreign_keys = ON")
        unless_opened.pop_all()
    return Archive(connection, path)


def _look(path: Path) -> Archive:
    """Open without writing a byte, not even beside the file where that cannot be."""
    with in_words(path), contextlib.ExitStack() as unless_opened:
        remark = ""
        connection = _connect(path, "mode=ro")
        unless_opened.callback(connection.close)
        try:
            found = version(connection)
        except sqlite3.OperationalError as error:
            if _TROUBLES.get(_code(error)) is not _ELSEWHERE:
                raise
            # A write-ahead log wants its side files; in a read-only folder only "immutable" does without,
            # and it leaves out what lies in the log.
            connection.close()
            _require_no_log(path)
            connection = _connect(path, "mode=ro&immutable=1")
            unless_opened.callback(connection.close)
            found = version(connection)
            remark = "What another program saves meanwhile is not shown."
        recognise.require_known(path, found)
        if found < recognise.VERSION:
            raise ArchiveProblem(
                "It was not touched.",
                where=str(path),
                expected=f"an archive of version {recognise.VERSION}",
                found=f"version {found}, which must be brought up to date first",
                remedy="Open it once from a folder you may write to.",
            )
        unless_opened.pop_all()
    return Archive(connection, path, read_only=True, remark=remark)


def _require_no_log(path: Path) -> None:
    """Raises ArchiveProblem where the newest changes lie in a log beside the archive."""
    log = path.with_name(path.name + "-wal")
    with contextlib.suppress(OSError):
        if log.stat().st_size:
            raise ArchiveProblem(
                "It was not opened.",
                where=str(path),
                expected="an archive that was closed, or a folder that can be written to",
                found=f"the newest changes in {log.name} beside it",
                remedy="Copy both files to a folder you may write to.",
            )
