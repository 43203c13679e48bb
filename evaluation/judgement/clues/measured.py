"""Clues that hold a measured difference against what sheets differ by anyhow, before anyone sees it.

Each answers True, False, or None: the session does not tell. What another sheet of the same process differs
by is a setting (`sheet_mean`, `sheet_worst`). Other limits are the project's own choice.
"""

from typing import Final

import numpy as np

from evaluation.colorimetry.lab import xyz_from_lab
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.measures import beyond_sheets
from evaluation.judgement.clues.paper import whitener
from evaluation.judgement.clues.said import light_without_uv, profile_read_otherwise
from evaluation.judgement.clues.shadows import SHADOW_KINDS, least_of_three
from evaluation.metrics.evidence import Array

_DARK: Final = 0.05  # of the paper's light: below it stray light counts
_DARKER: Final = 0.5  # L* of bare paper at least; the test itself tells a backing from another paper
_OTHER_COLOUR: Final = 2.5  # a*b* of bare paper
_LEAST_ROWS: Final = 20
_MISFIT: Final = 2.0  # times the noise of reading, the print's usual distance from what is expected


def loss_fades_with_ink(clues: Clues) -> Answer:
    """Light is lost in proportion to what the sheet sends back: all of it on bare paper, none in the darks.

    So it is with a dark backing. A darker paper loses the same share everywhere, other inks none on paper.
    """
    lost = _lost_with_ink(clues)
    return None if lost is None else lost > 0


def gain_fades_with_ink(clues: Clues) -> Answer:
    """The reverse: the readings behind the profile lay on a dark backing, the print does not."""
    lost = _lost_with_ink(clues)
    return None if lost is None else lost < 0


def _lost_with_ink(clues: Clues) -> float | None:
    """Share of light lost on bare paper where the loss fades with ink as a backing makes it; else 0."""
    evidence, papers = clues.evidence, _papers(clues)
    if papers is None or evidence is None or evidence.predicted is None or evidence.comparison == "absolute":
        return None
    if abs(papers[0][0] - papers[1][0]) < _DARKER:
        return 0.0
    was, now = (float(xyz_from_lab(lab)[1]) for lab in papers)
    known = np.isfinite(evidence.predicted).all(axis=1)
    bright = xyz_from_lab(evidence.predicted[known])[:, 1] / 100
    left = xyz_from_lab(evidence.absolute[known])[:, 1] / (bright * was)
    usable = bright > _DARK
    if usable.sum() < _LEAST_ROWS:
        return None
    base, fading = _steady_line(np.column_stack([np.ones(usable.sum()), -bright[usable]]), left[usable])
    lost = 1.0 - now / was
    fades = fading / lost > 0.5 and abs(base - 1.0) < 0.5 * abs(lost)
    return lost if fades else 0.0


def paper_of_another_colour(clues: Clues) -> Answer:
    """By more than lots of one paper differ, where neither backing nor condition explains it."""
    papers = _papers(clues)
    if papers is None:
        return None
    apart = float(np.hypot(*(papers[0] - papers[1])[1:]))
    return apart > _OTHER_COLOUR and profile_read_otherwise(clues) is not True


def read_otherwise_paper_off(clues: Clues) -> Answer:
    """Profiling data of another condition or backing, and a paper that differs by more than sheets do."""
    papers, otherwise = _papers(clues), profile_read_otherwise(clues)
    if papers is None or otherwise is None:
        return None
    return otherwise and beyond_sheets(clues, float(np.linalg.norm(papers[0] - papers[1])))


def light_lacks_ultraviolet(clues: Clues) -> Answer:
    """The viewing light holds none, and without it b* of the paper moves by what a cast is named from."""
    db, without = whitener(clues), light_without_uv(clues)
    return None if db is None or without is None else without and db > clues.tables["cast_named"]


def misfit_behind_the_print(clues: Clues) -> Answer:
    """The profile misses its own data by more than sheets differ, and the print misses it as unevenly."""
    fit, found = clues.profile.fit_median, clues.inks
    if fit is None or found is None or clues.evidence is None:
        return None
    noise = float(np.sqrt(np.trace(clues.evidence.covariance)))
    return fit > clues.tables["sheet_mean"] and found.usual > _MISFIT * noise


def shadows_darker_as_expected(clues: Clues) -> Answer:
    """Three neighbouring shadow steps, expected and printed, darker than aimed by more than sheets differ."""
    evidence, rows = clues.evidence, np.flatnonzero(clues.rows(*SHADOW_KINDS))
    if evidence is None or evidence.predicted is None or len(rows) < 3:
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


def _steady_line(design: Array, values: Array) -> Array:
    """(2,) least squares with rows far off weighing less."""
    weight = np.ones(len(values))
    for _ in range(10):
        root = np.sqrt(weight)
        line = np.linalg.lstsq(design * root[:, None], values * root, rcond=None)[0]
        off = np.abs(values - design @ line)
        weight = 1.0 / np.maximum(1.0, off / max(2.0 * float(np.median(off)), 1e-6)) ** 2
    return np.asarray(line)
