"""Profiling data as lines: facts side by side as far as the width reaches, then what was read again."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from evaluation.judgement.charts_offered import Offered
from tui.widgets.lines import Line, cell, wrapped

if TYPE_CHECKING:
    from evaluation.judgement.charts import ChartPair, OfSession

_NAME, _LEAST = 19, 26  # columns for the name of a fact, and for a session


def page(found: "Sequence[OfSession]", between: "Sequence[ChartPair]", width: int) -> list[Line]:
    """The session in hand first; sessions that find no room go on below."""
    from evaluation.telling import charts as chart_words  # colour maths, which Read does without

    at_once = max(1, (width - _NAME - 4) // _LEAST)
    rows = chart_words.rows(found)
    lines: list[Line] = []
    for start in range(0, len(found), at_once):
        lines += ["", *_table(found[start : start + at_once], rows, start, width)]
    for words in (*chart_words.told(found, between), chart_words.LIMITS):
        lines += ["", *(f"   {row}" for row in wrapped(words, width - 6))]
    return lines


def offer(offered: Sequence[Offered], width: int, *, own: bool) -> list[Line]:
    """What other sessions keep of the same printing condition, to be taken over; else how to see its own."""
    if not offered:
        return [" m shows what the profiling data say of paper, black and greys."] if own else []
    more = f" and {len(offered) - 1} more sessions" if len(offered) > 1 else ""
    words = f"Profiling data of this printing condition: {offered[0].about}{more}; m takes it over."
    return [f" {row}" for row in wrapped(words, width - 2, 2)]


def _table(
    found: "Sequence[OfSession]", rows: Sequence[tuple[str, ...]], start: int, width: int
) -> list[Line]:
    room = (width - _NAME - 4) // len(found) - 2
    heads = "  ".join(cell(f"session {each.session.id}", room) for each in found)
    lines: list[Line] = [((f"   {cell('', _NAME)}{heads}".rstrip(), "strong"),)]
    for name, *cells in rows:
        columns = [wrapped(text, room) for text in cells[start : start + len(found)]]
        for place in range(max(map(len, columns))):
            parts = (cell(column[place] if place < len(column) else "", room) for column in columns)
            lines.append(f"   {cell(name if not place else '', _NAME)}{'  '.join(parts)}".rstrip())
    return lines
