"""CIE whiteness and tint of a paper, D65 and the 10 degree observer (CIE 015:2018, 9.4; ISO 11475 for paper).

ISO 11475 asks for diffuse light whose ultraviolet is set to D65. Instruments of the 45:0 geometry have
neither, and M1 makes whitener glow as D50 does: their numbers compare papers that were read alike, and none
of them with what a maker states.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.colorimetry.illuminants import illuminants
from evaluation.colorimetry.weights import weights, wide_observer

Array = NDArray[np.float64]

_LEAST: Final = 40.0
_TINTS: Final = (-4.0, 2.0)


@dataclass(frozen=True, slots=True, eq=False)
class Whiteness:
    """Each (...), as the spectra came.

    whiteness  W10: 100 is the perfect diffuser, above it bluish, below it yellowish
    tint       T10: above 0 greenish, below 0 reddish
    is_white   False: outside of the limits that the formula is made for; then the two mean nothing
    """

    whiteness: Array
    tint: Array
    is_white: NDArray[np.bool_]


def whiteness(wavelengths: ArrayLike, spectra: ArrayLike) -> Whiteness:
    """Whiteness and tint of reflectance factors (..., bands), 1 = perfect diffuser.

    Wavelengths as in `spectra.xyz_from_spectra`; raises FileProblem likewise. The limits are those of
    CIE 015: W10 from 40 to 5 Y10 - 280, T10 from -4 to 2.
    """
    products = illuminants()["D65"].power[:, None] * wide_observer()
    table = weights(products * (100 / products[:, 1].sum()), wavelengths)
    xyz = np.asarray(spectra, np.float64) @ table
    white = table.sum(axis=0)
    of_white, of_paper = white[:2] / white.sum(), xyz[..., :2] / xyz.sum(axis=-1, keepdims=True)
    x, y = np.moveaxis(of_white - of_paper, -1, 0)
    W, T, most = xyz[..., 1] + 800 * x + 1700 * y, 900 * x - 650 * y, 5 * xyz[..., 1] - 280
    return Whiteness(W, T, (W > _LEAST) & (most > W) & (T > _TINTS[0]) & (T < _TINTS[1]))  # noqa: SIM300
