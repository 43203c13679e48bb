"""The eye's side of a comparison: two prints graded each by itself, and how far such grades vary by chance.

Two equal prints, viewed once each, get grades one apart in more than half of all cases (drawn: same
eye, noise 0.5, drift from day to day 0.2), so a grade apart is no difference by itself.
"""

from dataclasses import dataclass

import numpy as np

from evaluation.judgement import eye
from evaluation.judgement.opinion import Finding
from evaluation.judgement.tables import Tables


@dataclass(frozen=True, slots=True)
class GradeChange:
    """How two prints stand by their grades.

    change  grade of the second minus that of the first; 0.0 for equal ones
    beyond  whether that is more than viewings vary by
    graded, viewings  both grades, and how many viewings are behind each
    """

    change: float
    beyond: bool
    graded: tuple[float, float]
    viewings: tuple[int, int]


def standing(first: Finding, second: Finding, same_observers: bool, tables: Tables) -> GradeChange | None:
    """Two prints by the eye's grades of a region; None where one of them has none."""
    if first.eye is None or second.eye is None:
        return None
    change = second.eye.grade - first.eye.grade
    change = 0.0 if abs(change) < tables["grades_alike"] else change
    counts = max(first.viewings, 1), max(second.viewings, 1)
    return GradeChange(
        change,
        abs(change) > limit(*counts, same_observers, tables),
        (first.eye.grade, second.eye.grade),
        counts,
    )


def limit(first: int, second: int, same_observers: bool, tables: Tables) -> float:
    """What the mean grades of two equal prints may differ by, in grades, after so many viewings of each.

    s^2 = max(s_1^2 / n, floor^2) of each + 2 drift^2, and + 2 offset^2 for different observers; s_1 is the
    spread of one viewing with that of rounding to whole grades. Their sizes are the project's own choice.
    """
    spread = sum(max(eye.once(tables) / count, tables["eye_floor"] ** 2) for count in (first, second))
    spread += 2 * tables["eye_drift"] ** 2
    if not same_observers:
        spread += 2 * tables["eye_offset"] ** 2
    return tables["grades_sure"] * float(np.sqrt(spread))
