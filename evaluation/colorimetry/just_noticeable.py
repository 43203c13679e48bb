"""The least contrast that an eye sees at a luminance, by the published greyscale function (DICOM PS3.14).

One just noticeable difference is the threshold in ideal viewing, of a target of 2 degrees on even grey.
"""

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.polynomial import polynomial
from numpy.typing import ArrayLike, NDArray

from evaluation.published.passport import load_toml

Array = NDArray[np.float64]
_ENDS: Final = (0.05, 3993.0)  # cd/m2; beyond them the function is not given
_MOST: Final = 1023.0


def luminance_of(number: ArrayLike) -> Array:
    """Luminance in cd/m2 of just noticeable differences by their number, 1 to 1023.

    >>> float(luminance_of(1).round(4)), float(luminance_of(1023).round(1))
    (0.05, 3993.3)
    """
    numerator, denominator, _ = _coefficients()
    u = np.log(np.clip(np.asarray(number, np.float64), 1.0, _MOST))
    return np.asarray(10 ** (polynomial.polyval(u, numerator) / polynomial.polyval(u, denominator)))


def number_of(luminance: ArrayLike) -> Array:
    """The number of just noticeable differences of a luminance in cd/m2, taken within 0.05 to 3993.

    >>> float(number_of(100).round(2))
    476.36
    """
    v = np.log10(np.clip(np.asarray(luminance, np.float64), *_ENDS))
    return np.asarray(polynomial.polyval(v, _coefficients()[2]))


def least_contrast(luminance: ArrayLike, count: float) -> Array:
    """The contrast (L2 - L1) / L1 upwards of a luminance in cd/m2 at `count` just noticeable differences."""
    number = number_of(luminance)
    return np.asarray(luminance_of(number + count) / luminance_of(number) - 1)


@lru_cache(maxsize=1)
def _coefficients() -> tuple[Array, Array, Array]:
    _, data = load_toml("evaluation.published", "greyscale.toml")
    numerator, denominator, inverse = (np.array(row, np.float64) for row in data["function"].values())
    return numerator, denominator, inverse
