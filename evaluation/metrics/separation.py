"""Separation at both ends of the scale: the first step distinct from the black, the last from the paper.

A fixed dL* would be unfair to matt paper, whose steps are small in L* and still distinct, and too kind to
glossy paper. The contrast of luminances under flare serves both, held against what an eye sees there.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.colorimetry import just_noticeable
from evaluation.colorimetry import lab as cielab
from evaluation.colorimetry.lab import luminance_slope
from evaluation.metrics.evidence import Array, Evidence, Mask, Outcome, place
from evaluation.metrics.limits import Limits


def contrast(dark: Array, light: Array, flare: float) -> Array:
    """Contrast (...) of two luminances (...), 0..1 of paper, under `flare`, a share: (Y2 - Y1) / (Y1 + f).

    >>> round(float(contrast(np.float64(0.02), np.float64(0.022), 0.005)), 3)
    0.08
    """
    ratio: Array = (light - dark) / (dark + flare)
    return ratio


def least_contrast(end: ArrayLike, flare: float, limits: Limits) -> Array:
    """The contrast (...) from which on a step separates from an end of luminance (...), 0..1 of paper.

    `jnd_count` just noticeable differences of a greyscale under the viewing light, in lux, on paper that
    reflects `paper_reflectance` of it: more in deep blacks and in a dim booth.
    """
    paper = limits.lux * limits.paper_reflectance / np.pi  # cd/m2
    luminance = paper * (np.asarray(end, np.float64) + flare) / (1 + flare)
    return just_noticeable.least_contrast(luminance, limits.jnd_count)


def luminance(lab: Array) -> Array:
    """Luminance (...), 0..1 of that of paper, of media-relative CIELAB (..., 3)."""
    Y: Array = cielab.luminance(lab[..., 0]) / 100
    return Y


def first_shadow_step(evidence: Evidence) -> Outcome | None:
    """Source L* of the darkest step that parts from the black, as all lighter ones do.

    Parted from the black itself, not from its neighbour. None where a darker step was not read: it may part.
    """
    limits = evidence.limits
    order = _wedge(evidence, dark_first=True)
    if evidence.black is None or order.size < 2:
        return None
    Y = luminance(evidence.measured[..., order, :])
    black = luminance(evidence.black)[..., None]
    noise = _noise(evidence, order, evidence.black)
    distinct = (contrast(black, Y, limits.flare) >= least_contrast(black, limits.flare, limits)) & (
        Y - black > limits.noise_times * noise
    )
    return _boundary(evidence, order, distinct, evidence.source_l[order])


def last_highlight_step(evidence: Evidence) -> Outcome | None:
    """100 minus source L* of the lightest step that parts from the paper, as all darker ones do. No flare.

    None where a lighter step was not read: it may part.
    """
    limits = evidence.limits
    order = _wedge(evidence, dark_first=False)
    if order.size < 2:
        return None
    Y = luminance(evidence.measured[..., order, :])
    paper = np.array([100.0, 0.0, 0.0])
    noise = _noise(evidence, order, paper)
    distinct = (contrast(Y, np.ones_like(Y), 0.0) >= least_contrast(1.0, 0.0, limits)) & (
        limits.noise_times * noise < 1.0 - Y
    )
    return _boundary(evidence, order, distinct, 100 - evidence.source_l[order])


def _boundary(evidence: Evidence, order: NDArray[np.int_], parts: Mask, scale: Array) -> Outcome | None:
    """The first step of `order` from which on all part; the last step where none does."""
    from_here_on: Mask = np.logical_and.accumulate(parts[..., ::-1], axis=-1)[..., ::-1]
    first = np.where(from_here_on.any(axis=-1), from_here_on.argmax(axis=-1), len(order) - 1)
    at = int(np.ravel(first)[0])
    if not _read_up_to(evidence, int(order[at])):
        return None
    return Outcome(scale[first], place(evidence.patches[int(order[at])]), len(order))


def _read_up_to(evidence: Evidence, row: int) -> bool:
    """Whether every step of its series before this one was read too; True for patches without steps."""
    patch = evidence.patches[row]
    read = {other.step for other in evidence.patches if other.series == patch.series}
    return patch.step is None or set(range(1, patch.step)) <= read


def _wedge(evidence: Evidence, *, dark_first: bool) -> NDArray[np.int_]:
    """Indices of the inked steps between black and paper, in order of source L*."""
    source = evidence.source_l
    inked = [
        k
        for k, patch in enumerate(evidence.patches)
        if patch.role == "field" and 1e-6 < source[k] < 100 - 1e-6
    ]
    order = np.array(inked, dtype=int)
    return order[np.argsort(source[order] if dark_first else -source[order], kind="stable")]


def _noise(evidence: Evidence, order: NDArray[np.int_], other: Array) -> Array:
    """Standard error of the difference in luminance between steps and an end that was read as often."""
    step = evidence.noise(0)[order]
    first = evidence.measured.reshape(-1, *evidence.measured.shape[-2:])[0][order]
    end = np.asarray(other, np.float64).reshape(-1, 3)[0]
    both: Array = np.hypot(luminance_slope(first[:, 0]) * step, luminance_slope(end[0]) * step.min())
    return both
