"""Clues in the readings: the print step, the greys, the shadows, strong colours, paper, repeats.

Each looks at `Clues` and answers True, False, or None where the session does not tell. Limits without another
source are the project's own choice, as those of the table of causes.
"""

import numpy as np

from evaluation.colorimetry.difference import delta_ch, delta_e_2000
from evaluation.colorimetry.grey import line_aim, paper_aim
from evaluation.colorimetry.lab import chroma
from evaluation.judgement.clues import Clues
from evaluation.metrics.cast import counted, thirds
from evaluation.metrics.evidence import Array, Evidence, Mask
from evaluation.metrics.gather import chosen
from evaluation.metrics.neutrality import third_shifts
from evaluation.metrics.separation import contrast, luminance
from evaluation.metrics.tone import steps
from evaluation.readings.colours import colours

Answer = bool | None

_GREY_KINDS = ("neutral", "mono_neutral")
_SHADOW_KINDS = ("shadow", "mono_shadow")
_FIT_MARGIN = 0.5  # dE00 by which a hypothesis must fit better than the stated condition


# --- hypotheses -------------------------------------------------------------------------------------------


def _best(clues: Clues, prefix: str, margin: float = _FIT_MARGIN) -> Answer:
    """Whether the hypothesis that fits best of all begins with `prefix`, and fits better by the margin."""
    if len(clues.fits) < 2 or "as stated" not in clues.fits:
        return None
    name = min(clues.fits, key=lambda hypothesis: clues.fits[hypothesis])
    return name.startswith(prefix) and clues.fits["as stated"] - clues.fits[name] > margin


def fits_twice(clues: Clues) -> Answer:
    return _best(clues, "profile applied twice")


def fits_no_profile(clues: Clues) -> Answer:
    return _best(clues, "no profile")


def fits_other_encoding(clues: Clues) -> Answer:
    return _best(clues, "encoding ", 2.0)


def fits_other_intent(clues: Clues) -> Answer:
    found = [_best(clues, name) for name in ("intent ", "compensation", "no compensation")]
    return None if found[0] is None else any(found)


def own_intent_fits(clues: Clues) -> Answer:
    fit = clues.fits.get("as stated")
    return None if fit is None else fit < 1.0


# --- the print step ---------------------------------------------------------------------------------------


def _step(clues: Clues) -> tuple[Mask, Array, Array] | None:
    """Known patches, their (k, 3) departure from the reference, and its dE00."""
    if clues.evidence is None or clues.reference is None:
        return None
    known: Mask = np.asarray(np.isfinite(clues.reference).all(axis=-1))
    if clues.evidence.inside is not None:
        known = known & clues.evidence.inside
    if known.sum() < 5:
        return None
    aim, measured = clues.reference[known], clues.evidence.measured[known]
    return known, measured - aim, delta_e_2000(aim, measured)


def print_step_small(clues: Clues) -> Answer:
    step = _step(clues)
    return None if step is None or clues.expected is None else bool(step[2].mean() < 2.0)


def print_step_one_way(clues: Clues) -> Answer:
    """Above 2 dE00 on average, more than two thirds of it a shift that all patches share."""
    step = _step(clues)
    if step is None or clues.expected is None:
        return None
    _, gap, distance = step
    shared = np.linalg.norm(gap.mean(axis=0)) / np.linalg.norm(gap, axis=1).mean()
    return bool(distance.mean() > 2.0 and shared > 0.67)


def print_step_small_outside(clues: Clues) -> Answer:
    evidence = clues.evidence
    if evidence is None or evidence.inside is None or evidence.expected is None:
        return None
    outside = ~evidence.inside & np.isfinite(evidence.expected).all(axis=-1)
    if not outside.any():
        return None
    return bool(delta_e_2000(evidence.expected[outside], evidence.measured[outside]).mean() < 2.0)


def stronger_and_shifted(clues: Clues) -> Answer:
    step = _step(clues)
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
    ratios = _solid_ratios(clues)
    return None if ratios is None else bool(np.median(ratios) < 0.8 or ratios.std() > 0.25)


