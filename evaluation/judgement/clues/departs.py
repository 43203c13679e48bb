"""Whether anything measurable is worth looking for causes, before any hypothesis goes through Little CMS.

This names no cause; it only spares the work on prints that are what they should be.
"""

from typing import Final

import numpy as np

from evaluation.judgement.clues.circumstances import profile_patches_moved
from evaluation.judgement.clues.facts import Clues, places
from evaluation.judgement.clues.readings import repeats_noisier_than_usual

# Clues that need no hypothesis, by name: single readings, the paper, the light, what the profile expects.
ALONE: Final = (
    "readings_fit_exchanged",
    "light_lacks_ultraviolet",
    "read_otherwise_paper_off",
    "loss_fades_with_ink",
    "gain_fades_with_ink",
    "shadows_darker_as_expected",
)


def print_off(clues: Clues) -> bool:
    """Whether the print is off from what is expected, or from the aim, on average or in its worst patches.

    The limits are what sheets differ by (`sheet_mean`, `sheet_worst`). Unsteady readings and a machine that
    has moved count as well. Single patches do not (`departs_patches`): no hypothesis about the whole print
    explains them.
    """
    if repeats_noisier_than_usual(clues) or profile_patches_moved(clues) or _drifts(clues):
        return True
    evidence, tables = clues.evidence, clues.tables
    if evidence is None or evidence.predicted is None:
        return False
    mean, worst = tables["sheet_mean"], tables["sheet_worst"]
    inside = np.ones(len(evidence.aim), bool) if evidence.inside is None else evidence.inside
    for wanted, most in ((evidence.predicted, tables["departs_expected"] * worst), (evidence.aim, worst)):
        off = np.linalg.norm(evidence.measured - wanted, axis=1)[inside]
        known = np.isfinite(off)
        off = np.sort(off[known])[: int(tables["departs_patches"] * known.sum())]
        if off.size and (off.mean() > mean or off[-1] > most):
            return True
    return False


def _drifts(clues: Clues) -> bool:
    """Whether lightness follows the order of reading, by a plain slope: inks are not yet looked at."""
    evidence, place, tables = clues.evidence, places(clues), clues.tables
    if evidence is None or evidence.predicted is None or place is None:
        return False
    # dY/Y = 3 dL* / (L* + 16): L* is a cube root.
    off = 3.0 * (evidence.measured - evidence.predicted)[:, 0] / (evidence.measured[:, 0] + 16.0)
    known = np.isfinite(off)
    if known.sum() < tables["drift_patches"]:
        return False
    order = place[known] - place[known].mean()
    single = tables["drift_single"]
    slope = float(order @ np.clip(off[known], -single, single)) / max(float(order @ order), 1e-9)
    return abs(slope) > tables["warming"]
