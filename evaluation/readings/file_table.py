"""A table as read from text: names, ids and numbers, before any scale is decided."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.readings.cgats.fields import Columns
from evaluation.readings.run import Array

_CONDITION: Final = "MEASUREMENT_CONDITION"


@dataclass(frozen=True, slots=True)
class Keyword:
    """One keyword line above a table; a name may occur several times."""

    name: str  # upper case
    value: str
    line: int


@dataclass(frozen=True, slots=True)
class ColumnGroup:
    """The columns of one measurement condition, where a table has several side by side."""

    condition: str
    names: tuple[str, ...]
    columns: Columns


@dataclass(frozen=True, slots=True, eq=False)
class FileTable:
    """One table of a file, n rows.

    ids, labels  (n,) id and name of each row, as text
    lines        (n,) its line number in the file
    values       (n, m) the columns of `columns.numeric`, in that order
    decimals     most digits after the decimal mark in the CIELAB columns
    band_lines   the line of each band, where wavelengths stand down the page; else ()
    parts        one for each measurement condition of the columns, where they name several
    """

    keywords: tuple[Keyword, ...]
    names: tuple[str, ...]
    columns: Columns
    ids: tuple[str, ...]
    labels: tuple[str, ...]
    lines: NDArray[np.int64]
    values: Array
    decimals: int
    remarks: tuple[str, ...]
    parts: tuple[ColumnGroup, ...] = ()
    band_lines: tuple[int, ...] = ()

    def __len__(self) -> int:
        return len(self.lines)

    def pick(self, indices: tuple[int, ...]) -> Array:
        """(n, len(indices)) the values of these columns of the table."""
        place = {column: number for number, column in enumerate(self.columns.numeric)}
        return self.values[:, [place[index] for index in indices]]

    def by_condition(self) -> "tuple[FileTable, ...]":
        """The table, or one per part: column names know the condition better than a keyword does."""
        others = tuple(keyword for keyword in self.keywords if keyword.name != _CONDITION)
        return tuple(
            replace(
                self,
                names=part.names,
                columns=part.columns,
                keywords=(*others, Keyword(_CONDITION, part.condition, 1)),
                parts=(),
            )
            for part in self.parts
        ) or (self,)

    def stated(self, *names: str) -> list[str]:
        """The values of these keywords, in the order of the file, without empty ones."""
        return [keyword.value for keyword in self.keywords if keyword.name in names and keyword.value]
