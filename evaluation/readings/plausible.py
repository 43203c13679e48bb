"""What a print can measure; values beyond mean that columns are mixed up or a patch was misread.

All limits are the project's own choice.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.errors import FileProblem
from evaluation.readings.run import Array
from evaluation.readings.source import NOTHING_TAKEN


@dataclass(frozen=True, slots=True, eq=False)
class Limits:
    """From `low` to `high`; noise may pass them by `slack`. Each a number or one for each column."""

    low: float | Array
    high: float | Array
    slack: float

    def times(self, scale: float) -> "Limits":
        """The same limits for values on another scale."""
        return Limits(self.low * scale, self.high * scale, self.slack * scale)


LAB: Final = Limits(np.array([0.0, -250.0, -250.0]), np.array([105.0, 250.0, 250.0]), 0.5)
XYZ: Final = Limits(0.0, 250.0, 1.0)
REFLECTANCE: Final = Limits(0.0, 4.0, 0.2)
DEVICE: Final = Limits(0.0, 1.0, 0.005)  # rounding beyond full ink


def refuse_beyond(values: Array, limits: Limits, place: Callable[[int, int], str]) -> None:
    """Raises FileProblem for the first of `values` (n, m) that is no number or outside its limits.

    `place` names the row and column for people.
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
