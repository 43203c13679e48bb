"""The line above the keys: the last thing saved. And one sentence for a window that is too small."""

from typing import Final

from rich.cells import cell_len

from evaluation.plain_text import visible
from tui.widgets.lines import Line, cell, wrapped

NEED: Final = (80, 24)
_ABOUT: Final = 24  # columns at least for what a value is about


def saved(text: str, width: int) -> Line:
    """What was saved, undone or refused last.

    Where it is too long, what it is about gives way: the value behind the colon is what one looks for.
    """
    return " " + cell(_shortened(text, width - 2), width - 2)


def _shortened(text: str, width: int) -> str:
    about, colon, value = visible(text).rpartition(": ")
    room = width - cell_len(colon + value)
    if cell_len(about + colon + value) <= width or room < _ABOUT:
        return text
    return cell(about, room) + colon + value


def too_small(width: int, height: int) -> list[Line]:
    """One sentence for a window that is too small, broken to fit it."""
    sentence = (
        f"drydown needs {NEED[0]} columns and {NEED[1]} rows; this window has {width} and {height}. "
        "Nothing is lost. Make it larger, or use the command line."
    )
    return [" " + row for row in wrapped(sentence, max(10, width - 2))]
