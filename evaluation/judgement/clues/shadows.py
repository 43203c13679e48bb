"""Clues in the black and the shadows: depth, and how much of the aimed opening is left.

Each answers True, False, or None: the session does not tell. Limits are the project's own choice.
"""

from dataclasses import replace
from typing import Final

import numpy as np

from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.fit import print_step_small
from evaluation.judgement.clues.measures import GREY_KINDS, only
from evaluation.metrics.evidence import Array
from evaluation.metrics.separation import contrast, luminance
from evaluation.metrics.tone import wedge_of

SHADOW_KINDS: Final = ("shadow", "mono_shadow")
_ABOVE_BLACK: Final = 25.0  # L*: how far above the black a profile's tables are looked at


def densities(clues: Clues) -> tuple[float, float] | None:
    """Expected and printed density of the black, relative to paper; only where a profile expects one."""
    if clues.evidence is None or clues.evidence.black is None or clues.expected is None:
        return None
    printed = float(luminance(clues.evidence.black))
    expected = clues.expected.black_y / 100
    if min(printed, expected) <= 0:
        return None
    return -float(np.log10(expected)), -float(np.log10(printed))


def black_weak(clues: Clues) -> Answer:
    both = densities(clues)
    return None if both is None else both[0] - both[1] > 0.2


def black_too_deep(clues: Clues) -> Answer:
    both = densities(clues)
    return None if both is None else both[1] - both[0] > 0.2


def black_differs_much(clues: Clues) -> Answer:
    both = densities(clues)
    return None if both is None else abs(both[0] - both[1]) > 0.3


def black_as_expected(clues: Clues) -> Answer:
    both = densities(clues)
    return None if both is None else abs(both[0] - both[1]) <= 0.1


def black_of_a_bare_side(clues: Clues) -> Answer:
    both = densities(clues)
    return None if both is None else both[0] > 1.9 and both[1] < 1.4


def kept_shares(clues: Clues) -> Array | None:
    """Measured over aimed step of the shadow strip."""
    own = only(clues, clues.rows(*SHADOW_KINDS))
    if own is None:
        return None
    limits = own.limits
    wedge = wedge_of(own, limits.shadow_from, limits.shadow_to)
    return None if wedge is None else np.asarray(wedge.ratios)


def _kept_noise(clues: Clues) -> float:
    """Standard error of one ratio of the shadow strip, where its aimed steps are smallest."""
    own = only(clues, clues.rows(*SHADOW_KINDS))
    wedge = None if own is None else wedge_of(own, own.limits.shadow_from, own.limits.shadow_to)
    if own is None or wedge is None:
        return 0.0
    read = np.diff(own.measured[wedge.order, 0])
    usable = np.abs(wedge.ratios) > 1e-3
    aimed = np.abs(read[usable] / wedge.ratios[usable])
    smallest = float(aimed.min()) if aimed.size else 1.0
    return float(np.sqrt(2.0) * own.noise(0).max() / max(smallest, 0.1))


def least_of_three(ratios: Array) -> float:
    """Least mean of three neighbours."""
    width = min(3, ratios.size)
    return float(np.lib.stride_tricks.sliding_window_view(ratios, width).mean(axis=-1).min())


def kept_share_near_one(clues: Clues) -> Answer:
    kept = kept_shares(clues)
    return None if kept is None else least_of_three(kept) > 0.85


def kept_share_low(clues: Clues) -> Answer:
    kept = kept_shares(clues)
    return None if kept is None else least_of_three(kept) < 0.6


def shadows_open(clues: Clues) -> Answer:
    kept = kept_shares(clues)
    return None if kept is None else least_of_three(kept) > 0.75


def shadows_lost_from_the_bottom(clues: Clues) -> Answer:
    """Kept share near 0 up to some step, near 1 from there on."""
    kept = kept_shares(clues)
    if kept is None or kept.size < 4:
        return None
    lost = kept < 0.25
    count = int(np.logical_and.accumulate(lost).sum())
    return 0 < count < kept.size - 2 and float(kept[count + 1 :].mean()) > 0.8


def small_contrast_kept_share(clues: Clues) -> Answer:
    if not clues.wrong(*SHADOW_KINDS) or print_step_small(clues) is False:
        return False
    kept = kept_shares(clues)
    own = only(clues, clues.rows(*SHADOW_KINDS))
    if kept is None or own is None:
        return None
    order = np.argsort(own.source_l)
    Y = luminance(own.measured[order])
    small = float(np.median(contrast(Y[:-1], Y[1:], own.limits.flare))) < 2.5 * own.limits.shadow_contrast
    return least_of_three(kept) > 0.8 and small


def blocked_though_dark(clues: Clues) -> Answer:
    kept, both = kept_shares(clues), densities(clues)
    if kept is None:
        return None
    reversal = bool((kept < -0.1 - 3 * _kept_noise(clues)).any())
    full = both is not None and both[1] >= both[0] - 0.1
    return reversal or (least_of_three(kept) < 0.5 and full)


def _expected_kept(clues: Clues) -> float | None:
    own = only(clues, clues.rows(*SHADOW_KINDS))
    if own is None or own.predicted is None:
        return None
    limits = own.limits
    wedge = wedge_of(replace(own, measured=own.predicted), limits.shadow_from, limits.shadow_to)
    return None if wedge is None else least_of_three(np.asarray(wedge.ratios))


def _tables_slope(clues: Clues) -> float | None:
    """Least slope, three neighbours together, of the greys that the tables make just above their black.

    Taken without black compensation: engines find the black of a profile in different ways, and one that
    finds it too light opens on paper what the tables themselves hold shut.
    """
    own = only(clues, clues.rows(*SHADOW_KINDS, *GREY_KINDS))
    if own is None or clues.expected is None:
        return None
    plain = clues.expected.under("no compensation", own.patches)
    if plain is None and clues.session.condition.black_point_compensation is False:
        plain = own.predicted
    if plain is None or not np.isfinite(plain[:, 0]).any():
        return None
    floor = float(np.nanmin(plain[:, 0]))
    near = (own.source_l > floor + 1) & (own.source_l < floor + _ABOVE_BLACK) & np.isfinite(plain[:, 0])
    source, first = np.unique(np.round(own.source_l[near], 1), return_index=True)
    if source.size < 4:
        return None
    return least_of_three(np.asarray(np.diff(plain[near, 0][first]) / np.diff(source)))


def expected_blocked(clues: Clues) -> Answer:
    """The steps that the profile expects are lost, or its own tables lose them above their black."""
    known = [least for least in (_expected_kept(clues), _tables_slope(clues)) if least is not None]
    return min(known) < 0.6 if known else None


def expected_open_read_blocked(clues: Clues) -> Answer:
    expected, kept = _expected_kept(clues), kept_shares(clues)
    if expected is None or kept is None:
        return None
    return expected > 0.75 and least_of_three(kept) < 0.6 and not expected_blocked(clues)
