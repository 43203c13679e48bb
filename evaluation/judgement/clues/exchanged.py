"""A clue in the order of reading: patches read in each other's place.

It answers True, False, or None where the session cannot tell. Limits: `tables/clues.toml`.
"""

import numpy as np

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import media_absolute
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.metrics.evidence import Array, Comparison


def readings_fit_exchanged(clues: Clues) -> Answer:
    """Whether two readings far off fit what is expected of each other (`exchanged_...`).

    In absolute colours, so that it holds for bare paper too, which all other colours are scaled by.
    """
    evidence, expected, tables = clues.evidence, clues.expected, clues.tables
    if evidence is None or expected is None or evidence.predicted is None or expected.paper_lab is None:
        return None
    aimed = _absolute(evidence.predicted, expected.paper_lab, evidence.comparison)
    off = np.linalg.norm(evidence.absolute - aimed, axis=1)
    limit = max(tables["exchanged_times"] * float(np.nanmedian(off)), tables["exchanged_least"])
    far = np.flatnonzero(np.nan_to_num(off) > limit)
    if len(far) < 2:
        return False
    # left[one, other]: how far `one` is from what is expected of `other`, as a share of its own distance
    apart = evidence.absolute[far, None] - aimed[None, far]
    left = np.linalg.norm(apart, axis=-1) / off[far, None]
    np.fill_diagonal(left, np.inf)
    return bool((np.maximum(left, left.T) < tables["exchanged_left"]).any())


def _absolute(expected: Array, paper: Array, comparison: Comparison) -> Array:
    if comparison == "absolute":
        return expected
    return lab_from_xyz(media_absolute(xyz_from_lab(expected), xyz_from_lab(paper)))
