"""RGB encodings that a sheet can be made in, and the D50 colours they stand for.

`srgb`       IEC 61966-2-1, D65, its own curve
`oprgb`      IEC 61966-2-5, D65, exponent 563/256
`ecirgb-v2`  ISO 22028-4 (eciRGB v2), D50, coded by L*
`romm-rgb`   ISO 22028-2 (ROMM RGB), D50, exponent 1.8

A neutral RGB is a neutral of D50 (96.422, 100, 82.521) in all of them: whites with other last digits are
mapped to it, D65 by linear Bradford. A file with an embedded profile is better interpreted by that profile.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.colorimetry.adaptation import bradford
from evaluation.colorimetry.lab import D50_WHITE, KAPPA

Array = NDArray[np.float64]
Curve = Callable[[Array], Array]
Chromaticity = tuple[float, float]

D65: Final[Chromaticity] = (0.3127, 0.3290)


@dataclass(frozen=True)
class RgbEncoding:
    """Chromaticities of the primaries and the white (None: D50), and the two curves for values from 0 up."""

    red: Chromaticity
    green: Chromaticity
    blue: Chromaticity
    white: Chromaticity | None
    decode: Curve
    encode: Curve

    @cached_property
    def matrix(self) -> Array:
        """Linear RGB to D50 XYZ, (3, 3); its rows sum to D50."""
        white = D50_WHITE if self.white is None else _xyz(self.white)
        primaries = np.array([_xyz(primary) for primary in (self.red, self.green, self.blue)])
        native = np.linalg.solve(primaries.T, white)[:, None] * primaries
        return bradford(native, white, D50_WHITE).T


def xyz_from_rgb(rgb: ArrayLike, encoding: str) -> Array:
    """D50 XYZ (..., 3), Y = 100 for white, of RGB (..., 3), 0..1. Raises KeyError for an unknown encoding.

    >>> [round(float(v), 3) for v in xyz_from_rgb([1.0, 1.0, 1.0], "srgb")]
    [96.422, 100.0, 82.521]
    """
    space = ENCODINGS[encoding]
    return _both_signs(space.decode, np.asarray(rgb, np.float64)) @ space.matrix.T


def rgb_from_xyz(xyz: ArrayLike, encoding: str) -> Array:
    """RGB (..., 3) of D50 XYZ (..., 3), Y = 100 for white; the inverse of `xyz_from_rgb`.

    Values fall below 0 or above 1 where the encoding cannot hold the colour; nothing is clipped. Raises
    KeyError for an unknown encoding.
    """
    space = ENCODINGS[encoding]
    linear = np.asarray(xyz, np.float64) @ np.linalg.inv(space.matrix).T
    return _both_signs(space.encode, linear)


def _xyz(chromaticity: Chromaticity) -> Array:
    x, y = chromaticity
    return np.array([x / y, 1.0, (1 - x - y) / y]) * 100


def _both_signs(curve: Curve, values: Array) -> Array:
    """The curve mirrored below 0, so that colours outside the encoding survive a round trip."""
    return np.copysign(curve(np.abs(values)), values)


def _decode_srgb(v: Array) -> Array:
    return np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)


def _encode_srgb(v: Array) -> Array:
    return np.where(v <= 0.0031308, v * 12.92, 1.055 * v ** (1 / 2.4) - 0.055)


def _decode_oprgb(v: Array) -> Array:
    decoded: Array = v ** (563 / 256)
    return decoded


def _encode_oprgb(v: Array) -> Array:
    encoded: Array = v ** (256 / 563)
    return encoded


def _decode_ecirgb(v: Array) -> Array:
    return np.where(v <= 0.08, v * 100 / KAPPA, ((v + 0.16) / 1.16) ** 3)


def _encode_ecirgb(v: Array) -> Array:
    return np.where(v <= 8 / KAPPA, v * KAPPA / 100, 1.16 * np.cbrt(v) - 0.16)


def _decode_romm(v: Array) -> Array:
    return np.where(v < 16 / 512, v / 16, v**1.8)


def _encode_romm(v: Array) -> Array:
    return np.where(v < 1 / 512, v * 16, v ** (1 / 1.8))


ENCODINGS: Final = MappingProxyType(
    {
        "srgb": RgbEncoding((0.64, 0.33), (0.30, 0.60), (0.15, 0.06), D65, _decode_srgb, _encode_srgb),
        "oprgb": RgbEncoding((0.64, 0.33), (0.21, 0.71), (0.15, 0.06), D65, _decode_oprgb, _encode_oprgb),
        "ecirgb-v2": RgbEncoding(
            (0.67, 0.33), (0.21, 0.71), (0.14, 0.08), None, _decode_ecirgb, _encode_ecirgb
        ),
        "romm-rgb": RgbEncoding(
            (0.7347, 0.2653), (0.1596, 0.8404), (0.0366, 0.0001), None, _decode_romm, _encode_romm
        ),
    }
)