def scale_shifted_hue_steady(clues: Clues) -> Answer:
    step = _step(clues)
    if step is None or clues.evidence is None or clues.reference is None:
        return None
    known, gap, _ = step
    middle = (clues.reference[known][:, 0] > 25) & (clues.reference[known][:, 0] < 90)
    if middle.sum() < 5:
        return None
    lean = np.hypot(*gap[middle, 1:].mean(axis=0))
    return bool(abs(gap[middle, 0].mean()) > 1.0 and lean < 1.0)


def offset_grows_to_the_lights(clues: Clues) -> Answer:
    """b* or L* of the greys off by a step that grows with lightness and keeps its sign."""
    step = _step(clues)
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


# --- greys ------------------------------------------------------------------------------------------------


def _thirds(clues: Clues) -> dict[int, Array] | None:
    """Mean (da*, db*) of each third of the greys."""
    if clues.evidence is None or not clues.evidence.cast_has_aim:
        return None
    own = _only(clues, clues.rows(*_GREY_KINDS))
    if own is None or not counted(own).any():
        return None
    means, _, present = third_shifts(own)
    return {t: means[index] for index, t in enumerate(present)}


def _lean(shift: Array) -> float:
    return float(np.hypot(*shift))


def greys_off_with_lightness(clues: Clues) -> Answer:
    third = _thirds(clues)
    if third is None or len(third) < 2:
        return None
    apart = max(_lean(a - b) for a in third.values() for b in third.values())
    return apart > clues.tables["crossover_named"]


def greys_fine_colours_alike(clues: Clues) -> Answer:
    third, ratios = _thirds(clues), _solid_ratios(clues)
    if third is None or ratios is None:
        return None
    fine = max(_lean(shift) for shift in third.values()) < 1.0
    return bool(fine and abs(np.median(ratios) - 1) > 0.1 and ratios.std() < 0.15)


def greys_shifted_colours_fit(clues: Clues) -> Answer:
    step, ratios = _step(clues), _solid_ratios(clues)
    if step is None or ratios is None or clues.reference is None:
        return None
    known, gap, _ = step
    grey = chroma(clues.reference[known]) < 5
    return bool(grey.any() and abs(gap[grey, 0].mean()) > 2 and abs(np.median(ratios) - 1) < 0.07)


def cast_of_the_lights(clues: Clues) -> Answer:
    third = _thirds(clues)
    if third is None or set(third) != {0, 1, 2}:
        return None
    named = clues.tables["cast_named"]
    return _lean(third[2]) >= named and _lean(third[0]) < named and _lean(third[2]) > 1.5 * _lean(third[0])


def cast_below_the_lights(clues: Clues) -> Answer:
    third = _thirds(clues)
    if third is None or set(third) != {0, 1, 2}:
        return None
    named = clues.tables["cast_named"]
    return _lean(third[0]) >= named and _lean(third[1]) >= named


def cast_in_part_ends_clean(clues: Clues) -> Answer:
    third = _thirds(clues)
    if third is None or clues.evidence is None:
        return None
    named = clues.tables["cast_named"]
    leaning = sum(_lean(shift) >= named for shift in third.values())
    black = clues.evidence.black
    clean = black is None or float(chroma(black)) < 2.0
    return 0 < leaning < 3 and clean and not profile_white_differs(clues)


def _expected_lean(clues: Clues) -> float | None:
    """How far what the profile expects leans in its greys, media-relative dCh, worst third."""
    evidence = clues.evidence
    if evidence is None or evidence.expected is None:
        return None
    own = _only(clues, clues.rows(*_GREY_KINDS))
    if own is None or own.expected is None or not counted(own).any():
        return None
    mask, third = counted(own), thirds(own)
    groups = [mask & (third == t) for t in range(3) if (mask & (third == t)).any()]
    return max(_lean(own.expected[group, 1:].mean(axis=0)) for group in groups)


def expected_neutral(clues: Clues) -> Answer:
    lean = _expected_lean(clues)
    return None if lean is None else lean < clues.tables["cast_named"]


def expected_leans_too(clues: Clues) -> Answer:
    lean = _expected_lean(clues)
    return None if lean is None else lean >= clues.tables["cast_named"]


