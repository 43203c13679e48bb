"""In which order prints stand, how they are grouped, and which rows are worth showing. Pure functions."""

from collections.abc import Sequence
from typing import Final, Literal, get_args

from evaluation.judgement.matrix import By, Matrix, PrintColumn, RegionRow
from evaluation.judgement.opinion import VERDICT_WORDS

Sort = Literal["asked", "row", "verdict"]
Group = Literal["", "paper", "printer", "quality", "mode", "age"]
SORTS: Final[tuple[Sort, ...]] = get_args(Sort)
GROUPS: Final[tuple[Group, ...]] = get_args(Group)
_FIELDS: Final = {"paper": "paper", "printer": "printer", "quality": "quality", "mode": "driver_mode"}
_DAY: Final = 24.0
_WEEK: Final = 7 * _DAY


def arranged(
    matrix: Matrix,
    *,
    sort: Sort = "asked",
    region: str = "",
    use: str = "general",
    by: By = "combined",
    group: Group = "",
) -> tuple[PrintColumn, ...]:
    """All prints but the base: by group, within it by grade in a region or by verdict, else as asked for.

    Prints without a grade, or without a verdict, come last.
    """
    others = [column for column in matrix.columns if column.session != matrix.base]
    if sort == "row":
        others.sort(key=lambda column: _descending(_grade(column, region, by)))
    elif sort == "verdict":
        others.sort(key=lambda column: _verdict_place(column, use))
    if group:
        labels = list(dict.fromkeys(label(column, group) for column in others))
        base = label(matrix.column(matrix.base), group)
        labels.sort(key=lambda each: each != base)  # the base's own group stands beside it
        others.sort(key=lambda column: labels.index(label(column, group)))
    return tuple(others)


def label(column: PrintColumn, group: Group) -> str:
    """The group a print belongs to, in words."""
    if group == "age":
        return _age(column.hours)
    field = _FIELDS.get(group)
    said = getattr(column.condition, field) if field else ""
    return str(said) or f"{group} not said"


def differing(matrix: Matrix) -> tuple[RegionRow, ...]:
    """The rows in which some print is not alike the base, or could not be compared with it."""
    others = [column.session for column in matrix.columns if column.session != matrix.base]

    def differs(row: RegionRow) -> bool:
        found = [matrix.difference(row.id, matrix.base, other) for other in others]
        return any(one is None or one.word != "alike" for one in found)

    return tuple(row for row in matrix.rows if differs(row))


def window(others: Sequence[PrintColumn], first: int, count: int) -> tuple[PrintColumn, ...]:
    """The prints in sight beside the base."""
    return tuple(others[first : first + count])


def _grade(column: PrintColumn, region: str, by: By) -> float | None:
    value = column.values.get(region)
    return None if value is None else value.grade(by)


def _descending(grade: float | None) -> tuple[bool, float]:
    return grade is None, -(grade or 0.0)


def _verdict_place(column: PrintColumn, use: str) -> int:
    words = [*VERDICT_WORDS, ""]
    return words.index(column.verdicts.get(use, ""))


def _age(hours: float | None) -> str:
    """How old a print was when it was looked at (project's own choice of classes)."""
    if hours is None:
        return "age not known"
    if hours < _DAY:
        return "under a day old"
    return "1 to 6 days old" if hours < _WEEK else "a week old or more"
