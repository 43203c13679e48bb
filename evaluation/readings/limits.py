"""What a print can measure; values beyond mean that columns are mixed up or a patch was misread.

All limits are the project's own choice.
"""

from collections.abc import Callable
from typing import Final

import numpy as np

from evaluation.errors import FileProblem
from evaluation.readings.run import Array
from evaluation.readings.source import NOTHING_TAKEN

LAB_LOWEST: Final = np.array([-0.5, -250.0, -250.0])
LAB_HIGHEST: Final = np.array([105.0, 250.0, 250.0])
XYZ_LOWEST, XYZ_HIGHEST = -1.0, 250.0
REFLECTANCE_LOWEST, REFLECTANCE_HIGHEST = -0.2, 4.0
DEVICE_SLACK: Final = 0.005  # rounding beyond full ink


def refuse_beyond(
    values: Array, low: float | Array, high: float | Array, place: Callable[[int, int], str]
) -> None:
    """Raises FileProblem for the first of `values` (n, m) that is no number or outside low..high.

    `place` names the row and column for people.
    """
    outside = np.argwhere(~((values >= low) & (values <= high)))
    if len(outside):
        row, column = (int(index) for index in outside[0])
        lowest = float(np.broadcast_to(low, values.shape)[row, column])
        highest = float(np.broadcast_to(high, values.shape)[row, column])
        raise FileProblem(
            NOTHING_TAKEN,
            where=place(row, column),
            expected=f"a value from {0.0 if -1 < lowest < 0 else lowest:g} to {highest:g}",
            found=f"{values[row, column]:g}",
            remedy="Check the columns, or measure that patch again.",
        )
