"""How neutral the greys are: cast by thirds, crossover, entry and shadow casts, the ring-around's centre.

All against the one neutral aim that the evidence names; see `cast` for words and distances.
"""

import numpy as np

from evaluation.metrics.cast import (
    THIRDS,
    cast_distance,
    counted,
    readings_themselves,
    shifts_from_grey,
    thirds,
)
from evaluation.metrics.evidence import Array, Evidence, Mask, Outcome, place


def cast_by_third(evidence: Evidence) -> Outcome | None:
    """Mean dE00 at equal L* of the worst third; the place is that third."""
    mask = counted(evidence)
    if not evidence.cast_has_aim or not mask.any():
        return None
    distance = cast_distance(evidence)
    third = thirds(evidence)
    present = [t for t in range(3) if (mask & (third == t)).any()]
    means = np.stack([distance[..., mask & (third == t)].mean(axis=-1) for t in present], axis=-1)
    worst = present[int(means.reshape(-1, len(present))[0].argmax())]
    return Outcome(means.max(axis=-1), f"{THIRDS[worst]} third", int(mask.sum()))


def dch_mean(evidence: Evidence) -> Outcome | None:
    """Mean dCh of the greys, the tradition's number; the place is where it is largest."""
    mask = counted(evidence)
    if not evidence.cast_has_aim or not mask.any():
        return None
    shift = shifts_from_grey(evidence)
    distance = np.hypot(shift[..., 0], shift[..., 1])[..., mask]
    return Outcome(distance.mean(axis=-1), _largest(evidence, mask, distance), int(mask.sum()))


def third_shifts(evidence: Evidence) -> tuple[Array, Array, tuple[int, ...]]:
    """Mean (da*, db*) of each third that has steps (..., t, 2), its standard error (t,), and which thirds."""
    mask, third = counted(evidence), thirds(evidence)
    shift = shifts_from_grey(evidence)
    present = tuple(t for t in range(3) if (mask & (third == t)).any())
    if not present:
        return np.empty((*shift.shape[:-2], 0, 2)), np.empty(0), ()
    steps = [mask & (third == t) for t in present]
    means = np.stack([shift[..., own, :].mean(axis=-2) for own in steps], axis=-2)
    noise = np.array([np.sqrt((evidence.chroma_noise[own] ** 2).sum()) / own.sum() for own in steps])
    return means, noise, present


def crossover(evidence: Evidence) -> Outcome | None:
    """Largest distance between the mean shifts of two thirds, dCh: a cast that changes with lightness.

    A distance between means, not an angle: in a neutral print with noise 0.3 some pair of thirds points more
    than 90 degrees apart in 82 % of draws, while the distance stays below 0.46 in 95 % (COMPUTED).
    """
    means, _, present = third_shifts(evidence)
    if not evidence.cast_has_aim or len(present) < 2:
        return None
    pairs = [(i, j) for i in range(len(present)) for j in range(i + 1, len(present))]
    apart = np.stack(
        [np.linalg.norm(means[..., i, :] - means[..., j, :], axis=-1) for i, j in pairs], axis=-1
    )
    i, j = pairs[int(apart.reshape(-1, len(pairs))[0].argmax())]
    where = f"{THIRDS[present[i]]} against {THIRDS[present[j]]} third"
    return Outcome(apart.max(axis=-1), where, int(counted(evidence).sum()))


def shadow_cast(evidence: Evidence) -> Outcome | None:
    """Mean dE00 at equal L* of the shadow steps, black left out: a tinted black has its own line."""
    limits = evidence.limits
    source = evidence.source_l
    mask: Mask = counted(evidence) & (source >= limits.shadow_from) & (source <= limits.shadow_to)
    if not evidence.cast_has_aim or not mask.any():
        return None
    distance = cast_distance(evidence, mask)
    return Outcome(distance.mean(axis=-1), _largest(evidence, mask, distance), int(mask.sum()))


def highlight_entry_cast(evidence: Evidence) -> Outcome | None:
    """Mean dE00 at equal L* of the three lightest inked steps: how the first ink enters the paper."""
    inked = np.flatnonzero(counted(evidence) & (evidence.source_l < 100 - 1e-6))
    if not evidence.cast_has_aim or inked.size == 0:
        return None
    mask = np.zeros(len(evidence.patches), dtype=bool)
    mask[inked[np.argsort(-evidence.source_l[inked], kind="stable")[:3]]] = True
    distance = cast_distance(evidence, mask)
    return Outcome(distance.mean(axis=-1), _largest(evidence, mask, distance), int(mask.sum()))


def ring_offset(evidence: Evidence) -> Outcome | None:
    """dE00 at equal L* of the patch meant as grey, worst of the lightnesses of the ring-around."""
    centre = np.zeros(len(evidence.patches), dtype=bool)
    for group in {patch.series for patch in evidence.patches}:
        own = [k for k, patch in enumerate(evidence.patches) if patch.series == group and evidence.aimed[k]]
        if own:  # the patch meant as grey: the least coloured aim of its group
            centre[min(own, key=lambda k: float(np.hypot(*evidence.aim[k, 1:])))] = True
    mask: Mask = centre & counted(evidence)
    if not evidence.cast_has_aim or not mask.any():
        return None
    distance = cast_distance(evidence, mask)
    return Outcome(distance.max(axis=-1), _largest(evidence, mask, distance), int(mask.sum()))


def light_shift_differential(evidence: Evidence) -> Outcome | None:
    """Largest dCh between the shifts of two steps under one light, worst of the lights: greys that part.

    What paper and scale share is adapted to; what is left along the scale is seen.
    """
    mask = counted(evidence)
    worst, where = 0.0, None
    for light, shift in evidence.shifts.items():
        known = mask & np.isfinite(shift).all(axis=-1)
        if known.sum() < 2:
            continue
        steps = shift[known]
        apart = np.linalg.norm(steps[:, None, :] - steps[None, :, :], axis=-1)
        if where is None or apart.max() > worst:
            first, second = np.unravel_index(int(apart.argmax()), apart.shape)
            names = [place(evidence.patches[int(np.flatnonzero(known)[k])]) for k in (first, second)]
            worst, where = float(apart.max()), f"under {light}, {names[0]} against {names[1]}"
    if where is None:
        return None
    return Outcome(np.full(evidence.measured.shape[:-2], worst), where, int(mask.sum()))


def _largest(evidence: Evidence, mask: Mask, distance: Array) -> str:
    first = readings_themselves(distance[..., None])[:, 0]
    return place(evidence.patches[int(np.flatnonzero(mask)[int(first.argmax())])])
