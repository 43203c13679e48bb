"""The rows of the tables: an anchor, a use, a threshold, a cause with its clues."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.published.passport import Mark
from evaluation.session import Use

_GRADES: Final = (5.0, 4.0, 3.0, 2.0, 1.0)


@dataclass(frozen=True, slots=True)
class Anchor:
    """From a metric to a grade: its values at 5, 4, 3, 2, 1. No regions: a metric of the whole sheet.

    key        may be graded, except in the kinds of region of `pair_only`, where it serves its question only
    faults     trade names of faults that the metric can see
    """

    metric: str
    attribute: str
    unit: str
    regions: tuple[str, ...]
    key: bool
    pair_only: tuple[str, ...]
    larger_is_better: bool
    faults: tuple[str, ...]
    at: tuple[float, ...]
    source: str

    def grade(self, values: ArrayLike) -> NDArray[np.float64]:
        """Grades 5..1 of values (...), linear between the anchors, clipped at both ends."""
        sign = -1.0 if self.larger_is_better else 1.0
        at = [sign * value for value in self.at]
        return np.interp(sign * np.asarray(values, np.float64), at, _GRADES)


@dataclass(frozen=True, slots=True)
class Weights:
    """What a use asks of a print: the weight of each kind of region, and the kinds it cannot do without."""

    use: Use
    weights: Mapping[str, float]
    key: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Threshold:
    name: str
    value: float
    unit: str
    mark: Mark
    note: str


@dataclass(frozen=True, slots=True)
class Clue:
    """One piece of evidence: the name of its predicate, its weight, its sentence.

    only_supports  a circumstance, as an open readiness item: it never names a cause by itself
    measured       a test against what sheets, profile and reading differ by anyhow: it may name a cause where
                   nothing is graded low
    """

    name: str
    weight: float
    say: str
    only_supports: bool = False
    measured: bool = False


@dataclass(frozen=True, slots=True)
class CauseRow:
    """One suspicion as the table has it; `factor` scales its weight by the user's setting."""

    id: str
    text: str
    first_check: str
    cost: str
    evidence_for: tuple[Clue, ...]
    evidence_against: tuple[Clue, ...]
    factor: float = 1.0
