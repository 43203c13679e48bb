"""A bundle opened to be merged: refused whole where anything about it is wrong. It may come from anybody."""

import contextlib
import hashlib
import sqlite3
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from evaluation.archive import births, schema
from evaluation.archive.bundles import records, sealed
from evaluation.archive.bundles.records import Holdings
from evaluation.archive.connection import Archive, open_archive
from evaluation.archive.upkeep import Progress, untold
from evaluation.errors import ArchiveProblem

NOT_MERGED: Final = "Nothing was merged."
AGAIN: Final = "Ask for the bundle again."
_LARGEST: Final = 1 << 30  # bytes of one document, unpacked (project's own choice)
_HEX: Final = frozenset("0123456789abcdef")


@dataclass(frozen=True, slots=True)
class Bundle:
    """A bundle that is whole and says so. `source` is open for reading."""

    path: Path
    about: sealed.BundleFacts
    held: Holdings
    source: sqlite3.Connection


@contextlib.contextmanager
def opened(path: Path, progress: Progress = untold) -> Iterator[Bundle]:
    """Open a bundle and look at all of it before anything is taken out; `progress` may raise to stop.

    Raises ArchiveProblem for what is no bundle, is newer than this program, has no names, or was changed.
    """
    with open_archive(path, read_only=True) as file:
        yield _looked_at(file, progress)


def _looked_at(file: Archive, progress: Progress) -> Bundle:
    connection = file.connection
    try:
        # The file is not ours: its pages and tables are looked at before anything in them is asked for.
        connection.execute("PRAGMA trusted_schema = OFF")
        connection.execute("PRAGMA cell_size_check = ON")
        if schema.as_it_is(connection) != schema.as_made():
            raise problem(file.path, "tables that are not as this version makes them")
        connection.execute("PRAGMA trusted_schema = ON")  # it is ours, and its checks may be made
        about = sealed.about(connection)
        if about is None:
            raise problem(
                file.path, "an archive", expected="a bundle", remedy="Make one of it with `drydown bundle`."
            )
        if not about.with_names:
            raise problem(
                file.path,
                "one without names, to be looked at only",
                expected="a bundle with names",
                remedy="Ask for one made without --without-names.",
            )
        if connection.execute("PRAGMA integrity_check").fetchone() != ("ok",):
            raise problem(file.path, "a damaged file")
        if connection.execute("PRAGMA foreign_key_check").fetchone():
            raise problem(file.path, "rows that point nowhere")
        wrong = sealed.broken(connection, about)
        if wrong is None:
            wrong = next(_troubles(connection, progress), None)
        if wrong is not None:
            raise problem(file.path, wrong)
        numbers = [number for (number,) in connection.execute("SELECT id FROM session")]
        held = records.read(connection, numbers)
    except (sqlite3.Error, ValueError, TypeError, LookupError, RecursionError) as error:
        raise problem(file.path, "a damaged file") from error
    return Bundle(file.path, about, held, connection)


def _troubles(connection: sqlite3.Connection, progress: Progress) -> Iterator[str]:
    """What no bundle of ours holds, though its digests agree."""
    rows = connection.execute
    yield from births.nameless(lambda statement: rows(statement).fetchall())
    if any(set(uid) - _HEX for (uid,) in rows("SELECT uid FROM session")):
        yield "a session whose name is none"
    (many,) = rows("SELECT count(*) FROM document").fetchone()
    for place, (digest, size, packed) in enumerate(rows("SELECT digest, size, content FROM document")):
        progress(place, many, f"document {place + 1} of {many}")
        if size > _LARGEST:
            yield f"a document of {size} bytes"
        if not _is_whole(digest, size, packed):
            yield f"document {digest[:12]} changed since"


def _is_whole(digest: str, size: int, packed: bytes) -> bool:
    """Whether a document is what its digest says; no more of it is unpacked than it may hold."""
    unpacker = zlib.decompressobj()
    try:
        content = unpacker.decompress(packed, size + 1)
    except zlib.error:
        return False
    return len(content) == size and unpacker.eof and hashlib.sha256(content).hexdigest() == digest


def problem(
    path: Path, found: str, *, expected: str = "a bundle that is as it was made", remedy: str = AGAIN
) -> ArchiveProblem:
    """The sentence for a bundle that is refused."""
    return ArchiveProblem(NOT_MERGED, where=str(path), expected=expected, found=found, remedy=remedy)
