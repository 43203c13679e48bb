"""The one noun for rows of text under heads: cells, pages and commands set it each in its own way."""

import re
from dataclasses import dataclass, replace
from typing import Final

from evaluation.telling.figure import Figure
from evaluation.telling.numbers import NOTHING, minus
from evaluation.telling.wording import folded

_SIGN: Final = re.compile(r"(?<!\S)-(?=\d)")  # before a number among words


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under heads; columns whose index is in `right` are set flush right.

    sparks  a small curve a row, which a page draws behind the words of its last cell
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: tuple[int, ...] = ()
    note: str = ""
    sparks: tuple[Figure | None, ...] = ()


def typeset(table: Table) -> Table:
    """For a page: a typographer's minus before numbers, a dash where there is none, each text on one line."""

    def cell(text: str, column: int) -> str:
        if column in table.right:
            return minus(text)
        return NOTHING if text == "-" else _SIGN.sub("−", folded(text))

    return replace(
        table, rows=tuple(tuple(cell(text, column) for column, text in enumerate(row)) for row in table.rows)
    )
