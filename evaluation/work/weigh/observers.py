"""Several observers of one print: what each graded, how alike, and all of them as one grade a region."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evaluation.archive import sessions
from evaluation.errors import UsageProblem
from evaluation.judgement import eye
from evaluation.judgement.observers import agreement
from evaluation.judgement.observers.agreement import Array, Coefficient, Leans, Shares
from evaluation.judgement.observers.pooled import Pooled, pooled
from evaluation.session import Session, Viewing
from evaluation.sheet.layout import Sheet
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of

Item = tuple[str, str]  # region, question


@dataclass(frozen=True, slots=True)
class GradedBy:
    """A region: the whole-region grade of each observer, in order, None where there is none."""

    region: str
    title: str
    grades: tuple[float | None, ...]
    pooled: Pooled
    shares: Shares | None  # over all its questions


@dataclass(frozen=True, slots=True)
class Observers:
    """Who graded a print, by role, and how their grades lie to each other.

    unlike   of each observer, the spread of the distance from the others
    apart    those whose answers are unlike the others'
    partial  titles of regions that not all observers graded
    waiting  titles of regions that the newest viewing has yet to grade: nobody's grade of them is shown
    """

    session: int
    roles: tuple[str, ...]
    regions: tuple[GradedBy, ...]
    shares: Shares | None
    leans: Leans | None
    unlike: tuple[float | None, ...]
    apart: tuple[str, ...]
    coefficient: Coefficient
    partial: tuple[str, ...]
    waiting: tuple[str, ...]


def observers(bench: Bench, session_id: int) -> Observers:
    """From the last viewing of each observer, grades given after a reveal left out.

    Raises UsageProblem where fewer than two people graded.
    """
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    last = {session.role(one.observer): one for one in session.viewings if one.answers}
    if len(last) < 2:
        raise UsageProblem(
            "Nobody was compared.",
            expected=f"two or more observers of session {session_id}",
            found=str(len(last)),
            remedy="Begin a viewing under another name, in Look or with `drydown grade`.",
        )
    seen = gate.open_regions(session, sheet)
    items = [(region.id, one.id) for region in sheet.regions if region.id in seen for one in region.questions]
    table = np.array([[_grade(viewing, item) for item in items] for viewing in last.values()], float)
    whole = [(region.id, region.whole.id) for region in sheet.regions if region.whole and region.id in seen]
    overall = np.array([[_grade(viewing, item) for item in whole] for viewing in last.values()], float)
    return Observers(
        session_id,
        tuple(last),
        _regions(sheet, whole, overall, items, table),
        agreement.shares(table),
        agreement.leans(overall),
        agreement.unlike(table),
        tuple(list(last)[place] for place in agreement.standing_out(table)),
        agreement.coefficient(table, [region for region, _ in items]),
        tuple(
            sheet.region(region).title
            for (region, _), column in zip(whole, overall.T, strict=True)
            if np.isnan(column).any() and not np.isnan(column).all()
        ),
        tuple(
            region.title for region in sheet.regions if region.id not in seen and _graded(session, region.id)
        ),
    )


def _regions(
    sheet: Sheet,
    whole: Sequence[tuple[str, str]],
    overall: Array,
    items: Sequence[tuple[str, str]],
    table: Array,
) -> tuple[GradedBy, ...]:
    found = []
    for (region, _), column in zip(whole, overall.T, strict=True):
        given = [float(one) for one in column if not np.isnan(one)]
        if given:
            own = table[:, [place for place, item in enumerate(items) if item[0] == region]]
            grades = tuple(None if np.isnan(one) else float(one) for one in column)
            title = sheet.region(region).title
            found.append(GradedBy(region, title, grades, pooled(given), agreement.shares(own)))
    return tuple(found)


def _grade(viewing: Viewing, item: Item) -> float:
    """The grade of one question; NaN for none, for another kind of answer, and for one after a reveal."""
    given = viewing.answers.get(item)
    grade = None if given is None or given.after_reveal else eye.plain_grade(given.value)
    return float("nan") if grade is None else grade


def _graded(session: Session, region: str) -> bool:
    return any(region == key[0] for viewing in session.viewings for key in viewing.answers)
