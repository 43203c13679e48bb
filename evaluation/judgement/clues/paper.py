"""Clues in the bare paper: the profile's white, optical brightener, what lies beneath.

Each answers True, False, or None where the session cannot tell. Limits: `tables/clues.toml`.
"""

import numpy as np

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.shadows import black_as_expected, densities
from evaluation.metrics.brightener_shift import brightener_shift


def _paper_gap(clues: Clues) -> float | None:
    """dE00 between the profile's white and the bare paper as read."""
    if clues.paper is None or clues.expected is None or clues.expected.paper_lab is None:
        return None
    return float(delta_e_2000(clues.expected.paper_lab, clues.paper))


def profile_white_differs(clues: Clues) -> Answer:
    """Whether the profile's white and the paper read differ (`white_differs`)."""
    gap = _paper_gap(clues)
    return None if gap is None else gap > clues.tables["white_differs"]


def profile_white_differs_a_little(clues: Clues) -> Answer:
    """Whether they differ, and by no more than `white_differs`."""
    gap = _paper_gap(clues)
    little, much = clues.tables["white_differs_little"], clues.tables["white_differs"]
    return None if gap is None else little < gap <= much


def profile_white_matches(clues: Clues) -> Answer:
    """Whether the profile's white and the paper read match (`white_matches`)."""
    gap = _paper_gap(clues)
    return None if gap is None else gap <= clues.tables["white_matches"]


def paper_and_black_match(clues: Clues) -> Answer:
    """Whether paper and black are those of the profile."""
    paper, black = profile_white_matches(clues), black_as_expected(clues)
    return None if paper is None or black is None else paper and black


def black_deeper_on_own_paper(clues: Clues) -> Answer:
    """Whether the black is a little deeper than predicted, on the profile's own paper (`black_dries_...`).

    Its chart may have been read before it was dry. Where it is deeper by more than drying moves a black, the
    profile is that of another paper.
    """
    matches, both = profile_white_matches(clues), densities(clues)
    if matches is None or both is None:
        return None
    least, most = clues.tables["black_dries_from"], clues.tables["black_dries_to"]
    return matches and least < both[1] - both[0] <= most


def paper_dark_fading_with_ink(clues: Clues) -> Answer:
    """Whether the paper is darker than the profile's (`paper_darker`), with hardly another tint."""
    if clues.paper is None or clues.expected is None or clues.expected.paper_lab is None:
        return None
    gap = clues.paper - clues.expected.paper_lab
    tint = np.hypot(gap[1], gap[2]) < clues.tables["paper_tint"] * abs(gap[0])
    return bool(gap[0] <= -clues.tables["paper_darker"] and tint)


def whitener(clues: Clues) -> float | None:
    """db* of bare paper, M2 minus M1 (M0 for want of M1): what optical brightener adds. None: not known."""
    shift = None if clues.paper is None else brightener_shift(clues.sheet, clues.takens)
    return None if shift is None else shift.db


def whitener_strong(clues: Clues) -> Answer:
    """Whether optical brightener moves b* of the paper by more than `whitener_caution`."""
    db = whitener(clues)
    return None if db is None else db > clues.tables["whitener_caution"]


def whitener_weak(clues: Clues) -> Answer:
    """Whether optical brightener hardly moves b* of the paper (`whitener_weak`)."""
    db = whitener(clues)
    return None if db is None else db < clues.tables["whitener_weak"]
