"""Sentences and tables as the lines of a page. Pure text."""

from collections.abc import Sequence
from typing import Final, Literal

from rich.cells import cell_len

from evaluation.telling.table import Table
from tui.reports import Block
from tui.widgets.lines import Line, cell, wrapped

_LEAST: Final = 24  # columns in which a last column of words may be broken
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
    """A table with its title and note. What is too wide is broken in a last column of words; else columns go
    on below, with the first one again.
    """
    headed = any(table.heads)
    rows = [table.heads, *table.rows] if headed else list(table.rows)
    widths = [max(cell_len(row[k]) for row in rows) for k in range(len(rows[0]))] if rows else []
    lines: list[Line] = [((f"   {table.title}", "strong"),)] if table.title else []
    last, room = len(widths) - 1, width - 4
    before = sum(widths[:-1]) + 2 * last
    if last > 0 and last not in table.right and before + _LEAST <= room < before + widths[-1]:
        widths[-1] = room - before
    for part in _parts(widths, room):
        for place, row in enumerate(rows):
            told = [wrapped(row[k], widths[k]) if k == last else [row[k]] for k in part]
            for line in range(max(map(len, told))):
                cells = (
                    cell(each[line] if line < len(each) else "", widths[k], _align(table, k))
                    for k, each in zip(part, told, strict=True)
                )
                text = cell("   " + "  ".join(cells), width - 1).rstrip()
                lines.append(((text, "quiet"),) if headed and place == 0 else text)
    return lines + [((f"   {row}", "quiet"),) for row in (wrapped(table.note, width - 6) if table.note else ())]


def _align(table: Table, column: int) -> Literal["left", "right"]:
    return "right" if column in table.right else "left"


def _parts(widths: Sequence[int], room: int) -> list[list[int]]:
    """Columns in groups that fit, each begun by the first."""
    if not widths:
        return []
    parts, used = [[0]], widths[0]
    for k in range(1, len(widths)):
        if used + 2 + widths[k] > room and len(parts[-1]) > 1:
            parts.append([0])
            used = widths[0]
        parts[-1].append(k)
        used += 2 + widths[k]
    return parts
