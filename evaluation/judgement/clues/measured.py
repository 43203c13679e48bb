"""Clues that compare a measured difference with what sheets differ by, before anyone sees it.

Each answers True, False, or None where the session cannot tell. What another sheet of the same process
differs by is a setting (`sheet_mean`, `sheet_worst`). Other limits: `tables/clues.toml`.
"""

from typing import Final

import numpy as np

from evaluation.colorimetry.lab import xyz_from_lab
from evaluation.judgement.clues.circumstances import light_without_uv, profile_read_otherwise
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.measures import beyond_sheets
from evaluation.judgement.clues.paper import whitener
from evaluation.judgement.clues.shadows import NEIGHBOURS, SHADOW_KINDS, least_of_three
from evaluation.metrics.evidence import Array

_ROUNDS: Final = 10  # of reweighting: the line no longer moves then


def loss_fades_with_ink(clues: Clues) -> Answer:
    """Whether bare paper is darker than the profile's by light that a dark backing takes.

    A backing takes light in proportion to what the sheet reflects: most on bare paper, none in the shadows. A
    darker paper takes the same share everywhere, other inks none of the paper's.
    """
    lost = _lost_with_ink(clues)
    return None if lost is None else lost > 0


def gain_fades_with_ink(clues: Clues) -> Answer:
    """Whether bare paper is lighter, as if the profile was read on a dark backing and the print was not."""
    lost = _lost_with_ink(clues)
    return None if lost is None else lost < 0


def _lost_with_ink(clues: Clues) -> float | None:
    """Share of light lost on bare paper where the loss fades with ink as a backing makes it; else 0."""
    evidence, papers = clues.evidence, _papers(clues)
    if papers is None or evidence is None or evidence.predicted is None or evidence.comparison == "absolute":
        return None
    if abs(papers[0][0] - papers[1][0]) < clues.tables["paper_darker"]:
        return 0.0
    was, now = (float(xyz_from_lab(lab)[1]) for lab in papers)
    known = np.isfinite(evidence.predicted).all(axis=1)
    bright = xyz_from_lab(evidence.predicted[known])[:, 1] / 100
    left = xyz_from_lab(evidence.absolute[known])[:, 1] / (bright * was)
    usable = bright > clues.tables["backing_bright"]
    if usable.sum() < clues.tables["backing_patches"]:
        return None
    design = np.column_stack([np.ones(usable.sum()), -bright[usable]])
    base, fading = _steady_line(design, left[usable], clues.tables["outlier_distance"])
    lost, share = 1.0 - now / was, clues.tables["backing_fades"]
    fades = fading / lost > share and abs(base - 1.0) < share * abs(lost)
    return lost if fades else 0.0


def paper_of_another_colour(clues: Clues) -> Answer:
    """Whether the paper has another colour than the profile's, by more than lots differ (`paper_colour`).

    It does not count where another backing or measurement condition of the profiling data would explain it.
    """
    papers = _papers(clues)
    if papers is None:
        return None
    apart = float(np.hypot(*(papers[0] - papers[1])[1:]))
    return apart > clues.tables["paper_colour"] and profile_read_otherwise(clues) is not True


def read_otherwise_paper_off(clues: Clues) -> Answer:
    """Whether profiling data were read otherwise, and the paper differs by more than sheets do."""
    papers, otherwise = _papers(clues), profile_read_otherwise(clues)
    if papers is None or otherwise is None:
        return None
    return otherwise and beyond_sheets(clues, float(np.linalg.norm(papers[0] - papers[1])))


def light_lacks_ultraviolet(clues: Clues) -> Answer:
    """Whether the viewing light holds no ultraviolet, and the paper is yellower without (`cast_named`)."""
    db, without = whitener(clues), light_without_uv(clues)
    return None if db is None or without is None else without and db > clues.tables["cast_named"]


def misfit_behind_the_print(clues: Clues) -> Answer:
    """Whether the profile misses its own data by more than sheets differ, and the print departs unevenly."""
    fit, found = clues.profile.fit_median, clues.inks
    if fit is None or found is None or clues.evidence is None:
        return None
    noise = clues.evidence.reading_noise
    return fit > clues.tables["sheet_mean"] and found.usual > clues.tables["misfit_noise"] * noise


def shadows_darker_as_expected(clues: Clues) -> Answer:
    """Whether three neighbouring shadow steps are expected and printed darker than aimed, beyond sheets."""
    evidence, rows = clues.evidence, np.flatnonzero(clues.rows(*SHADOW_KINDS))
    if evidence is None or evidence.predicted is None or len(rows) < NEIGHBOURS:
        return None
    rows = rows[np.argsort(evidence.source_l[rows])]
    darker = [
        -least_of_three(colours[rows, 0] - evidence.aim[rows, 0])
        for colours in (evidence.predicted, evidence.measured)
    ]
    return all(np.isfinite(off) and beyond_sheets(clues, off) for off in darker)


def _papers(clues: Clues) -> tuple[Array, Array] | None:
    """Absolute CIELAB of the paper as the profile knows it, and as it was read."""
    if clues.paper is None or clues.expected is None or clues.expected.paper_lab is None:
        return None
    return clues.expected.paper_lab, clues.paper


def _steady_line(design: Array, values: Array, far: float) -> Array:
    """(2,) least squares; rows further off than `far` median distances weigh less."""
    weight = np.ones(len(values))
    for _ in range(_ROUNDS):
        root = np.sqrt(weight)
        line = np.linalg.lstsq(design * root[:, None], values * root, rcond=None)[0]
        off = np.abs(values - design @ line)
        weight = 1.0 / np.maximum(1.0, off / max(far * float(np.median(off)), 1e-6)) ** 2
    return np.asarray(line)
