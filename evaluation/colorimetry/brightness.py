"""Brightness of paper at 457 nm, from a spectrum that reaches far enough into the violet.

The weights are the product that ISO 2470 lays down for blue reflectance, effective wavelength 457 nm. ISO
2470-2 asks for diffuse light whose ultraviolet is set to D65; an instrument of 45:0 geometry has neither, so
its value compares papers that were read alike, and none with what a maker states.
"""

from functools import cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.published.passport import load_table

Array = NDArray[np.float64]

FIRST, LAST = 400.0, 510.0  # nm that the weights span
COARSEST: Final = 10.0  # nm between bands, beyond which the weights cannot be followed (project's own choice)


def brightness(wavelengths: ArrayLike, spectra: ArrayLike) -> Array | None:
    """Blue reflectance (...,), percent, of reflectance factors (..., bands), 1 = perfect diffuser.

    None where the bands do not span 400 to 510 nm or lie more than 10 nm apart.
    """
    nm = np.asarray(wavelengths, np.float64)
    inside = nm[(nm >= FIRST) & (nm <= LAST)]
    if len(inside) < 2 or nm[0] > FIRST or nm[-1] < LAST or np.diff(inside).max() > COARSEST:
        return None
    at, weights = weights_at()
    values = np.asarray(spectra, np.float64)
    read = np.apply_along_axis(lambda row: np.interp(at, nm, row), -1, values)
    found: Array = 100 * read @ weights
    return found


@cache
def weights_at() -> tuple[Array, Array]:
    """Wavelengths (23,), nm, and the weights (23,) there, which add up to 1."""
    table = load_table("evaluation.published", "brightness.csv")
    weights = np.array(table.numbers("weight"))
    return np.array(table.numbers("nm")), weights / weights.sum()
