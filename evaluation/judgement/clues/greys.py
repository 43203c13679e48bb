"""Clues in the greys: where they have a cast, and whether the profile expects it.

Each answers True, False, or None where the session cannot tell. Limits: `tables/clues.toml`.
"""

import numpy as np

from evaluation.colorimetry.difference import delta_ch
from evaluation.colorimetry.grey import line_aim, paper_aim
from evaluation.colorimetry.lab import chroma
from evaluation.judgement.clues.eye import cast_only_under_second_light
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.measures import (
    GREY_KINDS,
    length,
    only,
    print_step,
    solid_ratios,
    third_casts,
)
from evaluation.judgement.clues.paper import profile_white_differs
from evaluation.metrics.cast import counted, shifts_from_grey, thirds


def greys_off_with_lightness(clues: Clues) -> Answer:
    """Whether the casts of two thirds lie further apart than `crossover_named`."""
    third = third_casts(clues)
    if third is None or len(third) < 2:
        return None
    apart = max(length(a - b) for a in third.values() for b in third.values())
    return apart > clues.tables["crossover_named"]


def greys_right_colours_alike(clues: Clues) -> Answer:
    """Whether greys are right (`greys_right`) and colours all too weak or all too strong (`colours_off`)."""
    third, ratios = third_casts(clues), solid_ratios(clues)
    if third is None or ratios is None:
        return None
    right = max(length(shift) for shift in third.values()) < clues.tables["greys_right"]
    off = abs(np.median(ratios) - 1) > clues.tables["colours_off"]
    return bool(right and off and ratios.std() < clues.tables["colours_alike"])


def greys_shifted_colours_fit(clues: Clues) -> Answer:
    """Whether greys are shifted in lightness (`greys_shifted`) while chroma is right (`colours_fit`)."""
    step, ratios = print_step(clues), solid_ratios(clues)
    if step is None or ratios is None or clues.reference is None:
        return None
    known, gap, _ = step
    grey = chroma(clues.reference[known]) < clues.tables["grey_chroma"]
    shifted = grey.any() and abs(gap[grey, 0].mean()) > clues.tables["greys_shifted"]
    return bool(shifted and abs(np.median(ratios) - 1) < clues.tables["colours_fit"])


def cast_of_the_highlights(clues: Clues) -> Answer:
    """Whether the cast is strongest in the highlights, and none is named in the shadows."""
    third = third_casts(clues)
    if third is None or set(third) != {0, 1, 2}:
        return None
    shadows, midtones, highlights = (length(third[t]) for t in range(3))
    more = highlights > clues.tables["highlights_more"] * shadows and highlights >= midtones
    return shadows < clues.tables["cast_named"] <= highlights and more


def cast_below_the_highlights(clues: Clues) -> Answer:
    """Whether mid-tones and shadows both have a cast."""
    third = third_casts(clues)
    if third is None or set(third) != {0, 1, 2}:
        return None
    named = clues.tables["cast_named"]
    return length(third[0]) >= named and length(third[1]) >= named


def shadow_cast_by_readings(clues: Clues) -> Answer:
    """Whether the shadows have a cast by the readings."""
    third = third_casts(clues)
    return None if third is None or 0 not in third else length(third[0]) >= clues.tables["cast_named"]


def cast_in_part_ends_clean(clues: Clues) -> Answer:
    """Whether one or two thirds have a cast, while black and the two lightest inked steps have none."""
    third, own = third_casts(clues), only(clues, clues.rows(*GREY_KINDS))
    if not third or own is None or own.black is None:
        return None
    named = clues.tables["cast_named"]
    largest = max(length(shift) for shift in third.values())
    if all(length(shift) >= named for shift in third.values()):
        return False
    inked = np.flatnonzero(counted(own))
    lightest = inked[np.argsort(-own.source_l[inked])[:2]]
    entry = length(shifts_from_grey(own)[lightest].mean(axis=0))
    clean = float(chroma(own.black)) < clues.tables["black_clean"]
    part = largest >= named and entry < clues.tables["ends_clean"] * largest
    return part and clean and not profile_white_differs(clues)


def _expected_cast(clues: Clues) -> float | None:
    """The cast that the profile expects in the greys, media-relative dCh, worst third."""
    evidence = clues.evidence
    if evidence is None or evidence.predicted is None:
        return None
    own = only(clues, clues.rows(*GREY_KINDS))
    if own is None or own.predicted is None or not counted(own).any():
        return None
    mask, third = counted(own), thirds(own)
    groups = [mask & (third == t) for t in range(3) if (mask & (third == t)).any()]
    return max(length(own.predicted[group, 1:].mean(axis=0)) for group in groups)


def expected_neutral(clues: Clues) -> Answer:
    """Whether the profile expects no cast in the greys."""
    cast = _expected_cast(clues)
    return None if cast is None else cast < clues.tables["cast_named"]


def expected_cast_too(clues: Clues) -> Answer:
    """Whether the profile expects a cast in the greys."""
    cast = _expected_cast(clues)
    return None if cast is None else cast >= clues.tables["cast_named"]


def greys_shift_under_light(clues: Clues) -> Answer:
    """Whether greys shift apart under another light (`light_shift`).

    Greys mixed from colours do under every lamp, so it counts only where the sheet is greys alone, or the eye
    saw it.
    """
    found = [
        metric.value
        for finding in clues.kind(*GREY_KINDS)
        for metric in finding.metrics
        if metric.name == "light_shift_differential"
        and (finding.kind == "mono_neutral" or cast_only_under_second_light(clues))
    ]
    return max(found) > clues.tables["light_shift"] if found else None


def aims_differ(clues: Clues) -> Answer:
    """Whether the grey aims paper and line differ at the darkest grey (`aims_apart`)."""
    if clues.paper is None or clues.evidence is None:
        return None
    paper, darkest = clues.paper, float(clues.evidence.absolute[:, 0].min())
    at = np.array([darkest])
    aims = [
        np.column_stack([at, ab])
        for ab in (paper_aim(at, paper), line_aim(at, paper, darkest, clues.tables["line_factor"]))
    ]
    return bool(delta_ch(aims[0], aims[1])[0] > clues.tables["aims_apart"])


def paper_neutral(clues: Clues) -> Answer:
    """Whether bare paper has next to no chroma (`paper_neutral`)."""
    return None if clues.paper is None else float(chroma(clues.paper)) < clues.tables["paper_neutral"]
