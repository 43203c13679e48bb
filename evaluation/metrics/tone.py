"""Tone: evenness of steps, lightness against the aim, smoothness of gradients.

Evenness compares each measured step with its aimed step, never with equal steps: a matt print that follows
its aim has unequal steps (spread 0.23 at D 1.6, COMPUTED), and that is no fault.
"""

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.difference import delta_e_76
from evaluation.metrics.evidence import Array, Evidence, Outcome, place
from evaluation.published.limits import limit

_LEAST_STEP = limit("tone_step")


@dataclass(frozen=True, slots=True, eq=False)
class Wedge:
    """The steps of a wedge, dark to light.

    order    (k + 1,) indices of its patches
    ratios   (..., k) measured over aimed step between neighbours
    lighter  (k,) source L* of the lighter neighbour
    """

    order: NDArray[np.int_]
    ratios: Array
    lighter: Array


def wedge_of(evidence: Evidence, low: float = -np.inf, high: float = np.inf) -> Wedge | None:
    """The wedge of patches with source L* from `low` to `high`; None below two steps.

    Without an aim of tone the aim is a straight line of L* from printed black to paper.
    """
    L_aim = tone_aim(evidence)
    inside = np.isfinite(L_aim) & (evidence.source_l >= low) & (evidence.source_l <= high)
    order = np.flatnonzero(inside)
    order = order[np.argsort(evidence.source_l[order], kind="stable")]
    kept: list[int] = []
    for index in order:  # steps that coincide in the aim have no ratio
        if not kept or L_aim[index] - L_aim[kept[-1]] >= _LEAST_STEP:
            kept.append(int(index))
    if len(kept) < 3:
        return None
    chosen = np.array(kept)
    aimed = np.diff(L_aim[chosen])
    measured = np.diff(evidence.measured[..., chosen, 0], axis=-1)
    return Wedge(chosen, measured / aimed, evidence.source_l[chosen[1:]])


def tone_aim(evidence: Evidence) -> Array:
    """(n,) aimed L*, media-relative; a straight line from printed black to paper without an aim of tone."""
    if evidence.tone_has_aim:
        aim: Array = evidence.aim[:, 0]
        return aim
    black = 0.0 if evidence.black is None else float(np.ravel(evidence.black[..., 0])[0])
    line: Array = black + evidence.source_l * (100 - black) / 100
    return line


def evenness(evidence: Evidence) -> Outcome | None:
    """Standard deviation of measured over aimed step; the place is the patch or pair that stands out.

    One merged pair among twenty even steps gives 0.22.
    """
    wedge = wedge_of(evidence)
    if wedge is None:
        return None
    return Outcome(
        wedge.ratios.std(axis=-1, ddof=1), _step_that_stands_out(evidence, wedge), len(wedge.order)
    )


def shadow_kept_share(evidence: Evidence) -> Outcome | None:
    """Least mean of three neighbouring ratios in the shadows: the share of aimed contrast that is kept.

    Low contrast with a share near 1 is due to the paper, a low share to profile or print.
    """
    wedge = wedge_of(evidence, evidence.limits.shadow_from, evidence.limits.shadow_to)
    if wedge is None or wedge.ratios.shape[-1] < 3:
        return None
    runs = np.lib.stride_tricks.sliding_window_view(wedge.ratios, 3, axis=-1).mean(axis=-1)
    first = runs.reshape(-1, runs.shape[-1])[0]
    at = int(first.argmin())
    dark, light = (evidence.patches[wedge.order[k]] for k in (at, at + 3))
    return Outcome(runs.min(axis=-1), f"{place(dark)} to {place(light)}", len(wedge.order))


def tone_shift(evidence: Evidence) -> Outcome | None:
    """Mean |dL*| of the wedge from its aim; None without an aim of tone."""
    off = _off_aim(evidence)
    if off is None:
        return None
    known, shift = off
    size = np.abs(shift)
    at = int(size.reshape(-1, known.size)[0].argmax())
    return Outcome(size.mean(axis=-1), place(evidence.patches[int(known[at])]), known.size)


