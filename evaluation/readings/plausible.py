"""Ranges of values that a print can have: beyond them columns are mixed up, or a patch was misread."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.errors import FileProblem
from evaluation.published.limits import limit
from evaluation.readings.run import Array
from evaluation.readings.source import NOTHING_TAKEN


@dataclass(frozen=True, slots=True, eq=False)
class Plausible:
    """From `low` to `high`, which noise may pass by `slack`; each one number, or one per column."""

    low: float | Array
    high: float | Array
    slack: float

    def times(self, scale: float) -> "Plausible":
        """The same range for values on a scale that many times as large."""
        return Plausible(self.low * scale, self.high * scale, self.slack * scale)


_REACH: Final = limit("lab_reach")
LAB: Final = Plausible(
    np.array([0.0, -_REACH, -_REACH]), np.array([limit("lab_lightest"), _REACH, _REACH]), limit("lab_slack")
)
XYZ: Final = Plausible(0.0, limit("xyz_highest"), limit("xyz_slack"))
REFLECTANCE: Final = Plausible(0.0, limit("reflectance_highest"), limit("reflectance_slack"))
WAVELENGTH: Final = Plausible(0.0, limit("wavelength_highest"), 0.0)  # nm
DEVICE: Final = Plausible(0.0, 1.0, limit("device_slack"))


def refuse_beyond(values: Array, limits: Plausible, place: Callable[[int, int], str]) -> None:
    """Raise FileProblem for the first of `values` (n, m) that is no number or outside its range.

    `place` names a row and column, both from 0, for people.
    """
    low, high, slack = limits.low, limits.high, limits.slack
    outside = np.argwhere(~((values >= low - slack) & (values <= high + slack)))
    if len(outside):
        row, column = (int(index) for index in outside[0])
        lowest = float(np.broadcast_to(low, values.shape)[row, column])
        highest = float(np.broadcast_to(high, values.shape)[row, column])
        raise FileProblem(
            NOTHING_TAKEN,
            where=place(row, column),
            expected=f"a value from {lowest:g} to {highest:g}",
            found=f"{values[row, column]:g}",
            remedy="Check the columns, or measure that patch again.",
        )
