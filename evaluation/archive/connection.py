"""One open archive: how it is opened, its transactions, and its reads.

Standard library only: this is on the way to the first frame.
"""

import contextlib
import os
import sqlite3
import threading
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import TracebackType
from typing import Any, Final, Self

from evaluation.archive import births, held, looking, place, recognise, sqlite
from evaluation.archive.sqlite import in_words
from evaluation.errors import ArchiveProblem
from evaluation.fold import Fold

# Connections of one program share one index of the log, and with it the rights of the first of them:
# nobody opens an archive to write while another thread looks at what lies there.
_ONE_AT_A_TIME: Final = threading.Lock()


class Archive:
    """One open archive. It belongs to the thread that opened it; a worker opens its own.

    `at_hand` is the session that was changed last, with the mark of the archive's state it goes with
    (`sessions.refresh`); it is forgotten with a transaction that is given up.
    """

    __slots__ = ("_claimed", "_held", "_looking", "_stand", "at_hand", "connection", "path", "read_only")

    def __init__(
        self,
        connection: sqlite3.Connection,
        path: Path,
        read_only: bool = False,
        stand: looking.Stand | None = None,
    ) -> None:
        self.connection = connection
        self.path = path
        self.read_only = read_only
        self.at_hand: tuple[int, Fold] | None = None
        self._stand = stand  # of a file that is read without locks
        self._looking = False
        self._claimed = False  # whether its origin is known to be this file's own
        self._held = True
        held.hold(path)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; a transaction that is still open is given up."""
        self.connection.close()
        if self._held:
            held.let_go(self.path)
            self._held = False

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
                if not self._claimed:
                    births.claim(self.connection, self.path)
                yield self.connection
                self.connection.execute("COMMIT")
                self._claimed = True
            except BaseException:
                self.at_hand = None
                self._give_up()
                raise

    @contextlib.contextmanager
    def joined(self) -> Iterator[sqlite3.Connection]:
        """The open transaction, or one of its own: verbs that a caller has put together become one change."""
        if self.connection.in_transaction and not self._looking:
            try:
                yield self.connection
            except BaseException:
                self.at_hand = None  # whoever goes on from here does so with half a verb
                raise
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
        with self._steady(), in_words(self.path):
            self.connection.execute("BEGIN")
            self._looking = True
            try:
                yield
            finally:
                self._looking = False
                self._give_up()

    def rows(self, statement: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        """All rows of a query. Raises ArchiveProblem when the file cannot be read."""
        with self._steady(), in_words(self.path):
            return self.connection.execute(statement, values).fetchall()

    def row(self, statement: str, values: Sequence[Any] = ()) -> tuple[Any, ...] | None:
        """The first row of a query, or None."""
        rows = self.rows(statement, values)
        return rows[0] if rows else None

    @contextlib.contextmanager
    def _steady(self) -> Iterator[None]:
        """Around reads: a file that is read without locks is opened again if it has changed since.

        Raises ArchiveProblem where it was changed meanwhile, for then nobody knows what was read.
        """
        if self._stand is None or self._looking:
            yield
            return
        if looking.is_shared(self.path) or looking.stand(self.path) != self._stand:
            self.connection.close()
            with in_words(self.path):
                self.connection, self._stand = looking.connect(self.path)
        try:
            yield
        finally:
            if self._stand is not None and looking.stand(self.path) != self._stand:
                raise sqlite.unusable(self.path, "one that another program changed just now", sqlite.LATER)

    def _give_up(self) -> None:
        if self.connection.in_transaction:
            with contextlib.suppress(sqlite3.Error):  # the first trouble is the one to report
                self.connection.execute("ROLLBACK")


def open_archive(path: str | Path, *, create: bool = False, read_only: bool = False) -> Archive:
    """Open the archive at `path`; with `create`, make it first when nothing is there.

    An older archive is backed up beside itself and brought up to date. A bundle is only ever read; an older
    one is brought up to date in a copy that goes when it is closed. With `read_only` nothing is written, not
    even beside it; an archive whose newest changes lie in a log that was left beside it may be refused.

    Raises ArchiveProblem, in one sentence and with all files untouched, for what is no archive, is empty,
    comes from a newer version, or lies where it cannot be kept safely.
    """
    path = Path(path)
    recognise.require_sqlite()
    begun = create and not read_only and not os.path.lexists(path)
    if not read_only:
        place.require_named_safe(path)
    if begun:
        if not place.is_local(path):
            place.require_tried(path)
        from evaluation.archive import schema  # reads the scripts; not on the way to the first frame

        schema.make(path)
    with _ONE_AT_A_TIME:
        recognise.require_archive(path)
        return _look(path) if read_only else _open(path)


def _open(path: Path) -> Archive:
    if not place.writable(path):  # SQLite opens a read-only file without an error
        raise sqlite.unusable(path, *sqlite.ELSEWHERE)
    if not (place.is_local(path) or births.is_home(path)):
        place.require_tried(path)
    recognise.require_known_log(path)
    with in_words(path), contextlib.ExitStack() as unless_opened:
        connection = sqlite.connect(path, "mode=rw")
        unless_opened.callback(connection.close)
        found = sqlite.version(connection)
        recognise.require_known(path, found)
        if recognise.is_bundle(connection, found):
            return _look(path)  # whoever wrote to it would break its digests
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
        # Without it REPLACE would delete rows and not fire the triggers that keep them.
        connection.execute("PRAGMA recursive_triggers = ON")
        if found < recognise.VERSION:
            from evaluation.archive import upkeep  # once in the life of an archive

            upkeep.bring_up_to_date(connection, path)
        connection.execute("PRAGMA foreign_keys = ON")
        unless_opened.pop_all()
    return Archive(connection, path)


def _look(path: Path) -> Archive:
    with in_words(path), contextlib.ExitStack() as unless_opened:
        connection, stand = looking.connect(path)
        unless_opened.callback(connection.close)
        found = sqlite.version(connection)
        recognise.require_known(path, found)
        if found < recognise.VERSION:
            if not recognise.is_bundle(connection, found):
                raise ArchiveProblem(
                    "It was not touched.",
                    where=str(path),
                    expected=f"an archive of version {recognise.VERSION}",
                    found=f"version {found}, which must be brought up to date first",
                    remedy="Open it once from a folder you may write to.",
                )
            from evaluation.archive import upkeep  # only for what an earlier version made

            return Archive(upkeep.copy_up_to_date(connection, path), path, read_only=True)
        unless_opened.pop_all()
    return Archive(connection, path, read_only=True, stand=stand)
