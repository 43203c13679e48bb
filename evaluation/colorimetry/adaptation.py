"""Corresponding colours under another white, fully adapted: Bradford (ICC.1), CAT02, CAT16 (CIE 248)."""

from collections.abc import Callable, Mapping
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

# ICC.1:2022, Annex E.
BRADFORD: Final[Array] = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)
# CIE 248:2022; C. Li et al., Comprehensive colour solutions: CAM16, CAT16 and CAM16-UCS, 2017.
CAT16: Final[Array] = np.array(
    [[0.401288, 0.650173, -0.051461], [-0.250268, 1.204414, 0.045854], [-0.002079, 0.048952, 0.953127]]
)
# CIE 159:2004, the transform of CIECAM02.
CAT02: Final[Array] = np.array(
    [[0.7328, 0.4296, -0.1624], [-0.7036, 1.6975, 0.0061], [0.0030, 0.0136, 0.9834]]
)


def bradford(xyz: ArrayLike, from_white: ArrayLike, to_white: ArrayLike) -> Array:
    """Corresponding colours by the linear Bradford transform of ICC.1, which takes D65 encodings to D50.

    Parameters
    ----------
    xyz : (..., 3)
        XYZ as seen under `from_white`.
    from_white, to_white : (..., 3)
        XYZ of the two whites on the scale of `xyz`; they broadcast.

    Returns
    -------
    (..., 3): the XYZ that looks the same under `to_white`.
    """
    return _adapted(np.asarray(xyz, np.float64), from_white, to_white, BRADFORD)


def cat16(xyz: ArrayLike, from_white: ArrayLike, to_white: ArrayLike) -> Array:
    """As `bradford`, by CAT16 with full adaptation, D = 1 (CIE 248): a print under another light source."""
    return _adapted(np.asarray(xyz, np.float64), from_white, to_white, CAT16)


def cat02(xyz: ArrayLike, from_white: ArrayLike, to_white: ArrayLike) -> Array:
    """As `bradford`, by CAT02 with full adaptation, D = 1 (CIE 159)."""
    return _adapted(np.asarray(xyz, np.float64), from_white, to_white, CAT02)


def _adapted(xyz: Array, from_white: ArrayLike, to_white: ArrayLike, cone: Array) -> Array:
    gain = (np.asarray(to_white, np.float64) @ cone.T) / (np.asarray(from_white, np.float64) @ cone.T)
    adapted: Array = ((xyz @ cone.T) * gain) @ _inverse(cone.tobytes()).T
    return adapted


@cache
def _inverse(cone: bytes) -> Array:
    return np.asarray(np.linalg.inv(np.frombuffer(cone).reshape(3, 3)), np.float64)


Transform = Callable[[ArrayLike, ArrayLike, ArrayLike], Array]

# Published transforms that differ for a print under another light; the first is the one that is shown.
TRANSFORMS: Final[Mapping[str, Transform]] = {"CAT16": cat16, "CAT02": cat02, "linear Bradford": bradford}
