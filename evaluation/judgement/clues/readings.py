"""Clues in the act of reading: swapped rows, repeats, drift, smoothness.

Each answers True, False, or None where the session cannot tell. Limits: `tables/clues.toml`.
"""

import numpy as np

from evaluation.judgement.clues.exchanged import readings_fit_exchanged
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.measures import print_step
from evaluation.readings.match import oddities


def rows_look_swapped(clues: Clues) -> Answer:
    """Whether rows of the runs that judge seem swapped or shifted.

    Tables of other measurement conditions come from the same strokes and would only repeat it.
    """
    if readings_fit_exchanged(clues):
        return True
    judging = () if clues.gathered is None else clues.gathered.pool.runs
    remarks = [remark for taken in judging for remark in oddities(taken, clues.sheet)]
    return any("swapped" in remark or "shifted" in remark for remark in remarks)


def neighbours_far_apart(clues: Clues) -> Answer:
    """Whether a patch lies far off (`neighbour_far`) while both neighbours in its ramp do not."""
    step = print_step(clues)
    if step is None or clues.evidence is None:
        return None
    known, _, distance = step
    off: dict[tuple[str, str, int], float] = {}
    for row, value in zip(np.flatnonzero(known), distance, strict=True):
        patch = clues.evidence.patches[int(row)]
        if patch.step is not None:
            off[patch.region, patch.series, patch.step] = float(value)
    far = max(clues.tables["neighbour_far"], clues.tables["neighbour_times"] * float(np.median(distance)))
    near = clues.tables["neighbour_near"] * far
    return any(
        value > far and all(off.get((region, series, at), np.inf) < near for at in (place - 1, place + 1))
        for (region, series, place), value in off.items()
    )


def no_outlier(clues: Clues) -> Answer:
    """Whether no reading lies far off by itself (`outlier_times`, `outlier_least`)."""
    step = print_step(clues)
    if step is None:
        return None
    limit = max(clues.tables["outlier_times"] * np.median(step[2]), clues.tables["outlier_least"])
    return bool(step[2].max() <= limit)


def duplicates_disagree(clues: Clues) -> Answer:
    """Whether some duplicate lies further from its mean than `duplicates_apart`."""
    found = [taken.repeats.largest for taken in clues.takens if taken.repeats.largest is not None]
    return max(found) > clues.tables["duplicates_apart"] if found else None


def _noise(clues: Clues) -> float | None:
    """Mean dE*ab of repeats from their mean, corrected for their small number by sqrt(n / (n - 1))."""
    found = [
        taken.repeats.mcdm
        * (taken.repeats.readings / max(taken.repeats.readings - taken.repeats.patches, 1)) ** 0.5
        for taken in clues.takens
        if taken.repeats.mcdm is not None
    ]
    return max(found) if found else None


def repeats_noisy(clues: Clues) -> Answer:
    """Whether duplicates are noisy (`repeats_noisy`)."""
    noise = _noise(clues)
    return None if noise is None else noise > clues.tables["repeats_noisy"]


def repeats_noisier_than_usual(clues: Clues) -> Answer:
    """Whether duplicates spread more than readings usually do (`repeats_noisier` times `reading_sd`)."""
    if clues.gathered is None or not clues.gathered.pool.repeats_known:
        return None
    spread = float(np.sqrt(np.trace(clues.gathered.pool.mean_covariance) / 3))
    return spread > clues.tables["repeats_noisier"] * clues.tables["reading_sd"]


def brightness_drifts(clues: Clues) -> Answer:
    """Whether colours are brighter, or darker, the later they were read, inks apart (`warming`)."""
    found = clues.inks
    if found is None or not np.isfinite(found.warming_error):
        return None
    return abs(found.warming) > max(
        clues.tables["warming"], clues.tables["warming_sure"] * found.warming_error
    )


def drift_in_reading_order(clues: Clues) -> Answer:
    """Whether the departure in L* follows the order of reading (`drift_correlation`)."""
    trend = _trend(clues)
    return None if trend is None else abs(trend) > clues.tables["drift_correlation"]


def repeats_quiet_no_drift(clues: Clues) -> Answer:
    """Whether duplicates are quiet (`repeats_quiet`) and nothing drifts."""
    noise, trend = _noise(clues), _trend(clues)
    if noise is None or trend is None:
        return None
    return noise < clues.tables["repeats_quiet"] and abs(trend) < clues.tables["no_drift_correlation"]


def _trend(clues: Clues) -> float | None:
    """Correlation of the departure in L* with the place in the file, lightness itself taken out."""
    if clues.evidence is None or clues.reference is None or clues.gathered is None:
        return None
    run = clues.gathered.pool.runs[0]
    place = {patch_id: rows[0] for patch_id, rows in run.matched.items()}
    rows = [k for k, patch in enumerate(clues.evidence.patches) if patch.id in place]
    reference, measured = clues.reference[rows], clues.evidence.measured[rows]
    known = np.isfinite(reference).all(axis=-1)
    if known.sum() < clues.tables["drift_rows"]:
        return None
    order = np.array([place[clues.evidence.patches[k].id] for k in rows], dtype=np.float64)[known]
    off = (measured - reference)[known, 0]
    design = np.column_stack([np.ones(known.sum()), reference[known], reference[known, 0] ** 2])
    left = off - design @ np.linalg.lstsq(design, off, rcond=None)[0]
    if left.std() < 1e-6:
        return 0.0
    return float(np.corrcoef(order, left)[0, 1])


def readings_smooth(clues: Clues) -> Answer:
    """Whether greys and gradients were read as smooth (`readings_smooth`)."""
    found = [
        metric.value
        for finding in clues.findings.values()
        for metric in finding.metrics
        if metric.name in ("evenness", "gradient_jump")
    ]
    return max(found) < clues.tables["readings_smooth"] if found else None


def tints_spread(clues: Clues) -> Answer:
    """Whether equal tints differ over the sheet (`tints_apart`)."""
    found = [
        metric.value
        for finding in clues.kind("tints")
        for metric in finding.metrics
        if metric.name == "across_sheet"
    ]
    return found[0] > clues.tables["tints_apart"] if found else None
