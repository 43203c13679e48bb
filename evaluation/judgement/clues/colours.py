"""Clues in strong colours: solids, ramps, and what the profile expects of them.

Each answers True, False, or None where the session cannot tell. Limits: `tables/clues.toml`.
"""

import numpy as np

from evaluation.colorimetry.lab import chroma
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.fit import print_step_small
from evaluation.judgement.clues.measures import length, only, solid_ratios, solids, third_casts
from evaluation.metrics.evidence import Array


def solids_weak_alike(clues: Clues) -> Answer:
    """Whether the median chroma of the solids is low (`solids_weak`), and most of them are weak."""
    ratios = solid_ratios(clues)
    if ratios is None:
        return None
    each, most = clues.tables["solid_weak"], clues.tables["solids_weak_share"]
    return bool(np.median(ratios) < clues.tables["solids_weak"] and np.mean(ratios < each) > most)


def solids_reach_chroma(clues: Clues) -> Answer:
    """Whether even the weakest solids have the chroma that is expected (`solids_full`)."""
    ratios = solid_ratios(clues)
    if ratios is None:
        return None
    return bool(np.quantile(ratios, clues.tables["solids_weakest"]) > clues.tables["solids_full"])


def one_hue_weak_complement_in_greys(clues: Clues) -> Answer:
    """Whether one hue family lies well below the others, and the greys have a cast away from it."""
    found, third = solids(clues), third_casts(clues)
    if found is None or third is None:
        return None
    ratios = chroma(found[1]) / chroma(found[0])
    weakest = int(ratios.argmin())
    if ratios[weakest] > np.median(ratios) - clues.tables["hue_weak"]:
        return False
    hue = found[0][weakest, 1:] / chroma(found[0][weakest])
    cast = max(third.values(), key=length)
    away = float(cast @ hue) < -clues.tables["cast_away"] * length(cast)
    return length(cast) >= clues.tables["cast_named"] and away


def ramps_collapse(clues: Clues) -> Answer:
    """Whether ramps inside the gamut lose more of their steps than `ramp_collapsed`, on average."""
    found = [
        metric.value
        for finding in clues.kind("saturation")
        for metric in finding.metrics
        if metric.name == "collapse_step"
    ]
    return found[0] > clues.tables["ramp_collapsed"] if found else None


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
    """Whether ramps collapse outside the gamut alone, are graded low, and all else is right.

    Every print loses its ramps there, so it is a cause only where they are faulted.
    """
    found = _collapsed(clues)
    if found is None:
        return None
    near, inside = found
    outside = bool(near.any() and not (near * inside).any())
    return outside and clues.wrong("saturation") and print_step_small(clues) is not False


def collapse_inside(clues: Clues) -> Answer:
    """Whether neighbours of ramps collapse inside the gamut, `collapsed_pairs` of them or more."""
    found = _collapsed(clues)
    return None if found is None else bool((found[0] * found[1]).sum() >= clues.tables["collapsed_pairs"])


def expected_too_strong(clues: Clues) -> Answer:
    """Whether the profile expects more chroma than the aim (`expected_beyond`), and the print follows it."""
    beyond = _expected_beyond(clues)
    if beyond is None:
        return None
    return bool(beyond > clues.tables["expected_beyond"] and print_step_small(clues))


def expected_within_aim(clues: Clues) -> Answer:
    """Whether the profile expects hardly more chroma than the aim (`expected_within`)."""
    beyond = _expected_beyond(clues)
    return None if beyond is None else beyond < clues.tables["expected_within"]


def _expected_beyond(clues: Clues) -> float | None:
    """dC* of what is expected above the source's own colour, at the quantile `strongest_share`."""
    own = only(clues, clues.rows("saturation"))
    if own is None or own.predicted is None:
        return None
    aim = own.aim if own.source_aim is None else own.source_aim
    known = np.isfinite(aim).all(axis=-1) & np.isfinite(own.predicted).all(axis=-1)
    if not known.any():
        return None
    grown = chroma(own.predicted[known]) - chroma(aim[known])
    return float(np.quantile(grown, clues.tables["strongest_share"]))
