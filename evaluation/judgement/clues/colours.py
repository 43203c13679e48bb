"""Clues in strong colours: solids, ramps, and what the profile expects of them.

Each answers True, False, or None: the session does not tell. Limits are the project's own choice.
"""

import numpy as np

from evaluation.colorimetry.lab import chroma
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.fit import print_step_small
from evaluation.judgement.clues.measures import length, only, solid_ratios, solids, third_leans
from evaluation.metrics.evidence import Array


def solids_weak_alike(clues: Clues) -> Answer:
    ratios = solid_ratios(clues)
    return None if ratios is None else bool(np.median(ratios) < 0.93 and np.mean(ratios < 0.97) > 0.75)


def solids_reach_chroma(clues: Clues) -> Answer:
    ratios = solid_ratios(clues)
    return None if ratios is None else bool(np.percentile(ratios, 10) > 0.95)


def one_hue_weak_complement_in_greys(clues: Clues) -> Answer:
    """One family of hues well below the others, and the greys lean away from it."""
    found, third = solids(clues), third_leans(clues)
    if found is None or third is None:
        return None
    ratios = chroma(found[1]) / chroma(found[0])
    weakest = int(ratios.argmin())
    if ratios[weakest] > np.median(ratios) - 0.08:
        return False
    hue = found[0][weakest, 1:] / chroma(found[0][weakest])
    lean = max(third.values(), key=length)
    return length(lean) >= clues.tables["cast_named"] and float(lean @ hue) < -0.3 * length(lean)


def ramps_collapse(clues: Clues) -> Answer:
    found = [
        metric.value
        for finding in clues.kind("saturation")
        for metric in finding.metrics
        if metric.name == "collapse_step"
    ]
    return found[0] > 0.08 if found else None


def _collapsed(clues: Clues) -> tuple[Array, Array] | None:
    """(k,) neighbours of the ramps that have collapsed, and whether both their aims lie inside the gamut."""
    own = only(clues, clues.rows("saturation"))
    if own is None or own.inside is None:
        return None
    near, inside = [], []
    for k in range(len(own.patches) - 1):
        if own.patches[k].series and own.patches[k].series == own.patches[k + 1].series:
            aimed = float(np.linalg.norm(own.aim[k + 1] - own.aim[k]))
            read = float(np.linalg.norm(own.measured[k + 1] - own.measured[k]))
            near.append(read < own.limits.collapse_share * aimed)
            inside.append(bool(own.inside[k] and own.inside[k + 1]))
    return np.array(near, dtype=np.float64), np.array(inside, dtype=np.float64)


def collapse_only_outside(clues: Clues) -> Answer:
    """Every print loses its ramps there; a cause only where they are graded low and all else is right."""
    found = _collapsed(clues)
    if found is None:
        return None
    near, inside = found
    only = bool(near.any() and not (near * inside).any())
    return only and clues.wrong("saturation") and print_step_small(clues) is not False


def collapse_inside(clues: Clues) -> Answer:
    found = _collapsed(clues)
    return None if found is None else bool((found[0] * found[1]).sum() >= 2)


def expected_too_strong(clues: Clues) -> Answer:
    beyond = _expected_beyond(clues)
    return None if beyond is None else bool(beyond > 3.0 and print_step_small(clues))


def expected_within_aim(clues: Clues) -> Answer:
    beyond = _expected_beyond(clues)
    return None if beyond is None else beyond < 1.0


def _expected_beyond(clues: Clues) -> float | None:
    """90th percentile of dC* of what is expected above the source's own colour."""
    own = only(clues, clues.rows("saturation"))
    if own is None or own.predicted is None:
        return None
    aim = own.aim if own.source_aim is None else own.source_aim
    known = np.isfinite(aim).all(axis=-1) & np.isfinite(own.predicted).all(axis=-1)
    if not known.any():
        return None
    return float(np.percentile(chroma(own.predicted[known]) - chroma(aim[known]), 90))
