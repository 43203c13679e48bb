"""Clues in the print step: which hypothesis fits the readings, and how the print departs from its reference.

Each answers True, False, or None: the session does not tell. Limits are the project's own choice.
"""

from itertools import pairwise
from typing import Final

import numpy as np

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.colorimetry.lab import chroma
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.measures import print_step, solid_ratios

# dE00, means over all patches.
_FITS_WELL: Final = 1.0  # of the hypothesis
_FITS_BETTER: Final = 1.6  # times closer than the stated condition
_FIT_MARGIN: Final = 0.1  # and closer by this much
_BANDS: Final = (25.0, 47.0, 68.0, 90.0)  # L*: dark, middle and light part of a scale
_ALIKE: Final = 0.25  # of the part that shifts most, for a shift of the whole scale


def _best(clues: Clues, prefix: str, margin: float = _FIT_MARGIN) -> Answer:
    """Whether the hypothesis that fits best of all begins with `prefix`, fits well, and better than stated.

    The true one leaves little more than the noise of reading; one that is merely less wrong does not count.
    """
    if len(clues.fits) < 2 or "as stated" not in clues.fits:
        return None
    name = min(clues.fits, key=lambda hypothesis: clues.fits[hypothesis])
    best, own = clues.fits[name], clues.fits["as stated"]
    return name.startswith(prefix) and best < _FITS_WELL and own > _FITS_BETTER * best and own - best > margin


def fits_twice(clues: Clues) -> Answer:
    return _best(clues, "profile applied twice")


def fits_no_profile(clues: Clues) -> Answer:
    return _best(clues, "no profile")


def fits_other_encoding(clues: Clues) -> Answer:
    return _best(clues, "encoding ", 2.0)


def fits_other_intent(clues: Clues) -> Answer:
    found = [_best(clues, name) for name in ("intent ", "compensation", "no compensation")]
    return None if found[0] is None else any(found)


def another_way_fits(clues: Clues) -> Answer:
    """Whether any hypothesis about the way of the file explains the readings."""
    best = _best(clues, "")
    return None if best is None else best and min(clues.fits, key=clues.fits.__getitem__) != "as stated"


def own_intent_fits(clues: Clues) -> Answer:
    """Close, and no other way closer by more than chance: small departures have their causes too."""
    fit = clues.fits.get("as stated")
    return None if fit is None else fit < 1.0 and not another_way_fits(clues)


def print_step_small(clues: Clues) -> Answer:
    step = print_step(clues)
    return None if step is None or clues.expected is None else bool(step[2].mean() < 2.0)


def print_step_one_way(clues: Clues) -> Answer:
    """Above 2 dE00 on average, more than two thirds of it a shift that all patches share."""
    step = print_step(clues)
    if step is None or clues.expected is None:
        return None
    _, gap, distance = step
    shared = np.linalg.norm(gap.mean(axis=0)) / np.linalg.norm(gap, axis=1).mean()
    return bool(distance.mean() > 2.0 and shared > 0.67)


def print_step_small_outside(clues: Clues) -> Answer:
    evidence = clues.evidence
    if evidence is None or evidence.inside is None or evidence.predicted is None:
        return None
    outside = ~evidence.inside & np.isfinite(evidence.predicted).all(axis=-1)
    if not outside.any():
        return None
    return bool(delta_e_2000(evidence.predicted[outside], evidence.measured[outside]).mean() < 2.0)


def stronger_and_shifted(clues: Clues) -> Answer:
    step = print_step(clues)
    if step is None or clues.evidence is None or clues.reference is None:
        return None
    known, gap, _ = step
    strong = chroma(clues.reference[known]) > clues.evidence.limits.hue_least_chroma
    middle = np.abs(clues.reference[known][:, 0] - 50) < 20
    if not strong.any() or not middle.any():
        return None
    grown = chroma(clues.evidence.measured[known])[strong] - chroma(clues.reference[known])[strong]
    return bool(np.median(grown) > 3.0 and abs(np.median(gap[middle, 0])) > 2.0)


def chroma_low_or_wild(clues: Clues) -> Answer:
    ratios = solid_ratios(clues)
    return None if ratios is None else bool(np.median(ratios) < 0.8 or ratios.std() > 0.25)


def scale_shifted_hue_steady(clues: Clues) -> Answer:
    shift = _steady_shift(clues)
    return None if shift is None else abs(shift) > 1.0


def lighter_all_over(clues: Clues) -> Answer:
    shift = _steady_shift(clues)
    return None if shift is None else shift > 1.0


def darker_all_over(clues: Clues) -> Answer:
    shift = _steady_shift(clues)
    return None if shift is None else shift < -1.0


def _steady_shift(clues: Clues) -> float | None:
    """Mean dL* of the scale between paper and black; 0 where it leans as well, or does not shift all over."""
    step = print_step(clues)
    if step is None or clues.evidence is None or clues.reference is None:
        return None
    known, gap, _ = step
    middle = (clues.reference[known][:, 0] > 25) & (clues.reference[known][:, 0] < 90)
    if middle.sum() < 5:
        return None
    lean = np.hypot(*gap[middle, 1:].mean(axis=0))
    L, off = clues.reference[known][middle, 0], gap[middle, 0]
    bands = [off[(low <= L) & (high > L)] for low, high in pairwise(_BANDS)]
    parts = np.array([band.mean() for band in bands if band.size])
    all_over = (
        np.all(np.sign(parts) == np.sign(parts[0])) and np.abs(parts).min() > _ALIKE * np.abs(parts).max()
    )
    return float(off.mean()) if lean < 1.0 and all_over else 0.0


def offset_grows_to_the_lights(clues: Clues) -> Answer:
    """b* or L* of the greys off by a step that grows with lightness and keeps its sign."""
    step = print_step(clues)
    if step is None or clues.evidence is None or clues.reference is None:
        return None
    known, gap, _ = step
    grey = chroma(clues.reference[known]) < 5
    if grey.sum() < 6:
        return None
    L = clues.reference[known][grey, 0]
    for axis in (0, 2):
        off = gap[grey, axis]
        light = abs(off[L > 70].mean()) if (L > 70).any() else 0.0
        if light > 1.0 and abs(np.corrcoef(L, off)[0, 1]) > 0.8:
            return True
    return False
