"""Clues in the black and the shadows: density, and how much of the aimed contrast is kept.

Each answers True, False, or None where the session cannot tell. Limits: `tables/clues.toml`.
"""

from dataclasses import replace
from typing import Final

import numpy as np

from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.fit import print_step_small
from evaluation.judgement.clues.measures import GREY_KINDS, only
from evaluation.metrics.evidence import Array
from evaluation.metrics.separation import contrast, least_contrast, luminance
from evaluation.metrics.tone import wedge_of

SHADOW_KINDS: Final = ("shadow", "mono_shadow")
NEIGHBOURS: Final = 3  # steps that are taken together, so that none decides by itself


def densities(clues: Clues) -> tuple[float, float] | None:
    """Expected and printed density of the black above paper; None without a profile or a black read."""
    if clues.evidence is None or clues.evidence.black is None or clues.expected is None:
        return None
    printed = float(luminance(clues.evidence.black))
    expected = clues.expected.black_y / 100
    if min(printed, expected) <= 0:
        return None
    return -float(np.log10(expected)), -float(np.log10(printed))


def black_weak(clues: Clues) -> Answer:
    """Whether the black is lighter than expected (`black_apart`)."""
    both = densities(clues)
    return None if both is None else both[0] - both[1] > clues.tables["black_apart"]


def black_too_deep(clues: Clues) -> Answer:
    """Whether the black is deeper than expected (`black_apart`)."""
    both = densities(clues)
    return None if both is None else both[1] - both[0] > clues.tables["black_apart"]


def black_differs_much(clues: Clues) -> Answer:
    """Whether expected and printed black differ much (`black_far`)."""
    both = densities(clues)
    return None if both is None else abs(both[0] - both[1]) > clues.tables["black_far"]


def black_as_expected(clues: Clues) -> Answer:
    """Whether the black is as deep as expected (`black_close`)."""
    both = densities(clues)
    return None if both is None else abs(both[0] - both[1]) <= clues.tables["black_close"]


def black_of_a_bare_side(clues: Clues) -> Answer:
    """Whether the black is as weak as on an uncoated side (`bare_side_...`)."""
    both = densities(clues)
    if both is None:
        return None
    return both[0] > clues.tables["bare_side_expected"] and both[1] < clues.tables["bare_side_printed"]


def kept_shares(clues: Clues) -> Array | None:
    """(k,) measured over aimed L* step of the shadow strip; 1 keeps the contrast, 0 loses the step."""
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
    return float(np.sqrt(2.0) * own.noise(0).max() / max(smallest, clues.tables["step_noise_least"]))


def least_of_three(ratios: Array) -> float:
    """Least mean of three neighbours."""
    width = min(NEIGHBOURS, ratios.size)
    return float(np.lib.stride_tricks.sliding_window_view(ratios, width).mean(axis=-1).min())


def shadows_kept(clues: Clues) -> Answer:
    """Whether the shadows keep the contrast that is aimed at (`shadows_kept`)."""
    kept = kept_shares(clues)
    return None if kept is None else least_of_three(kept) > clues.tables["shadows_kept"]


def shadows_low(clues: Clues) -> Answer:
    """Whether the shadows lose contrast (`shadows_low`)."""
    kept = kept_shares(clues)
    return None if kept is None else least_of_three(kept) < clues.tables["shadows_low"]


def shadows_open(clues: Clues) -> Answer:
    """Whether the shadow steps are open (`shadows_open`)."""
    kept = kept_shares(clues)
    return None if kept is None else least_of_three(kept) > clues.tables["shadows_open"]


def shadows_lost_from_the_bottom(clues: Clues) -> Answer:
    """Whether the darkest steps are lost whole (`step_lost`) and the ones above them are open."""
    kept = kept_shares(clues)
    if kept is None or kept.size < clues.tables["shadow_steps"]:
        return None
    lost = kept < clues.tables["step_lost"]
    count = int(np.logical_and.accumulate(lost).sum())
    some = 0 < count < kept.size - 2
    return some and float(kept[count + 1 :].mean()) > clues.tables["steps_above"]


def shadows_kept_yet_small(clues: Clues) -> Answer:
    """Whether shadows graded low keep their share of the aim, and their steps are small all the same."""
    if not clues.wrong(*SHADOW_KINDS) or print_step_small(clues) is False:
        return False
    kept = kept_shares(clues)
    own = only(clues, clues.rows(*SHADOW_KINDS))
    if kept is None or own is None:
        return None
    order = np.argsort(own.source_l)
    Y = luminance(own.measured[order])
    size = float(np.median(contrast(Y[:-1], Y[1:], own.limits.flare)))
    black = Y[:1] if own.black is None else luminance(own.black)
    seen = float(np.ravel(least_contrast(black, own.limits.flare, own.limits))[0])
    small = size < clues.tables["shadow_small"] * seen
    return least_of_three(kept) > clues.tables["steps_above"] and small


def blocked_though_dark(clues: Clues) -> Answer:
    """Whether shadow steps are blocked though the black is full, or a step is darker than the one before."""
    kept, both = kept_shares(clues), densities(clues)
    if kept is None:
        return None
    noise = clues.tables["step_falls_noise"] * _kept_noise(clues)
    reversal = bool((kept < -clues.tables["step_falls"] - noise).any())
    full = both is not None and both[1] >= both[0] - clues.tables["black_full"]
    return reversal or (least_of_three(kept) < clues.tables["shadows_blocked"] and full)


def _expected_kept(clues: Clues) -> float | None:
    """The least share of the aimed contrast, three neighbours together, that the profile expects."""
    own = only(clues, clues.rows(*SHADOW_KINDS))
    if own is None or own.predicted is None:
        return None
    limits = own.limits
    wedge = wedge_of(replace(own, measured=own.predicted), limits.shadow_from, limits.shadow_to)
    return None if wedge is None else least_of_three(np.asarray(wedge.ratios))


def _tables_slope(clues: Clues) -> float | None:
    """Least slope, three neighbours together, of the greys that the tables make just above their black.

    Taken without black point compensation: engines find the black of a profile in different ways, and one
    that finds it too light opens on paper what the tables themselves hold shut.
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
    top = floor + clues.tables["above_black"]
    near = (
        (own.source_l > floor + clues.tables["above_black_from"])
        & (own.source_l < top)
        & np.isfinite(plain[:, 0])
    )
    source, first = np.unique(np.round(own.source_l[near], 1), return_index=True)
    if source.size < clues.tables["shadow_steps"]:
        return None
    return least_of_three(np.asarray(np.diff(plain[near, 0][first]) / np.diff(source)))


def expected_blocked(clues: Clues) -> Answer:
    """Whether the profile expects shadow steps to be lost, or its own tables lose them above their black."""
    known = [least for least in (_expected_kept(clues), _tables_slope(clues)) if least is not None]
    return min(known) < clues.tables["shadows_low"] if known else None


def expected_open_read_blocked(clues: Clues) -> Answer:
    """Whether the profile expects open shadow steps, and the printed ones are lost."""
    expected, kept = _expected_kept(clues), kept_shares(clues)
    if expected is None or kept is None:
        return None
    lost = expected > clues.tables["shadows_open"] and least_of_three(kept) < clues.tables["shadows_low"]
    return lost and not expected_blocked(clues)
