"""The answers of every viewing to a region: grades by observer, the lowest answer.

Observers stand under their roles, since the words go into documents that may not name them.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from evaluation.judgement import eye
from evaluation.judgement.eye import Seen
from evaluation.judgement.table_rows import WORST
from evaluation.judgement.tables import Tables
from evaluation.session import Count, Pick, Place, Session, Value, YesNo
from evaluation.sheet.layout import SheetRegion

FINE: Final = 4.95  # shown as 5.0: from here on a grade finds no fault

AsGrade = Callable[[Value], float | None]


@dataclass(frozen=True, slots=True)
class Voices:
    """All answers to the questions on a region.

    grades    of the whole region, those that count, each with the role of its observer
    aside     of the whole region, those that do not: led by readings, or on another scale
    lowest    the lowest answer to a question, as a grade, with what lists call the question; None: no answer
    faultless every answer is that all is well
    waiting   the newest viewing, where it has not graded the region but an earlier one has; else 0
    """

    grades: tuple[Seen, ...] = ()
    aside: tuple[Seen, ...] = ()
    lowest: tuple[float, str] | None = None
    faultless: bool = False
    waiting: int = 0


SILENT: Final = Voices()


def voices(session: Session, region: SheetRegion, as_grade: Mapping[str, AsGrade], tables: Tables) -> Voices:
    """The answers to the questions on a region.

    `as_grade`: by question id, where a metric's anchor makes the answer a grade. Other answers are graded by
    `plainly`.
    """

    def plain(value: Value) -> float | None:
        return plainly(value, tables)

    whole = region.whole
    given: list[Seen] = []
    counting: tuple[Seen, ...] = ()
    lowest: tuple[float, str] | None = None
    waiting = 0
    for question in region.questions:
        grade = as_grade.get(question.id, plain)
        for viewing in session.viewings:
            answer = viewing.answers.get((region.id, question.id))
            value = None if answer is None else grade(answer.value)
            if value is None:
                continue
            if question.whole_region:
                given.append(Seen(session.role(viewing.observer), value, viewing.ordinal))
            elif lowest is None or value < lowest[0]:
                lowest = value, question.called
    if whole is not None:
        counted = {one.viewing for one in eye.seen(session, region.id, whole.id, eye.plain_grade)}
        counting = tuple(one for one in given if one.viewing in counted)
        newest = session.viewing
        if given and newest is not None and all(one.viewing != newest.ordinal for one in given):
            waiting = newest.ordinal
    faults = any(fault.region == region.id for viewing in session.viewings for fault in viewing.faults)
    well = all(one.grade >= FINE for one in given) and (lowest is None or lowest[0] >= FINE)
    aside = tuple(one for one in given if one not in counting)
    return Voices(counting, aside, lowest, bool(given) and well and not faults, waiting)


def heard(session: Session, region: SheetRegion, question_id: str, as_grade: AsGrade) -> tuple[Seen, ...]:
    """The answers to one question as grades, each with the role of its observer; () without any."""
    return eye.seen(session, region.id, question_id, as_grade)


def plainly(value: Value, tables: Tables) -> float | None:
    """An answer as a grade where no metric is paired with it; None where it is a fact and no fault.

    Places are graded by how many there are; the finest group counted and the patch picked are facts, but for
    none at all, which is the worst grade (project's own choice).
    """
    match value:
        case Place():
            return by_places(len(value.places), tables)
        case YesNo():
            return tables["yes_grade" if value.yes else "no_grade"]
        case Count():
            return WORST if value.number == 0 else None
        case Pick():
            return None if value.numbers else WORST
        case _:
            return eye.plain_grade(value) or eye.cast_grade(value, tables)


def by_places(count: int, tables: Tables) -> float:
    """The grade for a fault seen in so many places (`places_grade_...`)."""
    names = ("places_grade_none", "places_grade_one", "places_grade_few", "places_grade_few")
    return tables[names[count] if count < len(names) else "places_grade_many"]
