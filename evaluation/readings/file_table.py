"""A table as read from text: names, ids and numbers, before anything is decided about scales."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.readings.cgats.fields import Columns
from evaluation.readings.run import Array

_CONDITION: Final = "MEASUREMENT_CONDITION"


@dataclass(frozen=True, slots=True)
class Keyword:
    """One keyword line before a table; the same name may come several times."""

    name: str  # upper case
    value: str
    line: int


@dataclass(frozen=True, slots=True)
class Part:
    """The columns of one measurement condition, where a table holds several side by side."""

    condition: str
    names: tuple[str, ...]
    columns: Columns


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """One table of a file. `values` (n, m) holds the columns of `columns.numeric`, in that order.

    lines     (n,) line number of each row in the file
    decimals  most digits after the decimal mark seen in the CIELAB columns
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
    parts: tuple[Part, ...] = ()

    def __len__(self) -> int:
        return len(self.lines)

    def pick(self, indices: tuple[int, ...]) -> Array:
        """(n, len(indices)) values of these columns of the table."""
        place = {column: number for number, column in enumerate(self.columns.numeric)}
        return self.values[:, [place[index] for index in indices]]

    def by_condition(self) -> "tuple[Table, ...]":
        """The table, or one for each of its parts: their columns know the condition better than a keyword."""
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
        """The values of these keywords, in the order of the file, empty ones left out."""
        return [keyword.value for keyword in self.keywords if keyword.name in names and keyword.value]
