"""Parts of colour space with everyday names: greys, six families of hue, three thirds of lightness."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.lab import chroma, hue
from evaluation.published.limits import limit
from evaluation.session import CAST_WORDS, THIRDS

Array = NDArray[np.float64]
Index = NDArray[np.intp]

NEUTRAL: Final = limit("hue_neutral")
FAMILIES: Final[tuple[str, ...]] = ("neutral", *CAST_WORDS[1:])


def family(lab: Array) -> Index:
    """(n,) index into FAMILIES of CIELAB (n, 3): sectors of 60 degrees, red from 0 to 60 (own choice)."""
    sector = (hue(lab) // 60).astype(np.intp) + 1
    return np.where(chroma(lab) < NEUTRAL, 0, sector)


def third(lab: Array) -> Index:
    """(n,) index into `session.THIRDS` of CIELAB (n, 3): equal thirds of L* 0 to 100."""
    return np.clip(lab[:, 0] * len(THIRDS) / 100, 0, len(THIRDS) - 1).astype(np.intp)


def percentile(values: Array, weights: Array, share: float) -> float:
    """The value below which a `share`, 0..1, of the weight lies, of values (n,) with weights (n,) above 0."""
    order = np.argsort(values)
    summed = np.cumsum(weights[order])
    at = np.searchsorted(summed, share * summed[-1])
    return float(values[order[min(int(at), len(order) - 1)]])
