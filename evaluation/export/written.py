"""The three ways a table is written. Each file takes parts, and is whole once it is closed."""

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final, Literal, Protocol, get_args

import msgspec

from evaluation.csv_text import csv_lines
from evaluation.export.columns import TABLES
from evaluation.export.dictionary import header
from evaluation.export.parquet import ParquetFile
from evaluation.export.part import Part

Format = Literal["csv", "json", "parquet"]
FORMATS: Final[tuple[Format, ...]] = get_args(Format)
ALWAYS: Final[tuple[Format, ...]] = ("csv", "json")  # need nothing but this program


class TableFile(Protocol):
    """A file with one table in it."""

    def add(self, part: Part) -> None:
        """Some rows more."""

    def close(self) -> None:
        """The file is whole."""

    def give_up(self) -> None:
        """Let go of it, closed or not."""


class CsvFile:
    """A line of names, then the rows (RFC 4180, UTF-8); lists stand in their cell as JSON."""

    def __init__(self, table: str, path: Path) -> None:
        self._into = path.open("w", encoding="utf-8", newline="")
        self._into.write(csv_lines((TABLES[table].names,)))

    def add(self, part: Part) -> None:
        self._into.write(csv_lines(map(_cells, part.rows())))

    def close(self) -> None:
        self._into.close()

    def give_up(self) -> None:
        self._into.close()


class JsonFile:
    """One document: the typed header under "columns", then the rows as objects, one a line."""

    def __init__(self, table: str, path: Path) -> None:
        self._names = TABLES[table].names
        self._into = path.open("wb")
        columns = json.dumps(header(TABLES[table]), ensure_ascii=False)
        self._into.write(f'{{"table": "{table}", "columns": {columns},\n"rows": ['.encode())
        self._between = b"\n"

    def add(self, part: Part) -> None:
        for row in part.rows():
            self._into.write(self._between + msgspec.json.encode(dict(zip(self._names, row, strict=True))))
            self._between = b",\n"

    def close(self) -> None:
        self._into.write(b"\n]}\n")
        self._into.close()

    def give_up(self) -> None:
        self._into.close()


WRITERS: Final[Mapping[Format, Callable[[str, Path], TableFile]]] = MappingProxyType(
    {"csv": CsvFile, "json": JsonFile, "parquet": ParquetFile}
)


def _cells(row: tuple[Any, ...]) -> list[Any]:
    return [_cell(value) for value in row]


def _cell(value: Any) -> Any:
    if isinstance(value, bool):
        return "true" if value else "false"
    return json.dumps(value, ensure_ascii=False, separators=(",", ":")) if isinstance(value, list) else value
