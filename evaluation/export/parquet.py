"""Parquet, written by duckdb: the only door to it. It comes late, as an extra, and never asks the network."""

import errno
from collections.abc import Sequence
from functools import lru_cache
from importlib.util import find_spec
from itertools import groupby, repeat
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from evaluation.errors import FileProblem, UsageProblem
from evaluation.export.columns import TABLES, Column, Type
from evaluation.export.part import Part
from evaluation.plain_text import shortened

if TYPE_CHECKING:
    import duckdb

_TYPES: Final[dict[Type, str]] = {
    "text": "VARCHAR",
    "integer": "BIGINT",
    "number": "DOUBLE",
    "boolean": "BOOLEAN",
    "moment": "TIMESTAMP",
    "numbers": "DOUBLE[]",
    "texts": "VARCHAR[]",
}


def require() -> None:
    """Raises UsageProblem where duckdb is not installed."""
    if find_spec("duckdb") is None:
        raise UsageProblem(
            "Nothing was exported.",
            expected="duckdb, which writes Parquet",
            found="no such package",
            remedy="Install drydown with its extra, `drydown[parquet]`; CSV and JSON do without.",
        )


class ParquetFile:
    """Parts are collected in memory, as columns, and written in one statement; zstd."""

    def __init__(self, table: str, path: Path) -> None:
        self._table = TABLES[table]
        self._path = path
        self._parts: list[Part] = []

    def add(self, part: Part) -> None:
        self._parts.append(part)

    def close(self) -> None:
        import duckdb

        place = str(self._path).replace("'", "''")
        arrays = any(isinstance(one, np.ndarray) for one in self._parts[0].columns.values())
        rows, given = self._of_arrays() if arrays else self._of_lists()
        try:
            _connection().execute(f"COPY ({rows}) TO '{place}' (FORMAT parquet, COMPRESSION zstd)", given)
        except duckdb.IOException as problem:
            full = "space" in str(problem)
            raise OSError(errno.ENOSPC if full else errno.EIO, str(problem), str(self._path)) from problem
        except duckdb.Error as problem:
            raise FileProblem(
                "It was not exported.",
                where=f"table {self._table.name}",
                expected="values that Parquet can hold",
                found=shortened(str(problem).partition("\n")[0], 120),
            ) from problem

    def give_up(self) -> None:
        self._parts.clear()

    def _of_lists(self) -> tuple[str, list[Any]]:
        """A query for the rows, and what it is given."""
        taken = ", ".join(f"unnest(?::{_TYPES[one.type]}[]) AS {one.name}" for one in self._table.columns)
        known = [
            list(column) for column in zip(*(row for part in self._parts for row in part.rows()), strict=True)
        ]
        return f"SELECT {taken}", known

    def _of_arrays(self) -> tuple[str, list[Any]]:
        """The same seven times as fast: each band of a spectrum is a column of its own on the way."""
        alike = [list(found) for _, found in groupby(self._parts, key=_shape)]
        queries = []
        for place, parts in enumerate(alike):
            taken: list[str] = []
            arrays: dict[str, Any] = {}
            for at, column in enumerate(self._table.columns):
                term, named = _term(f"c{at}", column, parts)
                taken.append(f"{term} AS {column.name}")
                arrays |= named
            _connection().register(f"given_{place}", arrays)
            queries.append(f"SELECT {', '.join(taken)} FROM given_{place}")
        return " UNION ALL ".join(queries), []


def _shape(part: Part) -> tuple[Any, ...]:
    """What parts must have in common to be put one below the other: which columns they have, and how wide."""
    return tuple(
        column.shape[1:] if isinstance(column, np.ndarray) else type(column)
        for column in part.columns.values()
    )


def _term(name: str, column: Column, parts: Sequence[Part]) -> tuple[str, dict[str, Any]]:
    """A column of some parts that are alike, as a term of a query and the arrays that it is made of."""
    values = [part.columns[column.name] for part in parts]
    if isinstance(values[0], np.ndarray):
        array = np.concatenate(values)
        if array.ndim == 1:
            return _finite(name) if array.dtype.kind == "f" else name, {name: array}
        bands = {f"{name}_{band}": np.ascontiguousarray(array[:, band]) for band in range(array.shape[1])}
        return f"[{', '.join(map(_finite, bands))}]", bands
    if values[0] is None:
        return f"NULL::{_TYPES[column.type]}", {}
    texts = [
        text
        for value, part in zip(values, parts, strict=True)
        for text in (value if isinstance(value, list) else repeat(value, part.count))
    ]
    return f"nullif({name}, '')", {name: np.array(texts, object)}


def _finite(name: str) -> str:
    return f"CASE WHEN isfinite({name}) THEN {name} END"


@lru_cache(maxsize=1)
def _connection() -> "duckdb.DuckDBPyConnection":
    """One for this process, in memory, on one thread: archives go to processes of their own."""
    import duckdb

    settings: dict[str, Any] = {
        "threads": 1,
        "memory_limit": "700MB",
        "temp_directory": "",  # it would make a folder where the command was typed
        "autoinstall_known_extensions": "false",
        "autoload_known_extensions": "false",
    }
    made = duckdb.connect(config=settings)
    made.execute("SET enable_progress_bar = false")  # it would write into the output of a command
    return made
