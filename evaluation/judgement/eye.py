"""The eye's grade: answers of one or several viewings as a grade with its spread."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import fmean, stdev
from typing import Final

from evaluation.judgement.opinion import Opinion
from evaluation.judgement.tables import Tables
from evaluation.session import Answer, Cast, Grade, Session, Value, Viewing
from evaluation.sheet.layout import SheetRegion

# A cast as a grade, by its strength: names of limits. One named without a strength counts as just seen.
_BY_STRENGTH: Final = {"just": "cast_grade_just", "clear": "cast_grade_clear", "strong": "cast_grade_strong"}


@dataclass(frozen=True, slots=True)
class Seen:
    """One grade by one observer in one viewing, named by its ordinal."""

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
        Seen(viewing.observer, value, viewing.ordinal) for viewing, value in graded if value is not None
    )


def whole_region(session: Session, region: SheetRegion, tables: Tables) -> Opinion | None:
    """The eye's grade of a region by its whole-region question, over viewings and observers; None without."""
    if region.whole is None:
        return None
    return opinion(seen(session, region.id, region.whole.id, plain_grade), tables)


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


def opinion(grades: Sequence[Seen], tables: Tables) -> Opinion | None:
    """Mean and standard error of grades; None without any.

    One observer: the spread of a few viewings is itself uncertain, so it is pooled with the default spread
    (`eye_spread`, worth `eye_prior_viewings`). Several: the standard error of their means. Never less than
    rounding to whole grades leaves (`eye_floor`).
    """
    if not grades:
        return None
    floor = tables["eye_floor"]
    observers = sorted({one.observer for one in grades})
    means = [fmean(one.grade for one in grades if one.observer == who) for who in observers]
    if len(observers) > 1:
        spread = stdev(means) / len(means) ** 0.5
        return Opinion(fmean(means), max(spread, floor), len(grades), f"{len(observers)} observers")
    n = len(grades)
    own = stdev(one.grade for one in grades) ** 2 if n > 1 else 0.0
    prior = tables["eye_prior_viewings"]
    variance = (prior * tables["eye_spread"] ** 2 + (n - 1) * own) / (prior + n - 1) / n
    basis = "1 viewing" if n == 1 else f"{n} viewings of one observer"
    return Opinion(means[0], max(variance**0.5, floor), n, basis)
