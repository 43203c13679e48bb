"""Whether anything measurable is worth a look for causes, told before a hypothesis goes through Little CMS.

This names nothing; it only spares the work on prints that are what they should be.
"""

from typing import Final

import numpy as np

from evaluation.judgement.clues.facts import Clues, places
from evaluation.judgement.clues.readings import WARMING, repeats_noisier_than_usual
from evaluation.judgement.clues.said import profile_patches_moved

# Clues that need no hypothesis, by name: single readings, the paper, the light, what the profile expects.
ALONE: Final = (
    "readings_fit_exchanged",
    "light_lacks_ultraviolet",
    "read_otherwise_paper_off",
    "loss_fades_with_ink",
    "gain_fades_with_ink",
    "shadows_darker_as_expected",
)
_STRAY: Final = 0.05  # relative change of brightness that a single patch may stand for
_MOST: Final = 0.95  # of the patches


def print_off(clues: Clues) -> bool:
    """Whether the print is off from what is expected, or from the aim, on average or in its worst twentieth.

    So it may be where readings are unsteady or the machine has moved. Single patches do not count: no
    hypothesis about the whole print explains them.
    """
    if repeats_noisier_than_usual(clues) or profile_patches_moved(clues) or _drifts(clues):
        return True
    evidence = clues.evidence
    if evidence is None or evidence.predicted is None:
        return False
    mean, worst = clues.tables["sheet_mean"], clues.tables["sheet_worst"]
    inside = np.ones(len(evidence.aim), bool) if evidence.inside is None else evidence.inside
    # One ink alone moves a third of the patches, and less than the worst of them in its tints.
    for wanted, least in ((evidence.predicted, 0.5 * worst), (evidence.aim, worst)):
        off = np.linalg.norm(evidence.measured - wanted, axis=1)[inside]
        off = np.sort(off[np.isfinite(off)])[: int(_MOST * np.isfinite(off).sum())]
        if off.size and (off.mean() > mean or off[-1] > least):
            return True
    return False


def _drifts(clues: Clues) -> bool:
    """Whether lightness follows the order of reading, by a plain slope: inks are not yet looked at."""
    evidence, place = clues.evidence, places(clues)
    if evidence is None or evidence.predicted is None or place is None:
        return False
    off = 3.0 * (evidence.measured - evidence.predicted)[:, 0] / (evidence.measured[:, 0] + 16.0)
    known = np.isfinite(off)
    if known.sum() < 3:
        return False
    order = place[known] - place[known].mean()
    slope = float(order @ np.clip(off[known], -_STRAY, _STRAY)) / max(float(order @ order), 1e-9)
    return abs(slope) > WARMING
