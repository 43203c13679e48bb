"""IPT, a colour space in which lines of constant hue look constant in hue.

F. Ebner, M. D. Fairchild, Development and testing of a color space (IPT) with improved hue uniformity,
6th Color Imaging Conference, 1998. It is defined for D65; colours for D50 are adapted by linear Bradford.

CIELAB is not hue-linear in blue: a ramp of constant h_ab turns violet to the eye.
"""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.colorimetry.adaptation import bradford
from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz, xyz_from_lab

Array = NDArray[np.float64]

_LMS: Final[Array] = np.array([[0.4002, 0.7075, -0.0807], [-0.2280, 1.1500, 0.0612], [0.0, 0.0, 0.9184]])
_IPT: Final[Array] = np.array(
    [[0.4000, 0.4000, 0.2000], [4.4550, -4.8510, 0.3960], [0.8056, 0.3572, -1.1628]]
)
_EXPONENT: Final = 0.43
# Where the published matrix gives L = M = S = 1, so that neutrals are neutral: D65, about 95.0, 100, 108.9.
_D65_WHITE: Final[Array] = np.linalg.solve(_LMS, np.full(3, 100.0)).astype(np.float64)
# Both steps of the way from XYZ for D50 are matrices.
_FROM_XYZ: Final[Array] = bradford(np.eye(3) / 100, D50_WHITE, _D65_WHITE) @ _LMS.T


def ipt_from_lab(lab_d50: ArrayLike) -> Array:
    """I, P, T (..., 3) of CIELAB for D50 (..., 3): I is lightness, 0..1, P red-green and T yellow-blue."""
    lms = xyz_from_lab(lab_d50) @ _FROM_XYZ
    ipt: Array = np.copysign(np.abs(lms) ** _EXPONENT, lms) @ _IPT.T
    return ipt


def lab_from_ipt(ipt: ArrayLike) -> Array:
    """CIELAB for D50 (..., 3) of IPT (..., 3); the inverse of `ipt_from_lab`."""
    coded = np.asarray(ipt, np.float64) @ np.linalg.inv(_IPT).T
    lms = np.copysign(np.abs(coded) ** (1 / _EXPONENT), coded)
    xyz = 100 * lms @ np.linalg.inv(_LMS).T
    return lab_from_xyz(bradford(xyz, _D65_WHITE, D50_WHITE))


def ipt_hue(lab_d50: ArrayLike) -> Array:
    """The hue angle in IPT (...), degrees, 0 <= h < 360, of CIELAB for D50 (..., 3)."""
    ipt = ipt_from_lab(lab_d50)
    degrees: Array = np.mod(np.mod(np.degrees(np.arctan2(ipt[..., 2], ipt[..., 1])), 360.0), 360.0)
    return degrees
