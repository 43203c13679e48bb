"""Metrics of the whole sheet: equal tints across it, and all patches against their prediction."""

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.metrics.evidence import Array, Evidence, Mask, Outcome, largest, place


def across_sheet(evidence: Evidence) -> Outcome | None:
    """95th percentile of dE00 between equal tints and their own mean, over the sheet."""
    found = from_equals(evidence)
    if found is None:
        return None
    order, distance = found
    at = int(distance.reshape(-1, order.size)[0].argmax())
    values: Array = np.asarray(np.percentile(distance, 95, axis=-1), np.float64)
    return Outcome(values, place(evidence.patches[int(order[at])]), order.size)


def from_equals(evidence: Evidence) -> tuple[NDArray[np.int_], Array] | None:
    """Rows of the tints that stand on the sheet more than once (k,); dE00 (..., k) from their own mean."""
    groups: dict[tuple[float, ...], list[int]] = {}
    for index, patch in enumerate(evidence.patches):
        if patch.source is not None:
            groups.setdefault(patch.source, []).append(index)
    repeated = [np.array(own) for own in groups.values() if len(own) > 1]
    if not repeated:
        return None
    order = np.concatenate(repeated)
    read = np.take(evidence.measured, order, axis=-2)
    sizes = [len(own) for own in repeated]
    ends = np.cumsum(sizes)
    means = [
        read[..., end - size : end, :].mean(axis=-2) for end, size in zip(ends.tolist(), sizes, strict=True)
    ]
    return order, delta_e_2000(np.repeat(np.stack(means, axis=-2), sizes, axis=-2), read)


def print_mean(evidence: Evidence) -> Outcome | None:
    """Mean dE00 from the profile's prediction to the readings, over patches inside the gamut."""
    step = _print_step(evidence)
    return None if step is None else Outcome(step[1].mean(axis=-1), largest(evidence, *step), step[0].sum())


def print_p95(evidence: Evidence) -> Outcome | None:
    """95th percentile of dE00 from the profile's prediction to the readings, of patches inside the gamut."""
    step = _print_step(evidence)
    if step is None:
        return None
    values: Array = np.asarray(np.percentile(step[1], 95, axis=-1), np.float64)
    return Outcome(values, largest(evidence, *step), int(step[0].sum()))


def _print_step(evidence: Evidence) -> tuple[Mask, Array] | None:
    if evidence.predicted is None:
        return None
    known: Mask = np.asarray(np.isfinite(evidence.predicted).all(axis=-1))
    if evidence.inside is not None:
        known = known & evidence.inside
    if not known.any():
        return None
    return known, delta_e_2000(evidence.predicted[known], evidence.measured[..., known, :])
