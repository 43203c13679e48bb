"""A screen that draws itself: its parts from top to bottom, only the rows that look different."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

from textual import events
from textual.app import ComposeResult
from textual.geometry import Region, Size
from textual.strip import Strip

from tui import theme
from tui.widgets import foot, lines
from tui.widgets.lines import Line
from tui.widgets.part import Lines, Part, places
from tui.widgets.rows import Rows

if TYPE_CHECKING:
    from textual.screen import Screen

    Base = Screen
else:
    Base = object  # mixed into a screen: the framework takes styles from the first of its classes alone

NEED: Final = (80, 24)


class Painted(Base):
    """Mixed into a screen, before it. Subclasses give `make_parts`; only the line to type in is a widget."""

    def __init__(self) -> None:
        super().__init__()
        self.parts: dict[str, Part] = {}
        self._at: list[tuple[Part, int]] = []  # part and its row, for each row of the screen
        self._drawn: dict[int, tuple[Line, Strip]] = {}  # what each row of the screen shows
        self._drawn_for = (0, "")  # the width and the appearance
        self._fitted = Size(0, 0)

    def make_parts(self) -> Iterable[Part]:
        """The parts, from the top."""
        return ()

    def compose(self) -> ComposeResult:
        for part in self.make_parts():
            self.parts[part.id] = part
        self.lay_out()
        for part in self.parts.values():
            part.canvas = self
        yield from self.widgets_over()

    def widgets_over(self) -> ComposeResult:
        """Widgets that lie over the parts from the beginning."""
        yield from ()

    def one(self, part_id: str) -> Lines:
        """The block of lines of that name."""
        part = self.parts[part_id]
        assert isinstance(part, Lines)
        return part

    @property
    def list_here(self) -> Rows:
        """The list of this screen."""
        return next(part for part in self.parts.values() if isinstance(part, Rows))

    # Drawing ----------------------------------------------------------------------------------------------

    def refresh_page(self) -> None:
        """Everything, after a change of size or of what is known."""

    def on_resize(self) -> None:
        self._fit()

    def on_screen_resume(self) -> None:
        self._fit()  # the window may have changed while another screen was above

    def _fit(self) -> None:
        if self.size != self._fitted:
            self.lay_out()
            self.refresh_page()

    def lay_out(self) -> None:
        """Give each part its place for the size of the screen now."""
        self._fitted = self.size
        width, height = self.size
        self._at = []
        for part, top, tall in places(tuple(self.parts.values()), height):
            part.put_at(top, tall, width)
            self._at += [(part, row) for row in range(tall)]
        if width < NEED[0] or height < NEED[1]:  # one sentence over everything
            cover = Lines("small")
            cover.rows = tuple(foot.too_small(width, height, NEED))
            self._at = [(cover, row) for row in range(height)]
        self._paint_rows(range(height))

    def paint(self, part: Part) -> None:
        """Draw the rows of a part again that look different now."""
        if part.shown:
            self._paint_rows(range(part.top, part.top + part.tall))

    def _paint_rows(self, rows: range) -> None:
        if not self.is_mounted:  # the first frame draws every row
            return
        width, drawn = self.size.width, self._drawn
        changed = [Region(0, y, width, 1) for y in rows if y not in drawn or drawn[y][0] != self._line(y)]
        if changed:
            self.refresh(*changed)

    def _line(self, y: int) -> Line:
        if y >= len(self._at):
            return ""
        part, row = self._at[y]
        return part.line(row)

    def render_lines(self, crop: Region) -> list[Strip]:
        """Rows as they go to the terminal. A page has no border, padding or opacity, and its styles need no
        filter: they are greys, or the terminal's own colours where there shall be none.
        """
        app, width = self.app, self.size.width
        styles, plain = theme.styles(app.theme), getattr(app, "plain_signs", False)
        if self._drawn_for != (width, app.theme):
            self._drawn.clear()
            self._drawn_for = (width, app.theme)
        strips = []
        for y in crop.line_range:
            line, drawn = self._line(y), self._drawn.get(y)
            if drawn is None or drawn[0] != line:
                drawn = self._drawn[y] = (line, lines.strip(line, width, styles, plain_signs=plain))
            strips.append(drawn[1])
        left, right = crop.column_span
        return strips if (left, right) == (0, width) else [strip.crop(left, right) for strip in strips]

    # The mouse --------------------------------------------------------------------------------------------

    def on_click(self, event: events.Click) -> None:
        if event.widget is self and event.y < len(self._at):
            part, row = self._at[event.y]
            part.clicked(event.x, row)

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        self._wheel(event, 1)

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        self._wheel(event, -1)

    def _wheel(self, event: events.MouseEvent, rows: int) -> None:
        if event.y < len(self._at):
            self._at[event.y][0].wheeled(rows)
