"""Ramps of a region: their rows in the order of their steps, and how far a hue turns."""

from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.ipt import ipt_hue
from evaluation.colorimetry.lab import chroma
from evaluation.metrics.evidence import Array, Evidence

Rows = NDArray[np.intp]
_LEAST_CHROMA: Final = 15.0  # C* from which a hue means something, project's own choice


def rows_of(evidence: Evidence, series: str) -> Rows:
    """Rows of the steps of one series, first to last."""
    rows = [
        k for k, patch in enumerate(evidence.patches) if patch.series == series and patch.step is not None
    ]
    return np.array(sorted(rows, key=lambda row: evidence.patches[row].step or 0), dtype=np.intp)


def steps(evidence: Evidence, rows: Rows) -> Array:
    """(m,) numbers of the steps in these rows."""
    return np.array([float(evidence.patches[row].step or 0) for row in rows])


def ramps(evidence: Evidence) -> Iterator[tuple[str, list[int]]]:
    """All patches by series, in the order of the map, each from its first step to its last."""
    for name in dict.fromkeys(patch.series for patch in evidence.patches):
        rows = [row for row, patch in enumerate(evidence.patches) if patch.series == name]
        yield name, sorted(rows, key=lambda row: evidence.patches[row].step or 0)


def hue_turn(aim: Array, found: Array) -> Array:
    """(m,) degrees in IPT, found less aim; nan where the aim is too grey for a hue."""
    turn = (np.asarray(ipt_hue(found)) - np.asarray(ipt_hue(aim)) + 180) % 360 - 180
    return np.where(chroma(aim) > _LEAST_CHROMA, turn, np.nan)
