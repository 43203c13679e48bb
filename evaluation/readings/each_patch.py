"""Readings by what was printed: each device value once, its repeats averaged."""

import numpy as np

from evaluation.readings.colours import colours
from evaluation.readings.run import Array, Run

_DIGITS = 4  # device values are compared as written to four digits


def each_patch(run: Run) -> tuple[Array, Array]:
    """Device values (n, channels), 0..1, in rising order and each once; mean CIELAB (n, 3) for D50.

    Raises FileProblem when the run holds no usable colour, ValueError without device values.
    """
    if run.device is None:
        raise ValueError("a run without device values")
    device, where, count = np.unique(
        np.round(run.device, _DIGITS), axis=0, return_inverse=True, return_counts=True
    )
    total = np.zeros((len(device), 3))
    np.add.at(total, where.ravel(), colours(run).lab_d50)
    return device, total / count[:, None]


def aligned(device: Array, lab: Array, wanted: Array) -> Array:
    """(w, 3) the CIELAB of each wanted device value (w, channels); nan where it was not read."""
    known = {row.tobytes(): k for k, row in enumerate(np.round(device, _DIGITS) + 0.0)}
    places = [known.get(row.tobytes(), -1) for row in np.round(wanted, _DIGITS) + 0.0]
    return np.where(np.array(places)[:, None] >= 0, lab[places], np.nan)
