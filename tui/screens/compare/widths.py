"""How wide the columns of the matrix stand: as many prints as fit, and then no word cut that has room."""

from dataclasses import dataclass
from typing import Final

from rich.cells import cell_len

from evaluation.judgement.matrix import Matrix, RegionRow

_EDGE: Final = 4  # gutter, sign, and a blank after the title
_TITLE: Final = 17, 32  # columns of a region, at least and at most
_BASE: Final = 13, 28  # of the base
_NUMBERED: Final = 21  # columns of a region that hold its number as well
_WIDE: Final = 100  # columns from which each print has two more at least


@dataclass(frozen=True, slots=True)
class Widths:
    """Columns of the region's name, of the base, of each other print; each with the blank behind it."""

    title: int
    base: int
    other: int
    count: int  # of other prints in sight

    @property
    def first(self) -> int:
        """Where the base begins."""
        return self.title + _EDGE

    @property
    def columns(self) -> list[int]:
        """Of the base, then of each other print in sight."""
        return [self.base, *[self.other] * self.count]


def room(width: int) -> int:
    """How many prints stand beside the base."""
    return max(1, (width - _TITLE[0] - _EDGE - _BASE[0] + 1) // _least(width))


def widths(matrix: Matrix, width: int, count: int) -> Widths:
    """For so many other prints in sight. What is left over goes to the regions, then to the papers."""
    least = _least(width)
    spare = max(0, width - _TITLE[0] - _EDGE - _BASE[0] - count * least)
    longest = max((cell_len(numbered(matrix, row)) for row in matrix.rows), default=0)
    title = min(max(longest, _TITLE[0]), _TITLE[1], _TITLE[0] + spare)
    spare -= title - _TITLE[0]
    papers = max(cell_len(column.condition.paper) for column in matrix.columns) + 2
    more = max(0, min(spare // (count + 1), min(papers, _BASE[1]) - _BASE[0]))
    return Widths(title, _BASE[0] + more, least + more, count)


def numbered(matrix: Matrix, row: RegionRow, room: int = _TITLE[1]) -> str:
    """A region as the sheet numbers it; in a narrow column its name alone."""
    title = f"{row.title[:1].lower()}{row.title[1:]}"
    if room < _NUMBERED:
        return title
    digits = max((len(str(each.number)) for each in matrix.rows if each.number is not None), default=1)
    return f"{'' if row.number is None else row.number:>{digits}} {title}"


def _least(width: int) -> int:
    return 15 if width < _WIDE else 17
