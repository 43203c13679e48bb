"""Rows of text as plain spans. The one way text reaches the screen: nothing in it can become markup.

A line is a tuple of spans (text, weight); a bare string is a line of plain weight. Signs that some fonts draw
two cells wide are exchanged for plain ones where the user asked for that.
"""

import textwrap
from collections.abc import Iterable, Sequence
from typing import Final, Literal

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from rich.style import Style
from textual.geometry import Size
from textual.strip import Strip
from textual.widget import Widget

from evaluation.plain_text import visible

Weight = Literal["", "strong", "quiet", "rule", "shade", "reverse"]
Span = tuple[str, Weight]
Line = tuple[Span, ...] | str

WEIGHTS: Final[tuple[Weight, ...]] = ("strong", "quiet", "rule", "shade", "reverse")

# For fonts and terminals that draw these signs two cells wide, or not at all.
PLAIN_SIGNS: Final = str.maketrans(
    {
        "▸": ">",
        "≠": "#",
        "━": "=",
        "─": "-",
        "│": "|",
        "┃": "|",
        "┼": "+",
        "·": ".",
        "░": ":",
        "…": "~",
        "±": "~",
        **dict.fromkeys("┌┐└┘┏┓┗┛├┤┬┴", "+"),
        **{chr(code): "." for code in range(0x2801, 0x2900)},  # dotted curves
        "\u2800": " ",
    }
)


def spans(line: Line) -> tuple[Span, ...]:
    return ((line, ""),) if isinstance(line, str) else line


def text_of(line: Line) -> str:
    """A line without its weights: what is left where a terminal has neither colour nor bold."""
    return "".join(text for text, _ in spans(line))


def texts(lines: Iterable[Line]) -> list[str]:
    """Lines as text rows without trailing blanks, for copying and for tests."""
    return [text_of(line).rstrip() for line in lines]


def cell(text: str, width: int, align: Literal["left", "right"] = "left") -> str:
    """Text from anywhere in exactly `width` cells: made visible, cut with an ellipsis, padded.

    >>> cell("Sallowfell Baryta", 10), cell("4.0", 6, "right")
    ('Sallowfel…', '   4.0')
    """
    shown = visible(text)
    if cell_len(shown) > width:
        return set_cell_size(shown, width - 1) + "…" if width > 0 else ""
    gap = " " * (width - cell_len(shown))
    return gap + shown if align == "right" else shown + gap


def wrapped(text: str, width: int, most: int | None = None) -> list[str]:
    """Text from anywhere as lines of at most `width` cells; with `most`, cut after so many lines."""
    shown = visible(text)
    rows = textwrap.wrap(shown, max(1, width)) or [""]
    if cell_len(shown) != len(shown):
        rows = [piece for row in rows for piece in _halves(row, width)]
    if most is not None and len(rows) > most:
        rows = [*rows[: most - 1], cell(" ".join(rows[most - 1 :]), width).rstrip()]
    return rows


def _halves(row: str, width: int) -> Iterable[str]:
    """A row of wide characters, cut where it exceeds its cells."""
    piece = ""
    for char in row:
        if cell_len(piece + char) > width:
            yield piece
            piece = ""
        piece += char
    yield piece


class Lines(Widget):
    """A block of lines, drawn as they stand: no wrapping, no scrolling, no markup."""

    COMPONENT_CLASSES = {f"lines--{weight}" for weight in WEIGHTS}
    DEFAULT_CSS = """
    Lines { width: 1fr; height: 1fr; }
    Lines > .lines--strong { text-style: bold; }
    Lines > .lines--quiet { color: $quiet; }
    Lines > .lines--rule { color: $rule; }
    Lines > .lines--shade { background: $shade; }
    Lines > .lines--reverse { text-style: reverse; }
    """

    def __init__(
        self, lines: Sequence[Line] = (), *, id: str | None = None, height: int | None = None
    ) -> None:
        """`height` in rows; None takes what is left."""
        super().__init__(id=id)
        self.rows: tuple[Line, ...] = tuple(lines)
        if height is not None:  # set here, a screen needs no style sheet of its own, which opens it faster
            self.styles.height = height

    def show(self, lines: Sequence[Line]) -> None:
        """Put these lines in place of the ones before; repaints only when something changed."""
        rows = tuple(lines)
        if rows != self.rows:
            self.rows = rows
            self.refresh()

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return len(self.rows)

    def render_line(self, y: int) -> Strip:
        line = self.rows[y] if y < len(self.rows) else ""
        return strip(self, line, self.size.width)


def strip(widget: Widget, line: Line, width: int) -> Strip:
    """One line as a strip of exactly `width` cells in the widget's own styles."""
    base = widget.rich_style
    plain = getattr(widget.app, "plain_signs", False)
    segments = [
        Segment(text.translate(PLAIN_SIGNS) if plain else text, style_of(widget, weight, base))
        for text, weight in spans(line)
        if text
    ]
    return Strip(segments).adjust_cell_length(width, base)


def style_of(widget: Widget, weight: Weight, base: Style) -> Style:
    return base + widget.get_component_rich_style(f"lines--{weight}", partial=True) if weight else base
