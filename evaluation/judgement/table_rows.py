"""The rows of the tables: an anchor, a use, a limit, a cause with its clues."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.published.passport import Mark
from evaluation.session import Use

BEST: Final = 5.0  # of the five grades of ITU-R BT.500: imperceptible
WORST: Final = 1.0  # very annoying
_GRADES: Final = (5.0, 4.0, 3.0, 2.0, 1.0)


@dataclass(frozen=True, slots=True)
class Anchor:
    """From a metric to a grade: its values at 5, 4, 3, 2, 1. No regions: a metric of the whole sheet.

    key        may be graded, except in the kinds of region of `pair_only`, where it serves its question only
    faults     trade names of faults that the metric can see
    at         its values at the grades 5, 4, 3, 2, 1, in its unit
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
    """What a use needs of a print: the weight of each kind of region, and the kinds it cannot do without.

    where_shown  kinds that count on sheets that show them; a sheet without them lacks nothing
    """

    use: Use
    weights: Mapping[str, float]
    key: tuple[str, ...]
    where_shown: tuple[str, ...] = ()

    def on(self, kinds: Collection[str]) -> Mapping[str, float]:
        """The weights on a sheet that shows these kinds of region."""
        return {
            kind: weight
            for kind, weight in self.weights.items()
            if kind in kinds or kind not in self.where_shown
        }


@dataclass(frozen=True, slots=True)
class Threshold:
    """One limit: its value and unit, how sure the value is (`Mark`), and what it is a limit of."""

    name: str
    value: float
    unit: str
    mark: Mark
    note: str


@dataclass(frozen=True, slots=True)
class Calibration:
    """What the user's settings state of one observer: see `calibrations`."""

    name: str
    observer: str
    made: str
    lean: float
    error: float
    regions: int
    sessions: tuple[str, ...]
    spread: float | None = None


class LimitsByName(Protocol):
    """Limits by name, as `Tables` gives them."""

    def __getitem__(self, name: str, /) -> float | str: ...


@dataclass(frozen=True, slots=True)
class Clue:
    """One piece of evidence: the name of its predicate, its weight, its words.

    say            limits stand in it as {name:g}, so that it gives those in force

    only_supports  a circumstance, as an open readiness item: it never names a cause by itself
    measured       a test against what sheets, profile and readings differ by in any case: it may name a cause
                   where nothing is graded low
    """

    name: str
    weight: float
    say: str
    only_supports: bool = False
    measured: bool = False

    def sentence(self, limits: LimitsByName) -> str:
        """Its words with the limits in force. Raises KeyError where it names one that does not exist."""
        return self.say.format_map(limits)


@dataclass(frozen=True, slots=True)
class CauseRow:
    """One suspicion as the table has it; `factor` scales its weight by the user's setting.

    family    what explains the departure where it is true: "colour", "stripes" or "single" patches; "" for
              those that are of the eye, the light, or the age of a print
    own_test  it rests on a measured test of its own, and is named whatever else explains the print
    """

    id: str
    text: str
    first_check: str
    cost: str
    evidence_for: tuple[Clue, ...]
    evidence_against: tuple[Clue, ...]
    factor: float = 1.0
    family: str = ""
    own_test: bool = False
