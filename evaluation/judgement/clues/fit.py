"""Clues in the print step: which hypothesis fits the readings, and how the print departs from its reference.

Each answers True, False, or None where the session cannot tell. Limits: `tables/clues.toml`.
"""

from itertools import pairwise
from typing import Final

import numpy as np

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.colorimetry.lab import chroma
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.measures import print_step, solid_ratios

# L* between which the dark, middle and light part of a scale lie: names of limits.
_BANDS: Final = ("scale_dark", "scale_middle", "scale_light", "scale_top")


def _best(clues: Clues, prefix: str, margin: str = "fits_margin") -> Answer:
    """Whether the hypothesis that fits best of all begins with `prefix`, fits well, and better than stated.

    `margin` names the limit by which it must lie closer. The true one leaves little more than the noise of
    reading; one that is merely less wrong does not count.
    """
    if len(clues.fits) < 2 or "as stated" not in clues.fits:
        return None
    name = min(clues.fits, key=lambda hypothesis: clues.fits[hypothesis])
    best, own = clues.fits[name], clues.fits["as stated"]
    limits = clues.tables
    better = own > limits["fits_better"] * best and own - best > limits[margin]
    return name.startswith(prefix) and best < limits["fits_well"] and better


def fits_twice(clues: Clues) -> Answer:
    """Whether a profile applied twice fits best."""
    return _best(clues, "profile applied twice")


def fits_no_profile(clues: Clues) -> Answer:
    """Whether source values sent to the printer as they are fit best."""
    return _best(clues, "no profile")


def fits_other_encoding(clues: Clues) -> Answer:
    """Whether another RGB encoding fits best, by more than `encoding_margin`."""
    return _best(clues, "encoding ", "encoding_margin")


def fits_other_intent(clues: Clues) -> Answer:
    """Whether another intent, or another black point compensation, fits best."""
    found = [_best(clues, name) for name in ("intent ", "compensation", "no compensation")]
    return None if found[0] is None else any(found)


def another_way_fits(clues: Clues) -> Answer:
    """Whether any other way to print the file fits best."""
    best = _best(clues, "")
    return None if best is None else best and min(clues.fits, key=clues.fits.__getitem__) != "as stated"


def own_intent_fits(clues: Clues) -> Answer:
    """Whether the readings fit what was stated (`stated_fits`), and no other way to print the file better."""
    fit = clues.fits.get("as stated")
    return None if fit is None else fit < clues.tables["stated_fits"] and not another_way_fits(clues)


def print_step_small(clues: Clues) -> Answer:
    """Whether the print follows its profile, on average (`follows_profile`)."""
    step = print_step(clues)
    if step is None or clues.expected is None:
        return None
    return bool(step[2].mean() < clues.tables["follows_profile"])


def print_step_one_way(clues: Clues) -> Answer:
    """Whether the print departs from its profile, mostly by a shift common to all patches."""
    step = print_step(clues)
    if step is None or clues.expected is None:
        return None
    _, gap, distance = step
    shared = np.linalg.norm(gap.mean(axis=0)) / np.linalg.norm(gap, axis=1).mean()
    off = distance.mean() > clues.tables["follows_profile"]
    return bool(off and shared > clues.tables["one_way_share"])


def print_step_small_outside(clues: Clues) -> Answer:
    """Whether the print follows its profile outside the gamut of the aims (`follows_profile`)."""
    evidence = clues.evidence
    if evidence is None or evidence.inside is None or evidence.predicted is None:
        return None
    outside = ~evidence.inside & np.isfinite(evidence.predicted).all(axis=-1)
    if not outside.any():
        return None
    off = delta_e_2000(evidence.predicted[outside], evidence.measured[outside])
    return bool(off.mean() < clues.tables["follows_profile"])


def stronger_and_shifted(clues: Clues) -> Answer:
    """Whether strong colours have grown (`grown_chroma`) and mid-tones shifted in lightness."""
    step = print_step(clues)
    if step is None or clues.evidence is None or clues.reference is None:
        return None
    known, gap, _ = step
    strong = chroma(clues.reference[known]) > clues.evidence.limits.hue_least_chroma
    middle = np.abs(clues.reference[known][:, 0] - 50) < clues.tables["middle_range"]
    if not strong.any() or not middle.any():
        return None
    grown = chroma(clues.evidence.measured[known])[strong] - chroma(clues.reference[known])[strong]
    shift = abs(np.median(gap[middle, 0]))
    return bool(np.median(grown) > clues.tables["grown_chroma"] and shift > clues.tables["middle_shift"])


def chroma_low_or_wild(clues: Clues) -> Answer:
    """Whether the chroma of the solids is low, or off in both directions."""
    ratios = solid_ratios(clues)
    if ratios is None:
        return None
    return bool(np.median(ratios) < clues.tables["chroma_low"] or ratios.std() > clues.tables["chroma_wild"])


def scale_shifted_hue_steady(clues: Clues) -> Answer:
    """Whether the whole scale is shifted in lightness (`scale_shift`) without a cast."""
    shift = _steady_shift(clues)
    return None if shift is None else abs(shift) > clues.tables["scale_shift"]


def lighter_all_over(clues: Clues) -> Answer:
    """Whether the whole scale is lighter than expected (`scale_shift`)."""
    shift = _steady_shift(clues)
    return None if shift is None else shift > clues.tables["scale_shift"]


def darker_all_over(clues: Clues) -> Answer:
    """Whether the whole scale is darker than expected (`scale_shift`)."""
    shift = _steady_shift(clues)
    return None if shift is None else shift < -clues.tables["scale_shift"]


def _steady_shift(clues: Clues) -> float | None:
    """Mean dL* of the scale between paper and black; 0 where it has a cast too, or shifts in part."""
    step = print_step(clues)
    if step is None or clues.evidence is None or clues.reference is None:
        return None
    known, gap, _ = step
    borders = [clues.tables[name] for name in _BANDS]
    lightness = clues.reference[known][:, 0]
    middle = (lightness > borders[0]) & (lightness < borders[-1])
    if middle.sum() < clues.tables["scale_patches"]:
        return None
    cast = np.hypot(*gap[middle, 1:].mean(axis=0))
    L, off = lightness[middle], gap[middle, 0]
    bands = [off[(low <= L) & (high > L)] for low, high in pairwise(borders)]
    parts = np.array([band.mean() for band in bands if band.size])
    size = np.abs(parts)
    all_over = (
        np.all(np.sign(parts) == np.sign(parts[0])) and size.min() > clues.tables["scale_alike"] * size.max()
    )
    return float(off.mean()) if cast < clues.tables["scale_cast"] and all_over else 0.0


def offset_grows_to_the_highlights(clues: Clues) -> Answer:
    """Whether b* or L* of the greys is off by an amount that grows with lightness (`offset_grows`)."""
    step = print_step(clues)
    if step is None or clues.evidence is None or clues.reference is None:
        return None
    known, gap, _ = step
    grey = chroma(clues.reference[known]) < clues.tables["grey_chroma"]
    if grey.sum() < clues.tables["grey_patches"]:
        return None
    L = clues.reference[known][grey, 0]
    for axis in (0, 2):
        off = gap[grey, axis]
        highlights = off[clues.tables["highlight_from"] < L]
        if not highlights.size or abs(highlights.mean()) <= clues.tables["highlight_offset"]:
            continue
        if abs(np.corrcoef(L, off)[0, 1]) > clues.tables["offset_grows"]:
            return True
    return False
