"""A file of readings as bytes: read once, within limits, with progress, and stoppable."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from evaluation.errors import FileProblem
from evaluation.published.limits import whole
from evaluation.system_words import unread

Progress = Callable[[int, int], None]  # bytes done, bytes in all; may raise Cancelled

NOTHING_TAKEN: Final = "Nothing was taken in."
EXPORT_AGAIN: Final = "Export the file again."

MOST_BYTES: Final = whole("file_bytes")
MOST_ROWS: Final = whole("file_rows")
MOST_FIELDS: Final = whole("file_fields")
MOST_VALUES: Final = whole("file_values")
LONGEST_LINE: Final = whole("line_bytes")
MOST_TABLES: Final = whole("file_tables")
MOST_KEYWORDS: Final = whole("file_keywords")
CHUNK: Final = 2**18  # bytes between two calls of `Progress`


@dataclass(frozen=True, slots=True)
class Source:
    """A whole file: its name for people, its bytes and their sha256."""

    name: str
    data: bytes | bytearray
    digest: str

    def line_at(self, byte: int) -> int:
        """The number, from 1, of the line that holds a byte."""
        return self.data.count(b"\n", 0, byte) + 1

    def line(self, number: int, field: str = "") -> str:
        """A line, and a field in it, as the place of a message."""
        return f"{self.name}, line {number}{f', {field}' if field else ''}"


def load(path: Path, progress: Progress | None = None) -> Source:
    """Read a whole file. Raises FileProblem when it cannot be opened, is empty or is too large.

    While bytes arrive `progress` is called with 0 done; what it raises stops the reading.
    """
    name = path.name
    try:
        if path.is_dir():
            raise FileProblem(
                NOTHING_TAKEN,
                where=name,
                expected="a file",
                found="a folder",
                remedy="Name one of its files.",
            )
        with path.open("rb") as stream:
            size = path.stat().st_size
            data, digest = bytearray(), hashlib.sha256()
            while chunk := stream.read(CHUNK):
                if max(size, len(data) + len(chunk)) > MOST_BYTES:
                    raise _too_large(name, max(size, len(data) + len(chunk)))
                data += chunk
                digest.update(chunk)
                if progress:
                    progress(0, max(size, len(data)))
    except (OSError, ValueError) as problem:  # ValueError: a NUL in the path
        found, remedy = unread(problem)
        raise FileProblem(NOTHING_TAKEN, where=name, found=found, remedy=remedy) from problem
    if not data.strip():
        raise FileProblem(
            NOTHING_TAKEN, where=name, expected="readings", found="an empty file", remedy=EXPORT_AGAIN
        )
    return Source(name, data, digest.hexdigest())


def _too_large(name: str, size: int) -> FileProblem:
    return FileProblem(
        NOTHING_TAKEN,
        where=name,
        expected=f"a file of at most {MOST_BYTES // 2**20} MB",
        found=f"{size / 2**20:.0f} MB",
        remedy="Check that this is a file of readings; split it if it is.",
    )
