"""Several observers' grades of a region as one, with an interval that a few observers can bear out."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np

from evaluation.judgement.several import limit, student


@dataclass(frozen=True, slots=True)
class Pooled:
    """The unweighted mean of the observers' own means, its standard error, and 95 % for it; in grades."""

    grade: float
    error: float
    low: float
    high: float
    observers: int


def pooled(means: Sequence[float]) -> Pooled:
    """Of one region, a mean for each observer who graded it.

    The spread of two or three observers is itself a guess (two agree in 43 % of regions by chance), so it is
    pooled with `observer_once`, worth `observer_prior` degrees of freedom; Student's t goes by their sum.

    Raises ValueError without any grade.
    """
    if not len(means):
        raise ValueError("no grade to pool")
    m, prior = len(means), limit("observer_prior")
    squares = float(np.sum((np.asarray(means, float) - np.mean(means)) ** 2))
    variance = (prior * limit("observer_once") ** 2 + squares) / (prior + m - 1) / m
    error = sqrt(max(variance, limit("grade_floor") ** 2))
    grade, half = float(np.mean(means)), student(int(prior) + m - 1) * error
    return Pooled(grade, error, grade - half, grade + half, m)
