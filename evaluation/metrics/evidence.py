"""What metrics are worked out from, and what they give back.

Metrics are pure functions `Evidence -> Metric | None` over arrays; None: cannot be worked out here.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from evaluation.sheet.layout import NeutralAim, Patch

Array = NDArray[np.float64]
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
class Evidence:
    """The matched patches of one region, in map order, ready for metrics. n patches.

    aim         (n, 3) CIELAB D50 aims, media-relative, black mapped (NUMBERS 1.1)
    measured    (..., n, 3) CIELAB D50, media-relative; leading axes are bootstrap draws
    absolute    (..., n, 3) the same readings in absolute CIELAB D50
    grey_aim    (..., n, 2) aimed a*, b* of a neutral at each patch's measured L*, absolute frame (1.2)
    source_l    (n,) L* of the source itself, before black mapping: how steps are named
    covariance  (3, 3) of one reading; counts (n,) readings behind each patch
    black       XYZ / 100 luminance of the printed black relative to paper, or None
    """

    patches: tuple[Patch, ...]
    aim: Array
    measured: Array
    absolute: Array
    grey_aim: Array
    source_l: Array
    covariance: Array
    counts: Array
    black: float | None
    aim_name: NeutralAim
    tone_has_aim: bool  # False in driver modes, perceptual, saturation, toned: no dL* against the source
