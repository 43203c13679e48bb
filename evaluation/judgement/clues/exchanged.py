"""A clue in the order of reading: patches read in each other's place.

It answers True, False, or None: the session does not tell. Limits are the project's own choice.
"""

from typing import Final

import numpy as np

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import media_absolute
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.metrics.evidence import Array, Comparison

_FAR: Final = 5.0  # times the median distance from what is expected
_FAR_LEAST: Final = 2.0  # dE*ab
_CURED: Final = 0.35  # of its distance that an exchanged reading may keep


def readings_fit_exchanged(clues: Clues) -> Answer:
    """Two readings far off that fit what is expected of each other: found in absolute colours.

    So it holds for bare paper too, which all other colours are scaled by.
    """
    evidence, expected = clues.evidence, clues.expected
    if evidence is None or expected is None or evidence.predicted is None or expected.paper_lab is None:
        return None
    aimed = _absolute(evidence.predicted, expected.paper_lab, evidence.comparison)
    off = np.linalg.norm(evidence.absolute - aimed, axis=1)
    limit = max(_FAR * float(np.nanmedian(off)), _FAR_LEAST)
    far = np.flatnonzero(np.nan_to_num(off) > limit)
    for place, one in enumerate(far):
        for other in far[place + 1 :]:
            here = np.linalg.norm(evidence.absolute[one] - aimed[other])
            there = np.linalg.norm(evidence.absolute[other] - aimed[one])
            if max(here / off[one], there / off[other]) < _CURED:
                return True
    return False


def _absolute(expected: Array, paper: Array, comparison: Comparison) -> Array:
    if comparison == "absolute":
        return expected
    return lab_from_xyz(media_absolute(xyz_from_lab(expected), xyz_from_lab(paper)))
