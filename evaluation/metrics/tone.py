"""Tone: evenness of steps, level against the aim, smoothness of gradients.

Evenness is measured over aimed step, never against equal steps: a matt print that follows its aim has steps
of unequal size (spread 0.23 at D 1.6, COMPUTED), and that is no fault.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.difference import delta_e_76
from evaluation.metrics.evidence import Array, Evidence, Outcome, place

_LEAST_STEP = 0.2  # L*: two aims closer than this are one step and have no ratio (project's own choice)


@dataclass(frozen=True, slots=True, eq=False)
class Steps:
    """Neighbours of a wedge, dark to light: patch indices (k + 1,), ratios (..., k), source L* (k,)."""

    order: NDArray[np.int_]
    ratios: Array
    lighter: Array


def steps(evidence: Evidence, low: float = -np.inf, high: float = np.inf) -> Steps | None:
    """Measured over aimed step of neighbours within low..high source L*; None below two neighbours.

    Without a stated aim of tone the aim is a straight L* line from printed black to paper.
    """
    L_aim = tone_aim(evidence)
    inside = np.isfinite(L_aim) & (evidence.source_l >= low) & (evidence.source_l <= high)
    order = np.flatnonzero(inside)
    order = order[np.argsort(evidence.source_l[order], kind="stable")]
    kept: list[int] = []
    for index in order:  # steps that the aim itself does not part carry no ratio
        if not kept or L_aim[index] - L_aim[kept[-1]] >= _LEAST_STEP:
            kept.append(int(index))
    if len(kept) < 3:
        return None
    chosen = np.array(kept)
    aimed = np.diff(L_aim[chosen])
    measured = np.diff(evidence.measured[..., chosen, 0], axis=-1)
    return Steps(chosen, measured / aimed, evidence.source_l[chosen[1:]])


def tone_aim(evidence: Evidence) -> Array:
    """(n,) aimed L*, media-relative: the mapped source, or a straight line where the condition has no aim."""
    if evidence.tone_has_aim:
        aim: Array = evidence.aim[:, 0]
        return aim
    black = 0.0 if evidence.black is None else float(np.ravel(evidence.black[..., 0])[0])
    line: Array = black + evidence.source_l * (100 - black) / 100
    return line


def evenness(evidence: Evidence) -> Outcome | None:
    """Standard deviation of measured over aimed step; the place is the patch, or the pair, that stands out.

    One melted pair among twenty even steps gives 0.22.
    """
    wedge = steps(evidence)
    if wedge is None:
        return None
    return Outcome(wedge.ratios.std(axis=-1, ddof=1), _odd_step(evidence, wedge), len(wedge.order))


def shadow_kept_share(evidence: Evidence) -> Outcome | None:
    """Least mean of three neighbouring ratios in the shadows: how much of the aimed opening is left.

    Low contrast with a share near 1 is the paper; a low share is profile or print.
    """
    wedge = steps(evidence, evidence.limits.shadow_from, evidence.limits.shadow_to)
    if wedge is None or wedge.ratios.shape[-1] < 3:
        return None
    runs = np.lib.stride_tricks.sliding_window_view(wedge.ratios, 3, axis=-1).mean(axis=-1)
    first = runs.reshape(-1, runs.shape[-1])[0]
    at = int(first.argmin())
    dark, light = (evidence.patches[wedge.order[k]] for k in (at, at + 3))
    return Outcome(runs.min(axis=-1), f"{place(dark)} to {place(light)}", len(wedge.order))


def tone_shift(evidence: Evidence) -> Outcome | None:
    """Mean |dL*| of the wedge against the mapped aim; None where the condition has no aim of tone."""
    off = _off_aim(evidence)
    if off is None:
        return None
    known, shift = off
    size = np.abs(shift)
    at = int(size.reshape(-1, known.size)[0].argmax())
    return Outcome(size.mean(axis=-1), place(evidence.patches[int(known[at])]), known.size)


def tone_mid_shift(evidence: Evidence) -> Outcome | None:
    """|dL*| of the step nearest to middle grey, source L* 50; None where the condition has no aim of tone."""
    off = _off_aim(evidence)
    if off is None:
        return None
    known, shift = off
    at = int(np.abs(evidence.source_l[known] - 50).argmin())
    return Outcome(np.abs(shift[..., at]), place(evidence.patches[int(known[at])]), 1)


def gradient_jump(evidence: Evidence) -> Outcome | None:
    """Largest second difference of measured minus aimed L*, in aimed neighbour steps, beyond its noise.

    The step is the whole aimed distance, since a gradient of colour may keep its L*. What noise alone would
    give as the largest of so many is taken out as a square. Gradients with fewer than
    32 patches (a limit) are not used: an edge falls between their steps.
    """
    worst: Array | None = None
    where, count = None, 0
    L_aim = tone_aim(evidence)
    for name, order in ramps(evidence, int(evidence.limits.gradient_patches)):
        off = evidence.measured[..., order, 0] - L_aim[order]
        bend = np.abs(off[..., :-2] - 2 * off[..., 1:-1] + off[..., 2:])
        noise = np.sqrt(6.0) * evidence.noise(0)[order][1:-1]
        beyond = np.sqrt(np.maximum(bend**2 - 2 * np.log(max(len(order), 2)) * noise**2, 0.0))
        step = delta_e_76(evidence.aim[order[:-1]], evidence.aim[order[1:]])
        size = beyond / np.maximum((step[1:] + step[:-1]) / 2, _LEAST_STEP)
        largest = size.max(axis=-1)
        count += len(order)
        if worst is None or largest.flat[0] > worst.flat[0]:
            at = int(size.reshape(-1, size.shape[-1])[0].argmax())
            where = f"{name}, {place(evidence.patches[int(order[at + 1])])}"
        worst = largest if worst is None else np.maximum(worst, largest)
    return None if worst is None else Outcome(worst, where, count)


def ramps(evidence: Evidence, least: int) -> list[tuple[str, NDArray[np.int_]]]:
    """Name and patch indices, in order of steps, of every series with at least that many aimed patches."""
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


def _odd_step(evidence: Evidence, wedge: Steps) -> str:
    """The patch that lies off between its neighbours, or the pair whose step is odd by itself."""
    ratios = wedge.ratios.reshape(-1, wedge.ratios.shape[-1])[0]
    turns = np.abs(np.diff(ratios))  # of the step below and the step above each inner patch
    pair = int(np.abs(ratios - np.median(ratios)).argmax())
    around = [k for k in (pair - 1, pair) if 0 <= k < turns.size]
    sizes = sorted(((turns[k], k) for k in around), reverse=True)
    if sizes and (len(sizes) == 1 or sizes[0][0] > 1.25 * sizes[1][0]):
        return place(evidence.patches[int(wedge.order[sizes[0][1] + 1])])
    dark, light = (evidence.patches[int(wedge.order[k])] for k in (pair, pair + 1))
    return f"{place(dark)} to {place(light)}"
