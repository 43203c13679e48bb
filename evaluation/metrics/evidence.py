"""What metrics are worked out from, and what they give back.

Metrics are pure functions `Evidence -> Outcome | None` over arrays; None: cannot be worked out here.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
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
    """One number about one region, with where it comes from.

    spread      one standard error from repeats (or the default repeat spread)
    where       the place that decided it, in words: "step 7, source L* 30"
    comparison  whether measured and aim were both scaled by their own paper
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
    """What a metric function gives: values (...) over the draws, and the place that decided the first."""

    values: Array
    where: str | None
    patches: int


@dataclass(frozen=True, slots=True, eq=False)
class Evidence:
    """The matched patches of one region, in map order, ready for metrics. n patches.

    Leading axes (...) are bootstrap draws; along them the first is the readings themselves.

    aim         (n, 3) CIELAB D50 aims, media-relative, black mapped; nan where a patch has none or, without
                black point compensation, a darker one than the print can reach
    measured    (..., n, 3) CIELAB D50, media-relative
    absolute    (..., n, 3) the same readings in absolute CIELAB D50
    grey_aim    (..., n, 2) aimed a*, b* of a neutral at each patch's measured L*, absolute frame
    source_l    (n,) L* of the source itself, before black mapping: how steps are named
    covariance  (3, 3) of one reading; counts (n,) readings behind each patch
    black       (..., 3) CIELAB of the printed black, media-relative, or None
    inside      (n,) aims that lie inside the gamut, or None: not known, and no patch is excused
    expected    (n, 3) what the profile says the print should show, media-relative, or None
    source_aim  (n, 3) the source's aim where `expected` took its place: intents that re-render
    shifts      light -> (n, 2) paper-adapted shift of a*, b* under it
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
    tone_has_aim: bool  # False in driver modes, perceptual, saturation: no dL* against the source
    limits: Limits
    colour_has_aim: bool = True  # False for perceptual and saturation without what the profile expects
    cast_has_aim: bool = True  # False where a tone was wanted and no curve of it is known
    comparison: Comparison = "media-relative"
    inside: Mask | None = None
    expected: Array | None = None
    source_aim: Array | None = None
    paper_readings: int = 1  # of the bare paper that all patches are scaled by
    shifts: Mapping[str, Array] = field(default_factory=dict)

    @property
    def aimed(self) -> Mask:
        """(n,) patches that have an aim."""
        mask: Mask = np.asarray(np.isfinite(self.aim).all(axis=-1))
        return mask

    def noise(self, axis: int) -> Array:
        """(n,) standard error of L* (0), a* (1) or b* (2) of each patch."""
        spread: Array = np.sqrt(self.covariance[axis, axis] / self.counts)
        return spread

    @property
    def chroma_noise(self) -> Array:
        """(n,) standard error of a patch in the a*b* plane."""
        spread: Array = np.sqrt((self.covariance[1, 1] + self.covariance[2, 2]) / self.counts)
        return spread


def place(patch: Patch) -> str:
    """How a patch is called in a sentence; its series is said only where the name is a mere number.

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
