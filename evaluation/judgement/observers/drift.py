"""Whether an eye stays steady: the grades it gives its own reference prints, against those of its first look.

Drift is shown and charted, never subtracted from anything: its own error is as large.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean
from typing import Final

from evaluation.judgement.several import NORMAL, limit

Item = tuple[int, str]  # session, region


@dataclass(frozen=True, slots=True)
class Drift:
    """How far the grades of one day lie above those of the first look at the same prints; in grades.

    by      mean over the regions graded both times
    error   its standard error
    regions how many they are
    """

    by: float
    error: float
    regions: int

    @property
    def beyond(self) -> bool:
        """Whether it is more than its error allows, 95 %."""
        return abs(self.by) > NORMAL * self.error


def drift(first: Mapping[Item, float], now: Mapping[Item, float]) -> Drift | None:
    """Of the regions that both have; None where they are fewer than `drift_from`.

    The spread of the differences is pooled with what two single grades of one eye differ by (`observer_once`,
    worth `observer_prior` degrees of freedom), and never below what rounding to whole grades leaves.
    """
    apart = [now[item] - grade for item, grade in first.items() if item in now]
    n, prior = len(apart), limit("observer_prior")
    if n < limit("drift_from"):
        return None
    by = fmean(apart)
    squares = sum((one - by) ** 2 for one in apart)
    variance = (prior * 2 * limit("observer_once") ** 2 + squares) / (prior + n - 1)
    return Drift(by, sqrt(max(variance, 2 * limit("grade_floor") ** 2) / n), n)


FIRST: Final = Drift(0.0, 0.0, 0)  # of the first look, which the others are held against


def course(days: Sequence[Mapping[Item, float]]) -> tuple[Drift | None, ...]:
    """Of each day in turn, against the first look at each print; `FIRST` for a day of first looks alone."""
    first: dict[Item, float] = {}
    found: list[Drift | None] = []
    for now in days:
        known = drift(first, now)
        seen_before = any(item in first for item in now)
        found.append(known if seen_before else FIRST)
        for item, grade in now.items():
            first.setdefault(item, grade)
    return tuple(found)