def tone_mid_shift(evidence: Evidence) -> Outcome | None:
    """|dL*| of the step nearest to middle grey, source L* 50; None without an aim of tone."""
    off = _off_aim(evidence)
    if off is None:
        return None
    known, shift = off
    at = int(np.abs(evidence.source_l[known] - 50).argmin())
    return Outcome(np.abs(shift[..., at]), place(evidence.patches[int(known[at])]), 1)


def gradient_jump(evidence: Evidence) -> Outcome | None:
    """Largest second difference of measured minus aimed L*, in aimed steps, beyond its noise.

    An aimed step is dE*ab, since a gradient may keep its L*. What noise alone would reach in one print of
    twenty (`jump_chance`), among so many second differences of the region, is subtracted in quadrature.
    Gradients with fewer than 32 patches (a limit) are not used: an edge can fall between their steps.
    """
    worst: Array | None = None
    where, count = None, 0
    L_aim = tone_aim(evidence)
    found = ramps(evidence, int(evidence.limits.gradient_patches))
    many = max(sum(len(order) - 2 for _, order in found), 1)
    z = NormalDist().inv_cdf(1 - evidence.limits.jump_chance / (2 * many))
    for name, order in found:
        off = evidence.measured[..., order, 0] - L_aim[order]
        bend = np.abs(off[..., :-2] - 2 * off[..., 1:-1] + off[..., 2:])
        noise = np.sqrt(6.0) * evidence.noise(0)[order][1:-1]
        beyond = np.sqrt(np.maximum(bend**2 - z**2 * noise**2, 0.0))
        step = delta_e_76(evidence.aim[order[:-1]], evidence.aim[order[1:]])
        size = beyond / np.maximum((step[1:] + step[:-1]) / 2, _LEAST_STEP)
        largest = size.max(axis=-1)
        count += len(order)
        if worst is None or largest.flat[0] > worst.flat[0]:
            at = int(size.reshape(-1, size.shape[-1])[0].argmax())
            where = f"{name}, {place(evidence.patches[int(order[at + 1])])}"
        worst = largest if worst is None else np.maximum(worst, largest)
    return None if worst is None else Outcome(worst, where, count)


def jump_too_noisy(evidence: Evidence) -> bool:
    """Whether a jump is shown and not graded: on matt paper, one reading a patch shows edges of sound prints.

    Matt is a black lighter than `matt_black`; from two readings of a patch up a jump is graded there too.
    """
    if evidence.black is None or float(np.median(evidence.counts)) >= 2:
        return False
    return bool(np.ravel(evidence.black[..., 0])[0] > evidence.limits.matt_black)


def ramps(evidence: Evidence, least: int) -> list[tuple[str, NDArray[np.int_]]]:
    """Name and patch indices, in order of steps, of every series with at least `least` aimed patches."""
    aimed = evidence.aimed
    found: dict[str, list[int]] = {}
    for index, patch in enumerate(evidence.patches):
        if patch.series and patch.step is not None and aimed[index]:
            found.setdefault(patch.series, []).append(index)
    return [
        (name, np.array(sorted(own, key=lambda k: evidence.patches[k].step or 0)))
        for name, own in found.items()
        if len(own) >= least
    ]


def _off_aim(evidence: Evidence) -> tuple[NDArray[np.int_], Array] | None:
    if not evidence.tone_has_aim:
        return None
    known = np.flatnonzero(np.isfinite(evidence.aim[:, 0]))
    if known.size == 0:
        return None
    return known, evidence.measured[..., known, 0] - evidence.aim[known, 0]


def _step_that_stands_out(evidence: Evidence, wedge: Wedge) -> str:
    """The patch that is off between its neighbours, or the pair whose own step stands out."""
    ratios = wedge.ratios.reshape(-1, wedge.ratios.shape[-1])[0]
    turns = np.abs(np.diff(ratios))  # of the step below and the step above each inner patch
    pair = int(np.abs(ratios - np.median(ratios)).argmax())
    around = [k for k in (pair - 1, pair) if 0 <= k < turns.size]
    sizes = sorted(((turns[k], k) for k in around), reverse=True)
    if sizes and (len(sizes) == 1 or sizes[0][0] > 1.25 * sizes[1][0]):
        return place(evidence.patches[int(wedge.order[sizes[0][1] + 1])])
    dark, light = (evidence.patches[int(wedge.order[k])] for k in (pair, pair + 1))
    return f"{place(dark)} to {place(light)}"
