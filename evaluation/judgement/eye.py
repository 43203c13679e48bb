"""The eye's grade: answers of one or several viewings as a grade with its spread."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import Final

from evaluation.judgement.opinion import Opinion
from evaluation.judgement.tables import Tables
from evaluation.session import Answer, Cast, Grade, Session, Value, Viewing
from evaluation.sheet.layout import Sheet, SheetRegion

_ROUNDING: Final = 1 / 12  # variance of rounding to whole grades

# A cast as a grade, by its strength: names of limits. One named without a strength counts as just seen.
_BY_STRENGTH: Final = {"just": "cast_grade_just", "clear": "cast_grade_clear", "strong": "cast_grade_strong"}


@dataclass(frozen=True, slots=True)
class Seen:
    """One grade by one observer, by role, in one viewing, named by its ordinal."""

    observer: str
    grade: float
    viewing: int = 1


def answers(session: Session, region_id: str, question_id: str) -> tuple[tuple[Viewing, Answer], ...]:
    """The answers to one question that may stand together, oldest first.

    Answers given after the readings had been shown count only where there are no others. Viewings beside a
    reference print and viewings without are different scales; those like the newest are taken.
    """
    given = [
        (viewing, viewing.answers[region_id, question_id])
        for viewing in session.viewings
        if (region_id, question_id) in viewing.answers
    ]
    unled = [pair for pair in given if not pair[1].after_reveal]
    given = unled or given
    if not given:
        return ()
    beside = given[-1][0].reference is not None
    return tuple(pair for pair in given if (pair[0].reference is not None) == beside)


def seen(
    session: Session, region_id: str, question_id: str, grade: Callable[[Value], float | None]
) -> tuple[Seen, ...]:
    """The answers to one question as grades by `grade`; those it cannot grade are left out."""
    graded = ((viewing, grade(answer.value)) for viewing, answer in answers(session, region_id, question_id))
    return tuple(
        Seen(session.role(viewing.observer), value, viewing.ordinal)
        for viewing, value in graded
        if value is not None
    )


def whole_region(
    session: Session, region: SheetRegion, tables: Tables, leans: Mapping[str, float] | None = None
) -> Opinion | None:
    """The eye's grade of a region by its whole-region question, over viewings and observers; None without."""
    if region.whole is None:
        return None
    return opinion(seen(session, region.id, region.whole.id, plain_grade), tables, leans)


def plain_grade(value: Value) -> float | None:
    """A grade as given, 5 to 1; None for any other answer."""
    return float(value.value) if isinstance(value, Grade) else None


def cast_grade(value: Value, tables: Tables) -> float | None:
    """A cast as a grade by its strength (`cast_grade_...`); the worst third, or group of skins, counts."""
    if not isinstance(value, Cast) or not value.parts:
        return None
    named = (
        "cast_grade_none" if word == "none" else _BY_STRENGTH[strength or "just"]
        for _, word, strength in value.parts
    )
    return min(tables[name] for name in named)


def opinion(
    grades: Sequence[Seen], tables: Tables, leans: Mapping[str, float] | None = None
) -> Opinion | None:
    """Mean and standard error of grades; None without any. What an observer leans by throughout is not in it.

    The spread of a few viewings is itself uncertain, so it is pooled with that of one viewing (`once`, worth
    `eye_prior_viewings`). Repeats of one observer are never surer than `eye_floor`, what rounding to whole
    grades leaves; several observers are, by their number.

    `leans`: what each observer lies above the others by; with them, how far observers differ beyond their
    leans counts as well.
    """
    if not grades:
        return None
    own: dict[str, list[float]] = {}
    for one in sorted(grades, key=lambda one: one.observer):
        own.setdefault(one.observer, []).append(one.grade)
    means = {who: fmean(given) for who, given in own.items()}
    squares = sum((grade - means[who]) ** 2 for who, given in own.items() for grade in given)
    freedom = len(grades) - len(own)
    if leans and len(own) > 1 and own.keys() <= leans.keys():
        level = [means[who] - leans[who] for who in own]
        squares += sum((one - fmean(level)) ** 2 for one in level)
        freedom += len(own) - 1
    prior = tables["eye_prior_viewings"]
    pooled = (prior * once(tables) + squares) / (prior + freedom)
    floor = tables["eye_floor"] ** 2
    variance = fmean(max(pooled / len(given), floor) for given in own.values()) / len(own)
    n = len(grades)
    if len(own) > 1:
        basis = f"{len(own)} observers"
    else:
        basis = "1 viewing" if n == 1 else f"{n} viewings of one observer"
    return Opinion(fmean(means.values()), variance**0.5, n, basis, tuple(own))


def once(tables: Tables) -> float:
    """Variance of one grade in one viewing: of the eye, and of rounding to whole grades."""
    return tables["eye_spread"] ** 2 + _ROUNDING


def leans(session: Session, sheet: Sheet, tables: Tables) -> dict[str, float]:
    """By role, what each observer lies above the mean of all who graded the same regions.

    Of fewer than `offset_regions` such regions, and of one observer alone, nothing.
    """
    off: dict[str, list[float]] = {}
    for region in sheet.regions:
        if region.whole is None:
            continue
        given: dict[str, list[float]] = {}
        for one in seen(session, region.id, region.whole.id, plain_grade):
            given.setdefault(one.observer, []).append(one.grade)
        if len(given) > 1:
            means = {who: fmean(each) for who, each in given.items()}
            for who, mean in means.items():
                off.setdefault(who, []).append(mean - fmean(means.values()))
    return {who: fmean(each) for who, each in off.items() if len(each) >= tables["offset_regions"]}
