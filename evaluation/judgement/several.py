"""The limits of `tables/several.toml`: of prints beside each other, and of several observers of one print.

They are no part of a weighing, so that results kept under the tables in force stay what they are.
"""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Final

from evaluation.judgement.table_rows import Threshold
from evaluation.published.passport import load_toml

# Student's t, 97.5 %, for 4 to 18 degrees of freedom; standard tables, checked by integration in the tests.
_T: Final = (
    *(
        2.776,
        2.571,
        2.447,
        2.365,
        2.306,
        2.262,
        2.228,
        2.201,
        2.179,
        2.160,
        2.145,
        2.131,
        2.120,
        2.110,
        2.101,
    ),
)
_T_FROM: Final = 4
NORMAL: Final = 1.959964  # the same without limit of degrees of freedom


@cache
def limits() -> Mapping[str, Threshold]:
    """Every limit by its name, as shipped. Raises FileProblem where the table is damaged."""
    _, rows = load_toml("evaluation.judgement", "tables/several.toml")
    return MappingProxyType(
        {
            name: Threshold(name, float(row["value"]), row["unit"], row["mark"], row["note"])
            for name, row in rows.items()
        }
    )


def limit(name: str) -> float:
    """The value of a limit. Raises KeyError."""
    return limits()[name].value


def student(freedom: int) -> float:
    """Student's t that 95 % lie within, two-sided, for `freedom` >= 4 degrees; the normal value beyond 18."""
    place = freedom - _T_FROM
    return _T[place] if place < len(_T) else NORMAL
