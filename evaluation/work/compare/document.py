"""A comparison for other programs: the document of `drydown compare --json`, rows for CSV, a picture."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from evaluation.appendix.drawing import figures
from evaluation.csv_text import csv_text
from evaluation.documents import comparison as shape
from evaluation.errors import UsageProblem
from evaluation.judgement import standing
from evaluation.judgement.matrix import Matrix, PrintColumn, Value
from evaluation.judgement.two_prints import Difference
from evaluation.plain_text import capital, visible
from evaluation.telling import comparison
from evaluation.telling.figure import Figure
from evaluation.telling.paper_and_black import PaperAndBlack
from evaluation.work.compare.curves import Laying
from evaluation.work.onto_disk import NO_PICTURE

_HEADS: Final = (
    "region", "session", "paper", "grade", "eye", "instrument", "agreement", "base", "difference",
    "exceeds_repeatability", "word", "reason",
)  # fmt: skip


def document(matrix: Matrix, use: str, facts: Mapping[int, PaperAndBlack]) -> shape.Comparison:
    """The comparison as plain JSON values, rounded."""
    found = standing.groups(matrix, use)
    others = [column.session for column in matrix.columns if column.session != matrix.base]
    return {
        "sessions": [column.session for column in matrix.columns],
        "base": matrix.base,
        "use": use,
        "prints": [_print(column, use, facts.get(column.session)) for column in matrix.columns],
        "regions": [
            {
                "id": row.id,
                "title": row.title,
                "values": {
                    str(column.session): _value(column.values.get(row.id)) for column in matrix.columns
                },
                "differences": [
                    _difference(one)
                    for other in others
                    if (one := matrix.difference(row.id, matrix.base, other)) is not None
                ],
            }
            for row in matrix.rows
        ],
        "groups": [list(group) for group in found or ()],
        "review": comparison.review(matrix, use),
        "would_separate": list(comparison.separators(matrix, use)),
        "caveats": list(matrix.caveats),
    }


def as_csv(matrix: Matrix) -> str:
    """One line for each region of each session, under a line of heads."""
    return csv_text(
        _HEADS, (_line(matrix, row.id, column) for row in matrix.rows for column in matrix.columns)
    )


def _line(matrix: Matrix, region: str, column: PrintColumn) -> tuple[Any, ...]:
    value = _value(column.values.get(region))
    one = matrix.difference(region, matrix.base, column.session)
    told: Mapping[str, Any] = _difference(one) if one is not None else {}
    return (
        region,
        column.session,
        column.condition.paper,
        value["combined"],
        value["eye"],
        value["instrument"],
        value["agreement"],
        matrix.base,
        told.get("difference"),
        told.get("exceeds_repeatability"),
        "base" if column.session == matrix.base else told.get("word"),
        told.get("reason"),
    )


def picture(curve: Figure, names: Mapping[int, str], region: str) -> str:
    """The curves of one region laid over each other, as SVG text. `names` by session, for the legend."""
    called = {f"session {session}": visible(name) for session, name in names.items()}
    names_of = [f"{line.label}  {called[line.name]}" for line in curve.lines]
    lines = tuple(
        replace(line, name=name, label=name) for line, name in zip(curve.lines, names_of, strict=True)
    )
    title, y = f"{region}: {curve.title}", f"{capital(curve.title)}, {curve.y}"
    return figures.svg(replace(curve, title=title, y=y, lines=lines, size="L"))


def chosen(laying: Laying, name: str | None) -> Figure:
    """The curve of that name, or the one that explains the region. Raises UsageProblem."""
    by_name = {curve.id: curve for curve in laying.curves}
    if not by_name:
        raise UsageProblem(
            NO_PICTURE,
            expected="readings that may be shown",
            found=f"none in the region “{laying.region}” ({'; '.join(laying.left)})",
        )
    if name is None:
        return laying.curves[0]
    if name not in by_name:
        raise UsageProblem(NO_PICTURE, expected=f"a curve: {', '.join(by_name)}", found=visible(name))
    return by_name[name]


def _print(column: PrintColumn, use: str, facts: PaperAndBlack | None) -> shape.Print:
    condition = column.condition
    glow = None if facts is None else facts.whitener
    return {
        "id": column.session,
        "paper": condition.paper,
        "printer": condition.printer,
        "quality": condition.quality,
        "mode": condition.driver_mode,
        "verdict": column.verdicts.get(use),
        "dmax": None if facts is None else _rounded(facts.dmax),
        "range": None if facts is None else _rounded(facts.range),
        "whitener": None if glow is None else _rounded(glow.db),
        "whitener_less": None if glow is None else glow.less,
        "skins": _rounded(column.skins),
        "skins_spread": _rounded(column.skins_spread),
    }


def _value(value: Value | None) -> shape.Value:
    if value is None:
        return {"combined": None, "eye": None, "instrument": None, "agreement": "none"}
    return {
        "combined": _rounded(value.combined),
        "eye": _rounded(value.eye),
        "instrument": _rounded(value.instrument),
        "agreement": value.agreement,
    }


def _difference(one: Difference) -> shape.Difference:
    return {
        "a": one.a,
        "b": one.b,
        "difference": _rounded(one.difference),
        "exceeds_repeatability": one.exceeds_repeatability,
        "word": one.word,
        "reason": one.reason,
        "graded": [_rounded(grade) for grade in one.graded],
        "viewings": list(one.viewings),
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 2) + 0.0


def names(matrix: Matrix) -> Mapping[int, str]:
    """Every session by the name of its print."""
    return {
        column.session: f"{comparison.name(matrix, column)} ({column.session})" for column in matrix.columns
    }


def letters(sessions: Sequence[int], base: int) -> list[int]:
    """Sessions in the order of their letters: the base first."""
    return [base, *(one for one in sessions if one != base)]
