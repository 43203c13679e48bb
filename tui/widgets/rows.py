"""A list of any length as a part of a page: only rows in sight are asked for, in windows of 64."""

from collections.abc import Callable, Sequence
from typing import Final

from tui.widgets.lines import Line, Span, padded, spans
from tui.widgets.part import Part

WINDOW: Final = 64
_KEPT: Final = 4  # windows that are kept
_WHEEL: Final = 3  # rows for one turn of the wheel

# Rows from `start` on, `count` of them, as lines without their gutter.
Source = Callable[[int, int], Sequence[Line]]


class Rows(Part):
    """A cursor over lines that a source provides; the source is asked again after `reload`.

    Three columns of gutter on all lists: here, marked, state. The source draws the last two. Where rows are
    out of sight a bar in the last column says where one is.

    moved   called when the cursor came to stand on another row
    chosen  called when a row was clicked while the cursor stood on it
    """

    def __init__(
        self,
        id: str,
        height: int | None = None,
        *,
        moved: Callable[[], None] | None = None,
        chosen: Callable[[], None] | None = None,
    ) -> None:
        super().__init__(id, height)
        self.moved = moved
        self.chosen = chosen
        self.count = 0
        self.cursor = 0
        self.first = 0  # the row at the top
        self._source: Source = lambda start, count: ()
        self._windows: dict[int, Sequence[Line]] = {}

    @property
    def row_on_page(self) -> int:
        """The row of the page on which the cursor stands."""
        return self.top + self.cursor - self.first

    def show(self, source: Source, count: int, cursor: int | None = None) -> None:
        """List other rows; the cursor stays where it was as far as there are rows."""
        self._source, self.count = source, count
        self._windows.clear()
        wanted = self.cursor if cursor is None else cursor
        self.cursor = max(0, min(wanted, count - 1))
        self._in_sight()
        self.paint()

    def reload(self) -> None:
        """Ask the source again for what is in sight."""
        self._windows.clear()
        self.paint()

    def move(self, way: str) -> bool:
        """Move the cursor; False when it could not move further."""
        page = max(1, self.tall - 1)
        step = {
            "up": -1,
            "down": 1,
            "pageup": -page,
            "pagedown": page,
            "home": -self.count,
            "end": self.count,
        }
        return way in step and self.put(self.cursor + step[way])

    def put(self, row: int) -> bool:
        """Stand on a row, the nearest there is."""
        before, self.cursor = self.cursor, max(0, min(row, self.count - 1))
        if self.cursor == before:
            return False
        self._in_sight()
        self.paint()
        if self.moved is not None:
            self.moved()
        return True

    def listed(self, row: int) -> Line:
        """A row as its source has it."""
        start = row - row % WINDOW
        if start not in self._windows:
            if len(self._windows) > _KEPT:
                self._windows.clear()
            self._windows[start] = self._source(start, min(WINDOW, self.count - start))
        window = self._windows[start]
        return window[row - start] if row - start < len(window) else ""

    def line(self, y: int) -> Line:
        row = y + self.first
        parts: tuple[Span, ...] = ()
        if row < self.count:
            here = row == self.cursor
            parts = spans(self.listed(row))
            if here:
                parts = tuple((text, weight or "strong") for text, weight in parts)
            parts = ((" ▸" if here else "  ", "strong"), *parts)
        if self.count <= self.tall:
            return parts
        return (*padded(parts, self.width - 1), ("┃" if y in self._bar() else " ", "rule"))

    def _bar(self) -> range:
        """Rows of the bar that says which part of the list is in sight."""
        length = max(1, round(self.tall * self.tall / self.count))
        start = round((self.tall - length) * self.first / (self.count - self.tall))
        return range(start, start + length)

    def put_at(self, top: int, tall: int, width: int) -> None:
        super().put_at(top, tall, width)
        self._in_sight()

    def _in_sight(self) -> None:
        """Scroll as little as brings the cursor into sight, and no further than the end of the list."""
        if not self.tall:
            return
        self.first = min(self.first, self.cursor)
        self.first = max(self.first, self.cursor - self.tall + 1)
        self.first = max(0, min(self.first, self.count - self.tall))

    def clicked(self, x: int, y: int) -> None:
        if x == self.width - 1 and self.count > self.tall:
            self._scroll((self.count - self.tall) * y // max(1, self.tall - 1))
            return
        row = y + self.first
        if row == self.cursor and self.chosen is not None:
            self.chosen()
        elif row < self.count:
            self.put(row)

    def wheeled(self, rows: int) -> None:
        self._scroll(self.first + _WHEEL * rows)

    def _scroll(self, first: int) -> None:
        """Show the list from another row on; the cursor stays on its own, in sight or not."""
        self.first = max(0, min(first, self.count - self.tall))
        self.paint()
