"""Where map, question and hint stand in Look: one place for the eye, the same for all regions of a sheet.

A wide sheet lies above its hint. A tall one would be small there: it takes the whole height, and the words
have the rest of the width, with the hint at their foot.
"""

from dataclasses import dataclass
from typing import Final

from evaluation.sheet.layout import Sheet
from tui.widgets.lines import wrapped
from tui.widgets.sheet_map import map_size

ABOVE: Final = 3  # rows above the map: a blank one, the title, a blank one
HINT_ROWS: Final = 3  # below a wide sheet
NAMES: Final = 32  # columns for the names of the regions beside all else
_MARGIN: Final = 3
_SMALL: Final = (27, 11)  # a map of at most so many columns and rows
_LARGE: Final = (50, 23)
_WORDS: Final = 72  # columns at most: longer lines are hard to read
_TALL: Final = 0.75  # a map narrower than that share of its place is that of a tall sheet


@dataclass(frozen=True, slots=True)
class Frame:
    """Columns and rows of a window's body."""

    width: int
    height: int
    map_width: int
    map_height: int
    column: int  # where question, answers and what belongs to them begin
    words: int  # columns of them
    rows: int  # rows of them at most, with the hint
    tall: bool  # a tall sheet
    large: bool  # a window with room for the names of the regions and what was answered

    @property
    def names(self) -> int:
        """The column where the names of the regions stand; 0: they stand below, or not at all."""
        return self.width - NAMES if self.tall and self.large else 0

    def hint(self, text: str) -> list[str]:
        """How to look, in rows of its place."""
        if not text:
            return []
        beside = self.tall or self.large
        return wrapped(text, self.words) if beside else wrapped(text, self.width - 2 * _MARGIN, HINT_ROWS)

    def room(self, hint: str) -> int:
        """Rows that question and answers should do with, so that a blank one parts them from the hint."""
        if self.large:
            return self.rows
        return (self.map_height - 1 if self.tall else self.rows) - len(self.hint(hint))


def frame(sheet: Sheet, width: int, height: int) -> Frame:
    """The places for a body of that size."""
    large = width >= 118 and height >= 29
    columns, rows = _LARGE if large else _SMALL
    drawn = map_size(sheet, columns, rows)[0]
    tall = drawn < columns * _TALL
    if tall and not large:
        rows = height - ABOVE - 1
        drawn = map_size(sheet, columns, rows)[0]
    column = _MARGIN + (drawn if tall else columns + 2) + _MARGIN
    words = min(_WORDS, width - column - 2 - (NAMES if tall and large else 0))
    room = rows if large else height - ABOVE
    return Frame(width, height, columns, rows, column, words, room, tall, large)
