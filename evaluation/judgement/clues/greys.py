"""Clues in the greys: where they lean, and whether the profile expects it.

Each answers True, False, or None: the session does not tell. Limits are the project's own choice.
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
    third_leans,
)
from evaluation.judgement.clues.paper import profile_white_differs
from evaluation.metrics.cast import counted, shifts_from_grey, thirds


def greys_off_with_lightness(clues: Clues) -> Answer:
    third = third_leans(clues)
    if third is None or len(third) < 2:
        return None
    apart = max(length(a - b) for a in third.values() for b in third.values())
    return apart > clues.tables["crossover_named"]


def greys_fine_colours_alike(clues: Clues) -> Answer:
    third, ratios = third_leans(clues), solid_ratios(clues)
    if third is None or ratios is None:
        return None
    fine = max(length(shift) for shift in third.values()) < 1.0
    return bool(fine and abs(np.median(ratios) - 1) > 0.1 and ratios.std() < 0.15)


def greys_shifted_colours_fit(clues: Clues) -> Answer:
    step, ratios = print_step(clues), solid_ratios(clues)
    if step is None or ratios is None or clues.reference is None:
        return None
    known, gap, _ = step
    grey = chroma(clues.reference[known]) < 5
    return bool(grey.any() and abs(gap[grey, 0].mean()) > 2 and abs(np.median(ratios) - 1) < 0.07)


def cast_of_the_lights(clues: Clues) -> Answer:
    third = third_leans(clues)
    if third is None or set(third) != {0, 1, 2}:
        return None
    dark, middle, light = (length(third[t]) for t in range(3))
    named = clues.tables["cast_named"]
    return dark < named <= light and light > 1.5 * dark and light >= middle


def cast_below_the_lights(clues: Clues) -> Answer:
    third = third_leans(clues)
    if third is None or set(third) != {0, 1, 2}:
        return None
    named = clues.tables["cast_named"]
    return length(third[0]) >= named and length(third[1]) >= named


def shadows_lean_by_readings(clues: Clues) -> Answer:
    third = third_leans(clues)
    return None if third is None or 0 not in third else length(third[0]) >= clues.tables["cast_named"]


def cast_in_part_ends_clean(clues: Clues) -> Answer:
    """One or two of three thirds lean, black and the two lightest inked steps do not."""
    third, own = third_leans(clues), only(clues, clues.rows(*GREY_KINDS))
    if not third or own is None or own.black is None:
        return None
    named = clues.tables["cast_named"]
    largest = max(length(shift) for shift in third.values())
    if all(length(shift) >= named for shift in third.values()):
        return False
    inked = np.flatnonzero(counted(own))
    lightest = inked[np.argsort(-own.source_l[inked])[:2]]
    entry = length(shifts_from_grey(own)[lightest].mean(axis=0))
    clean = float(chroma(own.black)) < 2.0
    leans = largest >= named and entry < 0.5 * largest
    return leans and clean and not profile_white_differs(clues)


def _expected_lean(clues: Clues) -> float | None:
    """How far what the profile expects leans in its greys, media-relative dCh, worst third."""
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
    lean = _expected_lean(clues)
    return None if lean is None else lean < clues.tables["cast_named"]


def expected_leans_too(clues: Clues) -> Answer:
    lean = _expected_lean(clues)
    return None if lean is None else lean >= clues.tables["cast_named"]


def greys_part_under_light(clues: Clues) -> Answer:
    """Inks of colour shift under every lamp; it counts where greys alone are the sheet, or the eye saw it."""
    found = [
        metric.value
        for finding in clues.kind(*GREY_KINDS)
        for metric in finding.metrics
        if metric.name == "light_shift_differential"
        and (finding.kind == "mono_neutral" or cast_only_under_second_light(clues))
    ]
    return max(found) > 1.5 if found else None


def aims_differ(clues: Clues) -> Answer:
    """Aims paper and line, at the darkest grey."""
    if clues.paper is None or clues.evidence is None:
        return None
    paper, darkest = clues.paper, float(clues.evidence.absolute[:, 0].min())
    at = np.array([darkest])
    aims = [
        np.column_stack([at, ab])
        for ab in (paper_aim(at, paper), line_aim(at, paper, darkest, clues.tables["line_factor"]))
    ]
    return bool(delta_ch(aims[0], aims[1])[0] > 1.0)


def paper_neutral(clues: Clues) -> Answer:
    return None if clues.paper is None else float(chroma(clues.paper)) < 2.0
