"""What metrics are calculated from, and what they return.

Metrics are pure functions `Evidence -> Outcome | None` over arrays; None where the evidence does not suffice.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from evaluation.metrics.limits import Limits
from evaluation.sheet.layout import NeutralAim, Patch

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
Comparison = Literal["media-relative", "absolute"]


@dataclass(frozen=True, slots=True)
class Metric:
    """One number about one region, and what it rests on.

    spread      one standard error, from repeats or from the default spread of a reading; None where unknown
    where       the place that decided it, in words: "step 7, source L* 30"
    patches     how many it is from
    comparison  "media-relative": measured and aim were each scaled by their own paper
    """

    name: str
    value: float
    unit: str
    spread: float | None
    where: str | None
    patches: int
    comparison: Comparison


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """What a metric function returns: values (...) over the draws, and the place that decided the first."""

    values: Array
    where: str | None
    patches: int


@dataclass(frozen=True, slots=True, eq=False)
class Evidence:
    """The n matched patches of one region, in map order, ready for metrics.

    Colours are CIELAB for D50. Leading axes (...) are bootstrap draws; the first is the readings themselves.

    Attributes
    ----------
    aim : (n, 3)
        Media-relative aims after black point compensation; nan where a patch has none or, without
        compensation, one darker than the print can reach.
    measured, absolute : (..., n, 3)
        The readings, media-relative and absolute.
    grey_aim : (..., n, 2)
        Absolute a*, b* of a neutral at the measured L* of each patch.
    source_l : (n,)
        L* of the source before compensation, by which steps are named.
    covariance : (n, 3, 3)
        Of L*, a*, b* of one reading of each patch.
    counts : (n,)
        Readings of each patch.
    black : (..., 3) or None
        The printed black, media-relative.
    aim_name
        Which aim of a neutral `grey_aim` is.
    tone_has_aim
        False in driver modes and under re-rendering intents: L* cannot be compared with the source.
    colour_has_aim
        False under perceptual and saturation intents without a prediction.
    cast_has_aim
        False where a tone was wanted and its curve is not known.
    inside : (n,) or None
        Aims inside the gamut; None where it is not known, and no patch is excused.
    predicted : (n, 3) or None
        What the print should show by its profile, media-relative.
    source_aim : (n, 3) or None
        The source's aim where `predicted` took its place, under intents that re-render.
    paper_readings, paper_covariance
        Readings of the bare paper that all patches are scaled by; the covariance (3, 3) of one of them.
    shifts
        By light source, (n, 2) the shift of a*, b* under it, the eye adapted to the paper.
    shifts_otherwise
        By light source, (2, n, 2) the same by the other published transforms of adaptation.
    """

    patches: tuple[Patch, ...]
    aim: Array
    measured: Array
    absolute: Array
    grey_aim: Array
    source_l: Array
    covariance: Array
    counts: Array
    black: Array | None
    aim_name: NeutralAim
    tone_has_aim: bool
    limits: Limits
    colour_has_aim: bool = True
    cast_has_aim: bool = True
    comparison: Comparison = "media-relative"
    inside: Mask | None = None
    predicted: Array | None = None
    source_aim: Array | None = None
    paper_readings: int = 1
    paper_covariance: Array = field(default_factory=lambda: np.zeros((3, 3)))
    shifts: Mapping[str, Array] = field(default_factory=dict)
    shifts_otherwise: Mapping[str, Array] = field(default_factory=dict)

    @property
    def aimed(self) -> Mask:
        """(n,) patches that have an aim."""
        mask: Mask = np.asarray(np.isfinite(self.aim).all(axis=-1))
        return mask

    def noise(self, axis: int) -> Array:
        """(n,) standard error of L* (0), a* (1) or b* (2) of each patch."""
        spread: Array = np.sqrt(self.covariance[:, axis, axis] / self.counts)
        return spread

    @property
    def reading_noise(self) -> float:
        """Spread of one reading over all three axes, dE*ab, root mean square over the patches."""
        return float(np.sqrt(np.trace(self.covariance, axis1=1, axis2=2).mean()))

    @property
    def chroma_noise(self) -> Array:
        """(n,) standard error of a patch in the a*b* plane."""
        spread: Array = np.sqrt((self.covariance[:, 1, 1] + self.covariance[:, 2, 2]) / self.counts)
        return spread


def undrawn(evidence: Evidence) -> Evidence:
    """The readings themselves, without the axes of draws: for facts, which have no spread."""
    return replace(
        evidence,
        measured=first_of(evidence.measured),
        absolute=first_of(evidence.absolute),
        grey_aim=first_of(evidence.grey_aim),
        black=None if evidence.black is None else np.reshape(evidence.black, (-1, 3))[0],
    )


def first_of(values: Array) -> Array:
    """(n, k) the first draw of (..., n, k), which is the readings themselves."""
    first: Array = values[(0,) * (values.ndim - 2)]
    return first


def largest(evidence: Evidence, known: Mask, values: Array) -> str:
    """The patch with the largest value; `values` (..., k) of the patches in `known`, first draw."""
    at = int(values.reshape(-1, values.shape[-1])[0].argmax())
    return place(evidence.patches[int(np.flatnonzero(known)[at])])


def place(patch: Patch) -> str:
    """What a patch is called in a sentence; its series is added only where its name is a mere number.

    >>> place(Patch("N4", "neutral 6.5", "neutral", series="wedge", step=4))
    'step 4, neutral 6.5'
    >>> place(Patch("RD8", "red 8", "saturation", series="red", step=8))
    'red 8'
    >>> place(Patch("R01", "98", "ring", series="dark", step=1))
    'dark step 1, 98'
    """
    name = patch.name or patch.id
    if patch.step is None or name.casefold() == f"{patch.series} {patch.step}".strip().casefold():
        return name
    numbered = patch.series and not any(char.isalpha() for char in name)
    step = f"{patch.series} step {patch.step}" if numbered else f"step {patch.step}"
    return step if name.casefold() == step else f"{step}, {name}"
