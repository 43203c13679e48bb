"""Numbers as text, rounded once: digits by their spread, signs, and the text where there is none.

Cells and files carry a plain hyphen before what is negative, so that a number can be copied; a page is set
with the typographer's minus.
"""

import math
from typing import Final

from evaluation.judgement.opinion import Opinion

NOTHING: Final = "–"  # an empty cell of a page, beside a word that says why
GRADE_DIGITS: Final = 1  # of a grade: its spread is seldom below 0.3
LAB_DIGITS: Final = 1
DENSITY_DIGITS: Final = 2
FLATNESS_DIGITS: Final = 3


def plain(value: float, digits: int) -> str:
    """A number of a cell; a rounded zero has no sign, and what is no number is a dash.

    >>> plain(-0.04, 1), plain(float("nan"), 1)
    ('0.0', '-')
    """
    return f"{round(value, digits) + 0.0:.{digits}f}" if math.isfinite(value) else "-"


def signed(value: float, digits: int) -> str:
    """With its sign; nothing is read as +0.0, never as -0.0.

    >>> signed(1.26, 1), signed(-0.04, 1)
    ('+1.3', '+0.0')
    """
    return f"{round(value, digits) + 0.0:+.{digits}f}" if math.isfinite(value) else "-"


def number(value: float, decimals: int) -> str:
    """A number with a typographer's minus sign; a rounded zero has no sign.

    >>> number(-0.31, 1), number(-0.01, 1)
    ('−0.3', '0.0')
    """
    text = f"{value:.{decimals}f}"
    if not text.strip("-0."):
        text = text.lstrip("-")
    return minus(text)


def minus(figure: str) -> str:
    """A figure with a typographer's minus sign; a dash where there is none.

    >>> minus("-0.3"), minus("-")
    ('−0.3', '–')
    """
    return NOTHING if figure == "-" else figure.replace("-", "−")


def measured(value: float, spread: float | None = None) -> str:
    """A measured value to the digits its spread allows (two of the spread), else to three figures.

    A spread below 0.0005 is that of a number without noise of its own, and is not shown.

    >>> measured(1.4376, 0.126), measured(1.4376), measured(96.42)
    ('1.44 ± 0.13', '1.44', '96.4')
    """
    if not math.isfinite(value):
        return NOTHING
    if spread is not None and math.isfinite(spread) and spread >= 0.0005:
        places = decimals(spread, 3)
        return f"{number(value, places)} ± {number(spread, places)}"
    size = math.floor(math.log10(abs(value))) if value else 0
    return number(value, min(4, max(0, 1 - size if size < 0 else 2 - size)))


def decimals(spread: float | None, most: int) -> int:
    """So many decimals of a number as its spread allows: two significant digits of that, `most` at the most.

    >>> decimals(0.126, 2), decimals(1.4, 2), decimals(14.0, 2), decimals(None, 2)
    (2, 1, 0, 2)
    """
    if spread is None or not math.isfinite(spread) or spread <= 0:
        return most
    return min(most, max(0, 1 - math.floor(math.log10(spread))))


class Rounded(float):
    """A number whose formats show no more decimals than its spread allows.

    >>> f"{Rounded(12.34, 1.4):.2f}", f"{Rounded(0.5):.2f}"
    ('12.3', '0.50')
    """

    _spread: float | None

    def __new__(cls, value: float, spread: float | None = None) -> "Rounded":
        made = super().__new__(cls, value)
        made._spread = spread
        return made

    def __format__(self, spec: str) -> str:
        width, dot, rest = spec.partition(".")
        if not dot or not rest.endswith("f"):
            return super().__format__(spec)
        return super().__format__(f"{width}.{decimals(self._spread, int(rest[:-1]))}f")


def grade(value: float) -> str:
    """A grade, as every face shows it."""
    return number(value, GRADE_DIGITS)


def opinion(said: Opinion | None) -> str:
    """A grade with one standard error, or a dash.

    >>> opinion(Opinion(3.94, 0.52, 1, ""))
    '3.9 ± 0.5'
    """
    return NOTHING if said is None else f"{grade(said.grade)} ± {number(said.spread, 1)}"
