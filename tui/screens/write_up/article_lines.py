"""An article written in Markdown as it reads, in lines: headings, tables and lists laid out. Pure text."""

import io
from collections.abc import Sequence
from functools import lru_cache
from typing import Final

from rich.console import Console
from rich.markdown import Markdown
from rich.segment import Segment

from tui.widgets.lines import Line, Span, Weight, wrapped

_MARGIN: Final = 2
_WIDEST: Final = 110  # columns: longer lines are hard to read
_HEADING: Final = "## "


@lru_cache(maxsize=2)  # every page turned asks for all lines again
def article(text: str, width: int) -> tuple[Line, ...]:
    """The whole of it, after a list of its chapters."""
    room = min(width - 2 * _MARGIN, _WIDEST)
    console = Console(width=room, color_system=None, file=io.StringIO(), legacy_windows=False)
    rendered = console.render_lines(Markdown(text, hyperlinks=False), pad=False)
    return (*_contents(text, room), *(_line(row) for row in rendered))


def _contents(text: str, room: int) -> Sequence[Line]:
    """The chapters by name; / finds each of them."""
    names = [row.removeprefix(_HEADING) for row in text.splitlines() if row.startswith(_HEADING)]
    told = wrapped(f"Chapters: {'; '.join(names)}. / goes to one.", room) if names else []
    return ["", *(((" " * _MARGIN + row, "quiet"),) for row in told), ""]


def _line(row: Sequence[Segment]) -> Line:
    parts: list[Span] = [(" " * _MARGIN, "")]
    for text, style, _ in row:
        weight: Weight = ""
        if style is not None and style.bold:
            weight = "strong"
        elif style is not None and (style.dim or style.italic):
            weight = "quiet"
        parts.append((text, weight))
    return tuple(parts)
