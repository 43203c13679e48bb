"""Rows on their way into files: columns, as arrays where there are many."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import repeat
from typing import Any

import numpy as np

from evaluation.export.columns import TABLES


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """Some rows of one table.

    `columns` has every column of the table, in order: an array (n,) or, of lists of numbers, (n, k); a list;
    or one value that all rows share. Numbers that are not finite, and empty texts, stand for nothing.
    """

    table: str
    count: int
    columns: Mapping[str, Any]

    def rows(self) -> Iterator[tuple[Any, ...]]:
        """Row by row, as plain values; nothing is None."""
        return zip(*(_plain(column, self.count) for column in self.columns.values()), strict=True)


def of_rows(table: str, rows: Iterable[Sequence[Any]]) -> Part:
    """Rows that were put together one by one, in the order of the table's columns."""
    found = list(rows)
    names = TABLES[table].names
    columns = zip(*found, strict=True) if found else ((),) * len(names)
    return Part(table, len(found), dict(zip(names, map(list, columns), strict=True)))


def _plain(column: Any, count: int) -> Iterable[Any]:
    if isinstance(column, np.ndarray):
        if column.dtype.kind != "f" or np.isfinite(column).all():
            return column.tolist()  # type: ignore[no-any-return]
        return [_known(each) for each in column.tolist()]
    if isinstance(column, list):
        return [_known(each) for each in column]
    return repeat(_known(column), count)


def _known(value: Any) -> Any:
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, list):
        return [_known(each) for each in value]
    return None if value == "" else value
