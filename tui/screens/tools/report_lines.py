"""Sentences and tables as the lines of a page. Pure text."""

from collections.abc import Sequence
from typing import Final, Literal

from rich.cells import cell_len

from evaluation.telling.table import Table
from tui.reports import Block
from tui.widgets.lines import Line, Weight, cell, wrapped

_LEAST: Final = 24  # columns in which a last column of words may be broken
_UNDER: Final = 6  # columns that words under a row are set in
_WIDEST: Final = 110  # columns of a sentence: longer lines are hard to read


def report_lines(blocks: Sequence[Block], width: int) -> list[Line]:
    """A report for a page: sentences broken, tables set below each other."""
    lines: list[Line] = [""]
    for block in blocks:
        if isinstance(block, str):
            indent = len(block) - len(block.lstrip())
            rows = wrapped(block.lstrip(), min(width, _WIDEST) - 6 - indent) if block else [""]
            lines += [f"   {'':{indent}}{row}" for row in rows]
        else:
            lines += table_lines(block, width)
    return lines


def table_lines(table: Table, width: int) -> list[Line]:
    """A table with its title and note. Where it is too wide, its last column of words is broken, or stands
    under its row; else columns go on below, with the first one again.
    """
    headed = any(table.heads)
    rows = [table.heads, *table.rows] if headed else list(table.rows)
    titled = wrapped(table.title, width - 6) if table.title else ()
    lines: list[Line] = [((f"   {row}", "strong"),) for row in titled]
    if rows:
        widths = [max(cell_len(row[k]) for row in rows) for k in range(len(rows[0]))]
        under = _made_to_fit(widths, width - 4, words=len(widths) - 1 not in table.right)
        parts = [list(range(len(widths) - 1))] if under else _parts(widths, width - 4)
        for part in parts:
            for place, row in enumerate(rows):
                weight: Weight = "quiet" if headed and place == 0 else ""
                lines += [((text, weight),) for text in _row(table, row, part, widths, width)]
                if under and not weight and row[-1]:
                    told = wrapped(row[-1], widths[-1])
                    lines += [((f"   {'':{_UNDER}}{text}", "quiet"),) for text in told]
    return lines + [
        ((f"   {row}", "quiet"),) for row in (wrapped(table.note, width - 6) if table.note else ())
    ]


def _made_to_fit(widths: list[int], room: int, *, words: bool) -> bool:
    """Give a last column of words the room that is left; whether it stands under its row for that."""
    before = sum(widths[:-1]) + 2 * (len(widths) - 1)
    if not words or len(widths) < 2 or before > room or before + widths[-1] <= room:
        return False
    under = before + min(_LEAST, widths[-1]) > room
    widths[-1] = room - (_UNDER if under else before)
    return under


def _row(
    table: Table, row: Sequence[str], part: Sequence[int], widths: Sequence[int], width: int
) -> list[str]:
    """A row as far as these columns go, on as many lines as its words want."""
    told = [wrapped(row[k], widths[k]) if k == len(row) - 1 else [row[k]] for k in part]
    found = []
    for line in range(max(map(len, told))):
        cells = (
            cell(each[line] if line < len(each) else "", widths[k], _align(table, k))
            for k, each in zip(part, told, strict=True)
        )
        found.append(cell("   " + "  ".join(cells), width - 1).rstrip())
    return found


def _align(table: Table, column: int) -> Literal["left", "right"]:
    return "right" if column in table.right else "left"


def _parts(widths: Sequence[int], room: int) -> list[list[int]]:
    """Columns in groups that fit, each begun by the first."""
    parts, used = [[0]], widths[0]
    for k in range(1, len(widths)):
        if used + 2 + widths[k] > room and len(parts[-1]) > 1:
            parts.append([0])
            used = widths[0]
        parts[-1].append(k)
        used += 2 + widths[k]
    return parts
