"""Facts worked out, with their errors. Pure functions over typed values; standard library only."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import Final

from evaluation.facts.kinds import Values

STEP_ERROR: Final = math.sqrt(2 / 12)  # of a difference of two readings of a counter, in its steps
RANGE_FROM: Final = 0.10  # of its value, from which an error is given as a range (project's own choice)
ENOUGH: Final = 3  # prints, of whose times the median is taken (project's own choice)


@dataclass(frozen=True, slots=True)
class Amount:
    """A value with one standard error, both in `unit`; an error of None is not known."""

    value: float
    error: float | None
    unit: str

    @property
    def as_range(self) -> bool:
        """Whether the value is too unsure to stand alone."""
        return self.error is not None and self.error > RANGE_FROM * abs(self.value)


def ink(values: Values) -> Amount:
    """ml for a square metre. Counters of k inks that step by s err by s sqrt(2 / 12) sqrt(k) together."""
    error = values["step"] * STEP_ERROR * math.sqrt(values["inks"])
    return Amount(values["used"] / values["area"], error / values["area"], "ml/m2")


def area_for(values: Values, share: float) -> float:
    """Square metres to be printed until the error of the ink use is that share of it."""
    error = values["step"] * STEP_ERROR * math.sqrt(values["inks"])
    return float(error / share / (values["used"] / values["area"]))


def time(minutes: Sequence[float]) -> Amount:
    """The median in minutes; its error is half of what the times span, known from three on."""
    spread = (max(minutes) - min(minutes)) / 2 if len(minutes) >= ENOUGH else None
    return Amount(median(minutes), spread, "min")


def cost(values: Values, ink_use: Amount | None) -> Amount:
    """Money for a square metre of picture; the ink's error enters, prices have none."""
    paper = values["paper price"] / values["paper area"] * values["taken"] / values["printed"]
    if ink_use is None or "ink price" not in values or "ink volume" not in values:
        return Amount(paper, None, f"{values['currency']}/m2")
    per_ml = values["ink price"] / values["ink volume"]
    error = None if ink_use.error is None else per_ml * ink_use.error
    return Amount(paper + per_ml * ink_use.value, error, f"{values['currency']}/m2")


def curl(corners: Sequence[float]) -> Amount:
    """The corner furthest from the table, mm, with its sign."""
    return Amount(max(corners, key=abs), None, "mm")


def noise(values: Values) -> Amount:
    """Whole dB above the quiet room."""
    return Amount(float(round(values["printing"] - values["quiet"])), None, "dB")


def waste(values: Values) -> Amount:
    """Square metres for each load."""
    return Amount(values["cut off"] * values["width"] / 1e6 / values["loads"], None, "m2")
