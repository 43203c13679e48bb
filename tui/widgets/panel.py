"""A panel: lines in a frame with a title, made anew for every width."""

from collections.abc import Callable, Sequence

from textual.containers import Vertical
from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget
from textual.widgets import Static

from evaluation.plain_text import visible
from tui.signs import PLAIN_SIGNS
from tui.widgets.lines import Line, spans, styled

# Columns and rows inside the frame -> lines.
Made = Callable[[int, int], Sequence[Line]]


class Titled(Widget):
    """A frame with a title, and a note in its lower edge; behind the title where it has no lower edge."""

    _title = _note = ""

    def called(self, title: str, note: str = "") -> None:
        """Write a title and a note into the frame."""
        if (title, note) != (self._title, self._note):
            self._title, self._note = title, note
            self._write_frame()

    def on_resize(self) -> None:
        self._write_frame()

    def _write_frame(self) -> None:
        below = bool(self.styles.border_bottom[0])
        beside = f"{self._title}   {self._note}" if self._note and not below else self._title
        self.border_title = framed(beside)
        self.border_subtitle = framed(self._note) if below else None


class Panel(Static, Titled):
    """Shows lines as they stand: no wrapping, no scrolling, no markup. Their maker is told the room."""

    def __init__(self, id: str, title: str = "", *, classes: str = "panel") -> None:
        super().__init__("", id=id, classes=classes, markup=False)
        self._made: Made = lambda width, height: ()
        self.called(title)

    def show(self, lines: Sequence[Line] | Made) -> None:
        """Put other lines in place of the ones before."""
        self._made = lines if callable(lines) else (lambda width, height: lines)
        grows = self.styles.is_auto_height and (not self.size or len(self.rows) != self.size.height)
        self.refresh(layout=grows)

    @property
    def rows(self) -> tuple[Line, ...]:
        """What it shows at its present size."""
        return tuple(self._made(self.size.width, self.size.height))

    def render(self) -> Content:
        plain_signs = getattr(self.app, "plain_signs", False)
        parts = [part for line in self.rows for part in (("\n", ""), *spans(line))][1:]
        return content(tuple(parts), plain_signs=plain_signs)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return max(1, len(self._made(width, container.height)))


class Frame(Vertical, Titled):
    """A list with its heading, in one frame."""

    def __init__(self, id: str, title: str = "", *, classes: str = "panel here") -> None:
        super().__init__(id=id, classes=classes)
        self.called(title)


def framed(text: str) -> Content | None:
    """Text for a frame: nothing in it is markup."""
    return Content(visible(text)) if text else None


def content(line: Line, *, plain_signs: bool = False) -> Content:
    """A line for one of the framework's own widgets."""
    parts = [
        (text.translate(PLAIN_SIGNS) if plain_signs else text, styled(weight)) for text, weight in spans(line)
    ]
    return Content.assemble(*parts)
