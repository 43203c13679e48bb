"""Clues in the bare paper: the profile's white, whitener, what lies beneath.

Each answers True, False, or None: the session does not tell. Limits are the project's own choice.
"""

import numpy as np

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.shadows import black_as_expected, densities
from evaluation.metrics.brightener_shift import brightener_shift


def _paper_gap(clues: Clues) -> float | None:
    if clues.paper is None or clues.expected is None or clues.expected.paper_lab is None:
        return None
    return float(delta_e_2000(clues.expected.paper_lab, clues.paper))


def profile_white_differs(clues: Clues) -> Answer:
    gap = _paper_gap(clues)
    return None if gap is None else gap > 3.0


def profile_white_differs_a_little(clues: Clues) -> Answer:
    gap = _paper_gap(clues)
    return None if gap is None else 1.0 < gap <= 3.0


def profile_white_matches(clues: Clues) -> Answer:
    gap = _paper_gap(clues)
    return None if gap is None else gap <= 1.5


def paper_and_black_match(clues: Clues) -> Answer:
    paper, black = profile_white_matches(clues), black_as_expected(clues)
    return None if paper is None or black is None else paper and black


def black_deeper_on_own_paper(clues: Clues) -> Answer:
    """A black a little deeper than promised on the profile's own paper: its chart was read before it was dry.

    By much more than drying moves a black, it is another paper's profile (both limits the project's own).
    """
    matches, both = profile_white_matches(clues), densities(clues)
    return None if matches is None or both is None else matches and 0.1 < both[1] - both[0] <= 0.4


def paper_dark_fading_with_ink(clues: Clues) -> Answer:
    """Paper darker than the profile's by 0.5 L* or more, with little change of a* and b*."""
    if clues.paper is None or clues.expected is None or clues.expected.paper_lab is None:
        return None
    gap = clues.paper - clues.expected.paper_lab
    return bool(gap[0] <= -0.5 and np.hypot(gap[1], gap[2]) < 0.5 * abs(gap[0]))


def whitener(clues: Clues) -> float | None:
    """b* of bare paper, M2 minus M1 (M0 for want of M1)."""
    return None if clues.paper is None else brightener_shift(clues.sheet, clues.takens)


def whitener_strong(clues: Clues) -> Answer:
    db = whitener(clues)
    return None if db is None else db > clues.tables["whitener_caution"]


def whitener_weak(clues: Clues) -> Answer:
    db = whitener(clues)
    return None if db is None else db < 1.0
