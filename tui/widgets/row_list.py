"""A list of any length: only rows in sight are asked for, in windows of 64.

The framework's own lists measure every row before the first is drawn: a second for 10,000 sessions.
"""

from collections.abc import Callable, Sequence
from typing import Final

from textual import events
from textual.geometry import Region, Size
from textual.scroll_view import ScrollView
from textual.strip import Strip

from tui import theme
from tui.widgets import lines
from tui.widgets.lines import Line, Span, spans

WINDOW: Final = 64
_KEPT: Final = 4  # windows that are kept

# Rows from `start` on, `count` of them, as lines without their gutter.
Source = Callable[[int, int], Sequence[Line]]


class RowList(ScrollView, can_focus=False):
    """A cursor over lines that a source provides; the source is asked again after `reload`.

    Two columns of gutter say which row is here. The keys belong to the screen.

    moved   called when the cursor came to stand on another row
    chosen  called when a row was clicked while the cursor stood on it
    """

    def __init__(
        self,
        id: str,
        *,
        moved: Callable[[], None] | None = None,
        chosen: Callable[[], None] | None = None,
    ) -> None:
        super().__init__(id=id)
        self.moved = moved
        self.chosen = chosen
        self.count = 0
        self.cursor = 0
        self._source: Source = lambda start, count: ()
        self._windows: dict[int, Sequence[Line]] = {}

    @property
    def room(self) -> int:
        """Columns of a row, with its gutter."""
        return self.scrollable_content_region.width or self.size.width

    @property
    def tall(self) -> int:
        """Rows in sight."""
        return self.scrollable_content_region.height

    def place(self, column: int) -> tuple[int, int]:
        """Column and row of the window where a column of the row under the cursor stands."""
        left, top = self.content_region.offset
        return left + column, top + self.cursor - int(self.scroll_offset.y)

    def from_column(self, column: int) -> tuple[int, int, int]:
        """As `place`, and the cells from there to the end of the row: where a value is typed."""
        return (*self.place(column), self.room - column - 1)

    def show(self, source: Source, count: int, cursor: int | None = None) -> None:
        """List other rows; the cursor stays where it was as far as there are rows."""
        self._source, self.count = source, count
        self._windows.clear()
        wanted = self.cursor if cursor is None else cursor
        self.cursor = max(0, min(wanted, count - 1))
        self.virtual_size = Size(0, count)
        self._in_sight()
        self.refresh(layout=self.styles.is_auto_height)

    def reload(self) -> None:
        """Ask the source again for what is in sight."""
        self._windows.clear()
        self.refresh()

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
        first = self.scroll_offset.y
        self._in_sight()
        if self.scroll_offset.y == first:
            self.refresh_line(before)
            self.refresh_line(self.cursor)
        else:
            self.refresh()
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

    def render_line(self, y: int) -> Strip:
        row = y + int(self.scroll_offset.y)
        parts: tuple[Span, ...] = ()
        if row < self.count:
            here = row == self.cursor
            parts = spans(self.listed(row))
            if here:
                parts = tuple((text, weight or "strong") for text, weight in parts)
            parts = ((" ▸" if here else "  ", "strong"), *parts)
        app = self.app
        plain_signs = getattr(app, "plain_signs", False)
        return lines.strip(parts, self.room, theme.styles(app.theme), plain_signs=plain_signs)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return max(1, self.count)

    def on_resize(self) -> None:
        self.reload()  # rows drawn since the new size came may still be as wide as before
        self._in_sight()

    def _in_sight(self) -> None:
        """Scroll as little as brings the cursor into sight."""
        if self.tall:
            row = Region(0, self.cursor, 1, 1)
            self.scroll_to_region(row, animate=False, immediate=True, force=True, x_axis=False)

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is None:
            return
        row = offset.y + int(self.scroll_offset.y)
        if row == self.cursor and self.chosen is not None:
            self.chosen()
        elif row < self.count:
            self.put(row)
