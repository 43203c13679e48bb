"""Rows of text as plain spans. The one way text reaches the screen: nothing in it can become markup.

A line is a tuple of spans (text, weight); a bare string is a line of plain weight. Signs that some fonts draw
two cells wide are exchanged for plain ones where the user asked for that.
"""

import textwrap
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Literal, NamedTuple

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

from evaluation.plain_text import visible
from tui.signs import PLAIN_SIGNS


class Tone(NamedTuple):
    """A grey on a grey, 0 to 255 each: of a half block the upper and the lower half."""

    front: int
    back: int


Weight = Literal["", "strong", "quiet", "rule"] | Tone
_STYLES: Mapping[Weight, str] = {"": "", "strong": "bold", "quiet": "$quiet", "rule": "$rule"}
Span = tuple[str, Weight]
Line = tuple[Span, ...] | str


def spans(line: Line) -> tuple[Span, ...]:
    return ((line, ""),) if isinstance(line, str) else line


def styled(weight: Weight) -> str:
    """How the framework's own widgets are told of a weight."""
    if isinstance(weight, Tone):
        front, back = (f"#{grey:02x}{grey:02x}{grey:02x}" for grey in weight)
        return f"{front} on {back}"
    return _STYLES[weight]


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
    return list(_wrapped(text, width, most))


@lru_cache(maxsize=512)  # a screen wraps the same sentences again at every key
def _wrapped(text: str, width: int, most: int | None) -> tuple[str, ...]:
    shown = visible(text)
    rows = textwrap.wrap(shown, max(1, width)) or [""]
    if cell_len(shown) != len(shown):
        rows = [piece for row in rows for piece in _halves(row, width)]
    if most is not None and len(rows) > most:
        rows = [*rows[: most - 1], cell(" ".join(rows[most - 1 :]), width).rstrip()]
    return tuple(rows)


def _halves(row: str, width: int) -> Iterable[str]:
    """A row of wide characters, cut where it exceeds its cells."""
    piece = ""
    for char in row:
        if cell_len(piece + char) > width:
            yield piece
            piece = ""
        piece += char
    yield piece


def paragraphs(texts: Iterable[str], width: int) -> list[Line]:
    """Sentences, one below the other, two cells in."""
    return [f"  {row}" for text in texts for row in wrapped(text, width - 4)]


def strip(line: Line, width: int, styles: Mapping[Weight, Style], *, plain_signs: bool = False) -> Strip:
    """One line as a strip of exactly `width` cells."""
    segments: list[Segment] = []
    used = 0
    for text, weight in spans(line):
        if text:
            segments.append(Segment(text.translate(PLAIN_SIGNS) if plain_signs else text, styles[weight]))
            used += len(text) if text.isascii() else cell_len(text)
    if used < width:
        segments.append(Segment(" " * (width - used), styles[""]))
    made = Strip(segments, max(used, width))
    return made.crop(0, width) if used > width else made
