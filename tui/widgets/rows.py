"""A list of any length, drawn line by line: only rows in sight are asked for, in windows of 64."""

from collections.abc import Callable, Sequence
from typing import Final

from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from tui.widgets.lines import WEIGHTS, Line, spans, strip

WINDOW: Final = 64

# Rows from `start` on, `count` of them, as lines without their gutter.
Source = Callable[[int, int], Sequence[Line]]


class Rows(ScrollView, can_focus=False):
    """A cursor over lines that a source provides; the source is asked again after `reload`.

    Three columns of gutter on all lists: here, marked, state. The source draws the last two.
    """

    COMPONENT_CLASSES = {f"lines--{weight}" for weight in WEIGHTS}
    DEFAULT_CSS = """
    Rows { width: 1fr; height: 1fr; scrollbar-size-vertical: 1; overflow-x: hidden; }
    Rows > .lines--strong { text-style: bold; }
    Rows > .lines--quiet { color: $quiet; }
    Rows > .lines--rule { color: $rule; }
    Rows > .lines--shade { background: $shade; }
    Rows > .lines--reverse { text-style: reverse; }
    """

    class Moved(Message):
        """The cursor stands on another row."""

        def __init__(self, rows: "Rows", row: int) -> None:
            super().__init__()
            self.rows = rows
            self.row = row

        @property
        def control(self) -> "Rows":
            return self.rows

    class Chosen(Moved):
        """A row was clicked while the cursor stood on it."""

    def __init__(
        self,
        source: Source | None = None,
        count: int = 0,
        *,
        id: str | None = None,
        height: int | None = None,
    ) -> None:
        super().__init__(id=id)
        if height is not None:
            self.styles.height = height
        self._source: Source = source or (lambda start, count: ())
        self._windows: dict[int, Sequence[Line]] = {}
        self._count = count
        self.cursor = 0

    @property
    def count(self) -> int:
        return self._count

    def show(self, source: Source, count: int, cursor: int | None = None) -> None:
        """List other rows; the cursor stays where it was as far as there are rows."""
        self._source, self._count = source, count
        self._windows.clear()
        wanted = self.cursor if cursor is None else cursor
        self.cursor = max(0, min(wanted, count - 1))
        self._fit()
        self.refresh()

    def reload(self) -> None:
        """Ask the source again for what is in sight."""
        self._windows.clear()
        self.refresh()

    def move(self, way: str) -> bool:
        """Move the cursor; False when it could not move further."""
        page = max(1, self.size.height - 1)
        step = {
            "up": -1,
            "down": 1,
            "pageup": -page,
            "pagedown": page,
            "home": -self._count,
            "end": self._count,
        }
        if way not in step:
            return False
        return self.put(self.cursor + step[way])

    def put(self, row: int) -> bool:
        """Stand on a row, the nearest there is."""
        before, self.cursor = self.cursor, max(0, min(row, self._count - 1))
        if self.cursor == before:
            return False
        self._in_sight()
        self._repaint(before)
        self._repaint(self.cursor)
        self.post_message(self.Moved(self, self.cursor))
        return True

    def line(self, row: int) -> Line:
        start = row - row % WINDOW
        if start not in self._windows:
            if len(self._windows) > 4:
                self._windows.clear()
            self._windows[start] = self._source(start, min(WINDOW, self._count - start))
        window = self._windows[start]
        return window[row - start] if row - start < len(window) else ""

    def render_line(self, y: int) -> Strip:
        row = y + round(self.scroll_offset.y)
        width = self.scrollable_content_region.width
        if not 0 <= row < self._count:
            return strip(self, "", width)
        here = row == self.cursor
        line = spans(self.line(row))
        if here:
            line = tuple((text, weight or "strong") for text, weight in line)
        return strip(self, ((" ▸" if here else "  ", "strong"), *line), width)

    def on_resize(self) -> None:
        self._fit()
        self._in_sight()

    def on_click(self, event: object) -> None:
        row = getattr(event, "y", 0) + round(self.scroll_offset.y)
        if row == self.cursor:
            self.post_message(self.Chosen(self, row))
        elif row < self._count:
            self.put(row)

    def _fit(self) -> None:
        self.virtual_size = Size(self.size.width, self._count)

    def _in_sight(self) -> None:
        height = self.size.height
        top = round(self.scroll_offset.y)
        if self.cursor < top:
            self.scroll_to(y=self.cursor, animate=False, force=True, immediate=True)
        elif height and self.cursor >= top + height:
            self.scroll_to(y=self.cursor - height + 1, animate=False, force=True, immediate=True)

    def _repaint(self, row: int) -> None:
        y = row - round(self.scroll_offset.y)
        self.refresh(Region(0, y, self.size.width, 1))
