"""Several observers of one print: what each graded, how alike, and all of them as one grade a region."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.archive import sessions
from evaluation.errors import UsageProblem
from evaluation.judgement import eye
from evaluation.judgement.observers import agreement
from evaluation.judgement.observers.agreement import Array, Coefficient, LeanFromMean, Leans, Shares
from evaluation.judgement.observers.in_common import InCommon, in_common
from evaluation.judgement.observers.pooled import Pooled, pooled
from evaluation.metrics.evidence import Mask
from evaluation.session import Session, Viewing
from evaluation.sheet.layout import Sheet
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.weigh.people import Person, person

FEWEST: Final = 2
Item = tuple[str, str]  # region, question


@dataclass(frozen=True, slots=True)
class GradedBy:
    """A region: the whole-region grade of each observer, in order, None where there is none.

    pooled   of the viewings that count; None where none of them graded it
    all_in   of all, where one is set aside
    shares   over all its questions
    """

    region: str
    title: str
    grades: tuple[float | None, ...]
    pooled: Pooled | None
    all_in: Pooled | None
    shares: Shares | None


@dataclass(frozen=True, slots=True)
class Observers:
    """Who graded a print, by role, and how their grades lie to each other.

    people   the same, as the archive knows them
    aside    whether the viewing of each is set aside: it has a column and no part in anything else
    unlike   of each observer, the spread of the distance from the others; None for one set aside
    apart    those whose answers are unlike the others'
    partial  titles of regions that not all observers graded
    others   prints of the same sheet that not the same people looked at
    waiting  titles of regions that the newest viewing has yet to grade: nobody's grade of them is shown
    """

    session: int
    roles: tuple[str, ...]
    people: tuple[Person, ...]
    aside: tuple[bool, ...]
    regions: tuple[GradedBy, ...]
    shares: Shares | None
    leans: Leans | None
    unlike: tuple[float | None, ...]
    apart: tuple[str, ...]
    coefficient: Coefficient
    partial: tuple[str, ...]
    others: InCommon
    waiting: tuple[str, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """As they were entered."""
        return tuple(one.name for one in self.people)

    @property
    def counting(self) -> tuple[str, ...]:
        """Roles of those whose viewings count."""
        return tuple(role for role, aside in zip(self.roles, self.aside, strict=True) if not aside)

    @property
    def lean_of(self) -> tuple[LeanFromMean | None, ...]:
        """The lean of each observer; None if it is not known."""
        known = {} if self.leans is None else dict(zip(self.counting, self.leans.of, strict=True))
        return tuple(known.get(role) for role in self.roles)


def observers(bench: Bench, session_id: int) -> Observers:
    """From the last viewing of each observer that counts, grades given after a reveal left out.

    Raises UsageProblem where fewer than two people graded.
    """
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    last = _last(session)
    if len(last) < FEWEST:
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
    aside = np.array([bool(viewing.aside) for viewing in last.values()])
    counting = [role for role, viewing in last.items() if not viewing.aside]
    unlike = dict(zip(counting, agreement.unlike(table[~aside]), strict=True))
    return Observers(
        session=session_id,
        roles=tuple(last),
        people=tuple(person(bench, viewing.observer) for viewing in last.values()),
        aside=tuple(aside.tolist()),
        regions=_regions(sheet, whole, overall, items, table, aside),
        shares=agreement.shares(table[~aside]),
        leans=agreement.leans(overall[~aside]),
        unlike=tuple(unlike.get(role) for role in last),
        apart=tuple(counting[place] for place in agreement.standing_out(table[~aside])),
        coefficient=agreement.coefficient(table[~aside], [region for region, _ in items]),
        partial=tuple(
            sheet.region(region).title
            for (region, _), column in zip(whole, overall[~aside].T, strict=True)
            if np.isnan(column).any() and not np.isnan(column).all()
        ),
        others=_others(bench, session),
        waiting=tuple(
            region.title for region in sheet.regions if region.id not in seen and _graded(session, region.id)
        ),
    )


def _others(bench: Bench, session: Session) -> InCommon:
    """Every listed print of the same sheet that somebody looked at, held against this one."""
    people = frozenset(one.observer for one in session.heard if one.answers)
    looked = sessions.observers_by_print(bench.archive, session.sheet_digest)
    return in_common(session.id, {**looked, session.id: people})


def several(session: Session) -> int:
    """How many people graded a print."""
    return len(_last(session))


def _last(session: Session) -> dict[str, Viewing]:
    """The last viewing of each observer by role, one that counts before one that is set aside."""
    graded = [one for one in session.viewings if one.answers]
    ordered = sorted(graded, key=lambda one: (not one.aside, one.ordinal))
    found = {session.role(one.observer): one for one in ordered}
    return {role: found[role] for role in sorted(found, key=lambda role: int(role.split()[-1]))}


def _regions(
    sheet: Sheet,
    whole: Sequence[tuple[str, str]],
    overall: Array,
    items: Sequence[tuple[str, str]],
    table: Array,
    aside: Mask,
) -> tuple[GradedBy, ...]:
    found = []
    for (region, _), column in zip(whole, overall.T, strict=True):
        if np.isnan(column).all():
            continue
        counts = column[~aside & ~np.isnan(column)].tolist()
        own = table[:, [place for place, item in enumerate(items) if item[0] == region]]
        found.append(
            GradedBy(
                region,
                sheet.region(region).title,
                tuple(None if np.isnan(one) else float(one) for one in column),
                pooled(counts) if counts else None,
                pooled(column[~np.isnan(column)].tolist()) if aside.any() else None,
                agreement.shares(own[~aside]),
            )
        )
    return tuple(found)


def _grade(viewing: Viewing, item: Item) -> float:
    """The grade of one question; NaN for none, for another kind of answer, and for one after a reveal."""
    given = viewing.answers.get(item)
    grade = None if given is None or given.after_reveal else eye.plain_grade(given.value)
    return float("nan") if grade is None else grade


def _graded(session: Session, region: str) -> bool:
    return any(region == key[0] for viewing in session.viewings for key in viewing.answers)
