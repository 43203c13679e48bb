"""An even grid of cells over triangles, so that points are compared with nearby ones only."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Self

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Index = NDArray[np.intp]

_PAIRS: Final = 400_000  # points times triangles that are worked on at once: about 100 MB


@dataclass(frozen=True)
class Cells:
    """Which triangles touch which cell of an even grid in d dimensions.

    origin   (d,) lowest corner of the grid
    size     width of a cell
    shape    cells along each axis
    members  indices of triangles; `members[starts[c] : starts[c + 1]]` touch cell c
    """

    origin: Array
    size: float
    shape: tuple[int, ...]
    starts: Index
    members: Index

    @classmethod
    def of(cls, low: Array, high: Array, size: float) -> Self:
        """Cells over boxes from low (t, d) to high (t, d); without boxes one cell that nothing touches."""
        if not len(low):
            dimensions = low.shape[1]
            empty = np.empty(0, np.intp)
            return cls(np.zeros(dimensions), size, (1,) * dimensions, np.zeros(2, np.intp), empty)
        origin = low.min(axis=0)
        first = ((low - origin) // size).astype(np.intp)
        counts = ((high - origin) // size).astype(np.intp) - first + 1
        shape = tuple(int(n) for n in (first + counts).max(axis=0))
        members, rank = _spread(counts.prod(axis=1))
        place = np.empty((len(members), len(shape)), dtype=np.intp)
        for axis in reversed(range(len(shape))):
            rank, place[:, axis] = np.divmod(rank, counts[members, axis])
        cell = np.ravel_multi_index(tuple((first[members] + place).T), shape)
        several = int(np.prod(shape))
        # Numbers of 16 bit are sorted in one pass, in a fifth of the time.
        order = np.argsort(cell.astype(np.uint16) if several <= 2**16 else cell, kind="stable")
        starts = np.concatenate([[0], np.cumsum(np.bincount(cell, minlength=several))])
        return cls(origin, size, shape, starts, members[order])

    @staticmethod
    def touched(low: Array, high: Array, size: float) -> int:
        """How many cells of a size boxes touch, counted once for each box: what `of` would have to list."""
        return int((np.floor((high - low) / size) + 1).prod(axis=1).sum()) if len(low) else 0

    def cell_of(self, points: Array) -> Index:
        """(n,) the cell of each point (n, d); -1 outside the grid, and for nan."""
        place = np.floor((np.nan_to_num(points, nan=-1e9) - self.origin) / self.size)
        known = ((place >= 0) & (place < self.shape)).all(axis=1)
        cell = np.full(len(points), -1, dtype=np.intp)
        cell[known] = np.ravel_multi_index(tuple(place[known].astype(np.intp).T), self.shape)
        return cell

    def count(self, cell: Index) -> Index:
        """(n,) how many members touch each cell (n,)."""
        number: Index = self.starts[cell + 1] - self.starts[cell]
        return number

    def middle(self, cell: Index) -> Array:
        """(n, d) the centre of each cell (n,)."""
        place = np.stack(np.unravel_index(cell, self.shape), axis=1)
        return self.origin + self.size * (place + 0.5)

    def pairs(self, points: Array) -> Iterator[tuple[Index, Index]]:
        """Indices of points (n, d) and of triangles that touch their cells, pair by pair, in portions."""
        cell = self.cell_of(points)
        known = np.flatnonzero(cell >= 0)
        begins, counts = self.starts[cell[known]], self.count(cell[known])
        portions = np.cumsum(counts) // _PAIRS
        for part in np.split(np.arange(len(known)), np.flatnonzero(np.diff(portions)) + 1):
            which, rank = _spread(counts[part])
            yield known[part][which], self.members[begins[part][which] + rank]


def _spread(counts: Index) -> tuple[Index, Index]:
    """Each index as often as its count says, and how often it came before: [2, 1] -> [0, 0, 1], [0, 1, 0]."""
    index = np.repeat(np.arange(len(counts)), counts)
    rank = np.arange(len(index)) - np.repeat(np.cumsum(counts) - counts, counts)
    return index, rank
