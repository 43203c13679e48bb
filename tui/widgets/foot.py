"""The two last lines: the last thing saved, in words; and the keys, six at most."""

from collections.abc import Sequence

from rich.cells import cell_len

from evaluation.plain_text import visible
from tui.widgets.lines import Line, Span, cell

HEIGHT = 2
_ABOUT = 24  # columns at least for what a value is about
GO = (
    ("1-6", "step"),
    ("g", "next open step"),
    ("h", "home"),
    ("c", "compare"),
    ("n", "neutrality"),
    ("Esc", ""),
)


def saved(text: str, width: int, *, strong: bool = False) -> Line:
    """What was saved, undone or refused last; or a question that waits for 1 or 0.

    Where it is too long, what was said about gives way: the value behind the colon is what one looks for.
    """
    return ((" " + cell(_shortened(text, width - 2), width - 2), "strong" if strong else ""),)


def _shortened(text: str, width: int) -> str:
    about, colon, value = visible(text).rpartition(": ")
    room = width - cell_len(colon + value)
    if cell_len(about + colon + value) <= width or room < _ABOUT:
        return text
    return cell(about, room) + colon + value


def keys(pairs: Sequence[tuple[str, str]], width: int) -> Line:
    """As many keys as fit, the last one (help) always among them."""
    parts = [f"{key} {label}".strip() for key, label in pairs]
    while len(parts) > 1 and cell_len(" " + "   ".join(parts)) > width - 1:
        parts.pop(-2)
    line: list[Span] = [(" ", "")]
    for index, part in enumerate(parts):
        line.append((("   " if index else "") + part, "quiet"))
    return tuple(line)


def go_line(width: int) -> Line:
    """What may follow `g`."""
    return (
        (" " + cell("go:   " + "   ".join(f"{key} {what}".strip() for key, what in GO), width - 2), "strong"),
    )


def too_small(width: int, height: int, need: tuple[int, int]) -> list[Line]:
    """One sentence for a window that is too small, broken to fit it."""
    from tui.widgets.lines import wrapped

    sentence = (
        f"drydown needs {need[0]} columns and {need[1]} rows; this window has {width} and {height}. "
        "Nothing is lost. Make it larger, or use the command line."
    )
    return [" " + row for row in wrapped(sentence, max(10, width - 2))]
