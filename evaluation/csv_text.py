"""Tables for other programs: one rule for every CSV that is written here (RFC 4180, UTF-8).

Standard library only.
"""

import csv
import io
import re
from collections.abc import Iterable, Sequence
from typing import Any, Final

from evaluation.plain_text import visible

# How a text begins that a spreadsheet would work out; full-width forms count for some of them.
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
_NUMBER: Final = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)


def csv_text(heads: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    """A line of heads, then the rows; nothing at all without heads. None is an empty cell."""
    return csv_lines((heads, *rows)) if heads else ""


def csv_lines(rows: Iterable[Sequence[Any]]) -> str:
    """Rows by themselves, to be added to those that are there. None is an empty cell."""
    into = io.StringIO()
    csv.writer(into).writerows([cell(value) for value in row] for row in rows)
    return into.getvalue()


def tabbed(heads: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    """The same with tabs between, to be pasted into a sheet of cells; nothing is quoted.

    >>> tabbed(("region", "eye"), [("skin\\ttones", 4.0), ("ring", None)])
    'region\\teye\\nskin tones\\t4.0\\nring\\t\\n'
    """
    told = (["" if value is None else str(cell(value)) for value in row] for row in (heads, *rows))
    return "".join("\t".join(row) + "\n" for row in told)


def cell(value: Any) -> Any:
    """A value as a cell: text on one line, made visible, and never taken for a formula; numbers stay.

    >>> cell("Rag\\n293"), cell(-0.3), cell("-0.3")
    ('Rag 293', -0.3, '-0.3')
    >>> cell("=1+1"), cell("-2+3+cmd|' /C calc'!A0"), cell("\\t=1")
    ("'=1+1", "'-2+3+cmd|' /C calc'!A0", "'=1")
    """
    if not isinstance(value, str):
        return value
    shown = visible(" ".join(value.split()))
    return f"'{shown}" if shown.startswith(_FORMULA) and not _NUMBER.fullmatch(shown) else shown
