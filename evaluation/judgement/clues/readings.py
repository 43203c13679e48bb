"""Clues in the act of reading: swapped rows, repeats, drift, smoothness.

Each answers True, False, or None: the session does not tell. Limits are the project's own choice.
"""

from typing import Final

import numpy as np

from evaluation.judgement.clues.exchanged import readings_fit_exchanged
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.measures import print_step
from evaluation.readings.match import oddities

_NOISIER: Final = 1.5  # times the usual spread of readings
WARMING: Final = 0.015  # change of brightness over one run: half a unit of L* on paper
_SURE: Final = 4.0  # standard errors


def rows_look_swapped(clues: Clues) -> Answer:
    """In the runs that judge: tables of other conditions come from the same strokes."""
    if readings_fit_exchanged(clues):
        return True
    judging = () if clues.gathered is None else clues.gathered.pool.runs
    remarks = [remark for taken in judging for remark in oddities(taken, clues.sheet)]
    return any("swapped" in remark or "shifted" in remark for remark in remarks)


def neighbours_far_apart(clues: Clues) -> Answer:
    """A patch far off between two neighbours of its ramp that lie where they should."""
    step = print_step(clues)
    if step is None or clues.evidence is None:
        return None
    known, _, distance = step
    off: dict[tuple[str, str, int], float] = {}
    for row, value in zip(np.flatnonzero(known), distance, strict=True):
        patch = clues.evidence.patches[int(row)]
        if patch.step is not None:
            off[patch.region, patch.series, patch.step] = float(value)
    far = max(10.0, 6 * float(np.median(distance)))
    return any(
        value > far and all(off.get((region, series, at), np.inf) < far / 2 for at in (place - 1, place + 1))
        for (region, series, place), value in off.items()
    )


def no_outlier(clues: Clues) -> Answer:
    step = print_step(clues)
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


def repeats_noisier_than_usual(clues: Clues) -> Answer:
    """Against the spread that the settings give for readings whose own is not known."""
    if clues.gathered is None or not clues.gathered.pool.repeats_known:
        return None
    spread = float(np.sqrt(np.trace(clues.gathered.pool.covariance) / 3))
    return spread > _NOISIER * clues.tables["reading_sd"]


def brightness_drifts(clues: Clues) -> Answer:
    """All colours brighter, or all darker, the later they were read, whatever the inks explain."""
    found = clues.inks
    if found is None or not np.isfinite(found.warming_error):
        return None
    return abs(found.warming) > max(WARMING, _SURE * found.warming_error)


def drift_in_reading_order(clues: Clues) -> Answer:
    """L* off the reference follows the order of the rows."""
    trend = _trend(clues)
    return None if trend is None else abs(trend) > 0.5


def repeats_quiet_no_drift(clues: Clues) -> Answer:
    noise, trend = _noise(clues), _trend(clues)
    return None if noise is None or trend is None else noise < 0.2 and abs(trend) < 0.3


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
