"""What every viewing said of a region, in words: grades by observer, the lowest answer, nothing at all.

Observers stand under their roles, since the words go into documents that may not name them.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from evaluation.judgement import eye
from evaluation.judgement.eye import Seen
from evaluation.judgement.rows import WORST
from evaluation.judgement.tables import Tables
from evaluation.plain_text import listed
from evaluation.session import Count, Pick, Place, Session, Value, YesNo
from evaluation.sheet.layout import SheetRegion

FINE: Final = 4.95  # shown as 5.0: from here on a grade has nothing to say
_EACH: Final = 3  # so many grades are told one by one, more as a range

AsGrade = Callable[[Value], float | None]


@dataclass(frozen=True, slots=True)
class Voices:
    """All that was said of a region.

    grades    of the whole region, those that count, each with the role of its observer
    aside     of the whole region, those that do not: led by readings, or on another scale
    lowest    the lowest answer to a question, as a grade, with what lists call the question; None: no answer
    faultless no viewing said anything but that all is well
    waiting   the newest viewing, where it has not graded the region but an earlier one has; else 0
    """

    grades: tuple[Seen, ...] = ()
    aside: tuple[Seen, ...] = ()
    lowest: tuple[float, str] | None = None
    faultless: bool = False
    waiting: int = 0


SILENT: Final = Voices()


def voices(session: Session, region: SheetRegion, as_grade: Mapping[str, AsGrade], tables: Tables) -> Voices:
    """What was said of a region; `as_grade` by question, where a metric's anchor makes the answer a grade."""

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


def heard(session: Session, region: SheetRegion, question_id: str, as_grade: AsGrade) -> str:
    """The answers to one question as grades, in words by observer; "" without any."""
    given = eye.seen(session, region.id, question_id, as_grade)
    return grades([Seen(session.role(one.observer), one.grade, one.viewing) for one in given])


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


def told(said: Voices) -> str:
    """What the eye said, without a full stop: "No fault seen in 2 viewings", "Graded 5 and 4 in 2 viewings".

    Empty where nobody graded the region, and where there is no more to it than the one grade shown beside it.
    """
    if not said.grades:
        return ""
    if said.faultless:
        return f"No fault seen{_looked(said.grades)}"
    words = f"Graded {grades(said.grades)}"
    lower = said.lowest is not None and said.lowest[0] < min(one.grade for one in said.grades) - 0.05
    if len(said.grades) == 1 and not said.aside and not lower:
        return ""
    if said.aside:
        where = "a viewing that does" if len(said.aside) == 1 else "viewings that do"
        words += f", and {_values(said.aside)} in {where} not count"
    if said.lowest is not None and lower:
        words += f"; the lowest answer is {number(said.lowest[0])} (“{said.lowest[1]}”)"
    return words


def grades(said: Sequence[Seen]) -> str:
    """Grades of several viewings, apart where observers or viewings differ.

    >>> grades((Seen("observer 1", 4.0),)), grades((Seen("observer 1", 5.0, 1), Seen("observer 1", 4.0, 2)))
    ('4', '5 and 4 in 2 viewings')
    >>> grades((Seen("observer 1", 4.0, 1), Seen("observer 2", 3.0, 2)))
    '4 by observer 1 and 3 by observer 2'
    """
    by_observer: dict[str, list[Seen]] = {}
    for one in said:
        by_observer.setdefault(one.observer, []).append(one)
    if len(by_observer) == 1 or len({one.grade for one in said}) == 1:
        return f"{_values(said)}{_looked(said)}"
    if len(by_observer) > _EACH:
        return f"{_range(said)} by {len(by_observer)} observers"
    return listed([f"{_values(own)} by {observer}" for observer, own in by_observer.items()])


def _looked(said: Sequence[Seen]) -> str:
    """ " in 2 viewings", " by 2 observers"; nothing for one viewing."""
    observers = len({one.observer for one in said})
    if observers > 1:
        return f" by {observers} observers"
    return f" in {len(said)} viewings" if len(said) > 1 else ""


def _values(said: Sequence[Seen]) -> str:
    values = [number(one.grade) for one in said]
    if len(set(values)) == 1:
        return values[0]
    return listed(values) if len(values) <= _EACH else _range(said)


def _range(said: Sequence[Seen]) -> str:
    return f"{number(min(one.grade for one in said))} to {number(max(one.grade for one in said))}"


def number(grade: float) -> str:
    """A grade as short as it is: 4, 4.6."""
    return f"{grade:.1f}".removesuffix(".0")