def greys_part_under_light(clues: Clues) -> Answer:
    found = [
        metric.value
        for finding in clues.kind(*_GREY_KINDS)
        for metric in finding.metrics
        if metric.name == "light_shift_differential"
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


# --- black and shadows ------------------------------------------------------------------------------------


def _densities(clues: Clues) -> tuple[float, float] | None:
    """Expected and printed density of the black, relative to paper; only where a profile expects one."""
    if clues.evidence is None or clues.evidence.black is None or clues.expected is None:
        return None
    printed = float(luminance(clues.evidence.black))
    expected = clues.expected.black_y / 100
    if min(printed, expected) <= 0:
        return None
    return -float(np.log10(expected)), -float(np.log10(printed))


def black_weak(clues: Clues) -> Answer:
    both = _densities(clues)
    return None if both is None else both[0] - both[1] > 0.2


def black_differs_much(clues: Clues) -> Answer:
    both = _densities(clues)
    return None if both is None else abs(both[0] - both[1]) > 0.3


def black_as_expected(clues: Clues) -> Answer:
    both = _densities(clues)
    return None if both is None else abs(both[0] - both[1]) <= 0.1


def black_of_a_bare_side(clues: Clues) -> Answer:
    both = _densities(clues)
    return None if both is None else both[0] > 1.9 and both[1] < 1.4


def _kept(clues: Clues) -> Array | None:
    """Measured over aimed step of the shadow strip."""
    own = _only(clues, clues.rows(*_SHADOW_KINDS))
    if own is None:
        return None
    limits = own.limits
    wedge = steps(own, limits.shadow_from, limits.shadow_to)
    return None if wedge is None else np.asarray(wedge.ratios)


def _least(ratios: Array) -> float:
    """Least mean of three neighbours."""
    width = min(3, ratios.size)
    return float(np.lib.stride_tricks.sliding_window_view(ratios, width).mean(axis=-1).min())


def kept_share_near_one(clues: Clues) -> Answer:
    kept = _kept(clues)
    return None if kept is None else _least(kept) > 0.85


def kept_share_low(clues: Clues) -> Answer:
    kept = _kept(clues)
    return None if kept is None else _least(kept) < 0.6


def shadows_open(clues: Clues) -> Answer:
    kept = _kept(clues)
    return None if kept is None else _least(kept) > 0.75


def shadows_lost_from_the_bottom(clues: Clues) -> Answer:
    """Kept share near 0 up to some step, near 1 from there on."""
    kept = _kept(clues)
    if kept is None or kept.size < 4:
        return None
    lost = kept < 0.25
    count = int(np.logical_and.accumulate(lost).sum())
    return 0 < count < kept.size - 2 and float(kept[count + 1 :].mean()) > 0.8


def small_contrast_kept_share(clues: Clues) -> Answer:
    kept = _kept(clues)
    own = _only(clues, clues.rows(*_SHADOW_KINDS))
    if kept is None or own is None:
        return None
    order = np.argsort(own.source_l)
    Y = luminance(own.measured[order])
    small = float(np.median(contrast(Y[:-1], Y[1:], own.limits.flare))) < 2.5 * own.limits.shadow_contrast
    return _least(kept) > 0.8 and small


def blocked_though_dark(clues: Clues) -> Answer:
    kept, both = _kept(clues), _densities(clues)
    if kept is None:
        return None
    reversal = bool((kept < -0.1).any())
    full = both is not None and both[1] >= both[0] - 0.1
    return reversal or (_least(kept) < 0.5 and full)


def _expected_kept(clues: Clues) -> float | None:
    own = _only(clues, clues.rows(*_SHADOW_KINDS))
    if own is None or own.expected is None:
        return None
    from dataclasses import replace

    limits = own.limits
    wedge = steps(replace(own, measured=own.expected), limits.shadow_from, limits.shadow_to)
    return None if wedge is None else _least(np.asarray(wedge.ratios))


def expected_blocked(clues: Clues) -> Answer:
    least = _expected_kept(clues)
    return None if least is None else least < 0.6


def expected_open_read_blocked(clues: Clues) -> Answer:
    expected, kept = _expected_kept(clues), _kept(clues)
    return None if expected is None or kept is None else expected > 0.75 and _least(kept) < 0.6


# --- strong colours ---------------------------------------------------------------------------------------


def _solids(clues: Clues) -> tuple[Array, Array] | None:
    """Reference and measured (k, 3) of the strongest patch of each ramp, inside the gamut where known."""
    own = _only(clues, clues.rows("saturation"))
    if own is None or clues.reference is None:
        return None
    reference = own.aim if own.expected is None else own.expected
    strongest: dict[str, int] = {}
    for k, patch in enumerate(own.patches):
        usable = np.isfinite(reference[k]).all() and (own.inside is None or own.inside[k])
        name = patch.series or patch.id
        if usable and (name not in strongest or chroma(reference[k]) > chroma(reference[strongest[name]])):
            strongest[name] = k
    rows = [k for k in strongest.values() if chroma(reference[k]) > own.limits.hue_least_chroma]
    if len(rows) < 4:
        return None
    return reference[rows], own.measured[rows]


def _solid_ratios(clues: Clues) -> Array | None:
    solids = _solids(clues)
    return None if solids is None else np.asarray(chroma(solids[1]) / chroma(solids[0]))


def solids_weak_alike(clues: Clues) -> Answer:
    ratios = _solid_ratios(clues)
    return None if ratios is None else bool(np.median(ratios) < 0.93 and np.mean(ratios < 0.97) > 0.75)


def solids_reach_chroma(clues: Clues) -> Answer:
    ratios = _solid_ratios(clues)
    return None if ratios is None else bool(np.percentile(ratios, 10) > 0.95)


def one_hue_weak_complement_in_greys(clues: Clues) -> Answer:
    """One family of hues well below the others, and the greys lean away from it."""
    solids, third = _solids(clues), _thirds(clues)
    if solids is None or third is None:
        return None
    ratios = chroma(solids[1]) / chroma(solids[0])
    weakest = int(ratios.argmin())
    if ratios[weakest] > np.median(ratios) - 0.08:
        return False
    hue = solids[0][weakest, 1:] / chroma(solids[0][weakest])
    lean = max(third.values(), key=_lean)
    return _lean(lean) >= clues.tables["cast_named"] and float(lean @ hue) < -0.5 * _lean(lean)


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
    own = _only(clues, clues.rows("saturation"))
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
    found = _collapsed(clues)
    return None if found is None else bool(found[0].any() and not (found[0] * found[1]).any())


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
    own = _only(clues, clues.rows("saturation"))
    if own is None or own.expected is None:
        return None
    aim = own.aim if own.source_aim is None else own.source_aim
    known = np.isfinite(aim).all(axis=-1) & np.isfinite(own.expected).all(axis=-1)
    if not known.any():
        return None
    return float(np.percentile(chroma(own.expected[known]) - chroma(aim[known]), 90))


# --- paper, whitener, repeats -----------------------------------------------------------------------------


def _paper_gap(clues: Clues) -> float | None:
    if clues.paper is None or clues.expected is None or clues.expected.paper_lab is None:
        return None
    return float(delta_e_2000(clues.expected.paper_lab, clues.paper))


def profile_white_differs(clues: Clues) -> Answer:
    gap = _paper_gap(clues)
    return None if gap is None else gap > 3.0


def profile_white_differs_a_little(clues: Clues) -> Answer:
    gap = _paper_gap(clues)
    return None if gap is None else gap > 1.0


def profile_white_matches(clues: Clues) -> Answer:
    gap = _paper_gap(clues)
    return None if gap is None else gap <= 1.5


def paper_and_black_match(clues: Clues) -> Answer:
    paper, black = profile_white_matches(clues), black_as_expected(clues)
    return None if paper is None or black is None else paper and black


def paper_dark_fading_with_ink(clues: Clues) -> Answer:
    """Paper darker than the profile's by 0.5 to 2 L*."""
    if clues.paper is None or clues.expected is None or clues.expected.paper_lab is None:
        return None
    drop = float(clues.expected.paper_lab[0] - clues.paper[0])
    return 0.5 <= drop <= 2.0


def _whitener(clues: Clues) -> float | None:
    """b* of bare paper, M2 minus M1 (M0 for want of M1)."""
    if clues.paper is None:
        return None
    papers = {patch.id for patch in clues.sheet.patches if patch.role == "paper"}
    b: dict[str, float] = {}
    for taken in clues.takens:
        rows = [row for patch_id in papers for row in taken.matched.get(patch_id, ())]
        condition = taken.run.stated.condition
        if rows and condition is not None:
            b[condition] = float(colours(taken.run).lab_d50[rows, 2].mean())
    ultraviolet = b.get("M1", b.get("M0"))
    return None if "M2" not in b or ultraviolet is None else b["M2"] - ultraviolet


def whitener_strong(clues: Clues) -> Answer:
    db = _whitener(clues)
    return None if db is None else db > clues.tables["whitener_caution"]


def whitener_weak(clues: Clues) -> Answer:
    db = _whitener(clues)
    return None if db is None else db < 1.0


def rows_look_swapped(clues: Clues) -> Answer:
    remarks = [remark for taken in clues.takens for remark in taken.remarks]
    return any("swapped" in remark or "shifted" in remark for remark in remarks)


def neighbours_far_apart(clues: Clues) -> Answer:
    """An outlier between two neighbours of one series that lie where they should."""
    step = _step(clues)
    return None if step is None else bool(step[2].max() > max(10.0, 6 * np.median(step[2])))


def no_outlier(clues: Clues) -> Answer:
    step = _step(clues)
    return None if step is None else bool(step[2].max() <= max(3 * np.median(step[2]), 2.0))


def duplicates_disagree(clues: Clues) -> Answer:
    found = [taken.repeats.largest for taken in clues.takens if taken.repeats.largest is not None]
    return max(found) > 5.0 if found else None


def _noise(clues: Clues) -> float | None:
    """Mean distance of repeats from their mean, corrected for their small number."""
    found = [
        taken.repeats.mcdm
        * (taken.repeats.readings / max(taken.repeats.readings - taken.repeats.patches, 1)) ** 0.5
        for taken in clues.takens
        if taken.repeats.mcdm is not None
    ]
    return max(found) if found else None


def repeats_noisy(clues: Clues) -> Answer:
    noise = _noise(clues)
    return None if noise is None else noise > 0.5


def drift_in_reading_order(clues: Clues) -> Answer:
    """L* off the reference follows the order of the rows."""
    trend = _trend(clues)
    return None if trend is None else abs(trend) > 0.5


def repeats_quiet_no_drift(clues: Clues) -> Answer:
    noise, trend = _noise(clues), _trend(clues)
    return None if noise is None else noise < 0.2 and (trend is None or abs(trend) < 0.3)


def _trend(clues: Clues) -> float | None:
    """Correlation of the departure in L* with the place in the file, lightness itself taken out."""
    if clues.evidence is None or clues.reference is None or clues.gathered is None:
        return None
    run = clues.gathered.pool.runs[0]
    place = {patch_id: rows[0] for patch_id, rows in run.matched.items()}
    rows = [k for k, patch in enumerate(clues.evidence.patches) if patch.id in place]
    reference, measured = clues.reference[rows], clues.evidence.measured[rows]
    known = np.isfinite(reference).all(axis=-1)
    if known.sum() < 20:
        return None
    order = np.array([place[clues.evidence.patches[k].id] for k in rows], dtype=np.float64)[known]
    off = (measured - reference)[known, 0]
    design = np.column_stack([np.ones(known.sum()), reference[known], reference[known, 0] ** 2])
    left = off - design @ np.linalg.lstsq(design, off, rcond=None)[0]
    if left.std() < 1e-6:
        return 0.0
    return float(np.corrcoef(order, left)[0, 1])


def readings_smooth(clues: Clues) -> Answer:
    found = [
        metric.value
        for finding in clues.findings.values()
        for metric in finding.metrics
        if metric.name in ("evenness", "gradient_jump")
    ]
    return max(found) < 0.2 if found else None


def tints_spread(clues: Clues) -> Answer:
    found = [
        metric.value
        for finding in clues.kind("tints")
        for metric in finding.metrics
        if metric.name == "across_sheet"
    ]
    return found[0] > 1.0 if found else None


def _only(clues: Clues, rows: Mask) -> Evidence | None:
    if clues.evidence is None or not rows.any():
        return None
    return chosen(clues.evidence, np.flatnonzero(rows).tolist())
