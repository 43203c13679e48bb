"""Colour differences: CIEDE2000 (ISO/CIE 11664-6), CIE 1976 (ISO/CIE 11664-4) and its parts.

Every function takes the reference or aim first and the sample second, CIELAB (..., 3) with leading axes
that broadcast, and returns (...). Signed parts are sample minus reference. Our own, with colour-science as
the oracle of its tests: CIEDE2000 of 30 pairs takes 0.2 ms here and 0.9 ms there, of 3,000 1.6 and 6 ms.
"""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.colorimetry.lab import chroma

Array = NDArray[np.float64]

# Opposite hues lie exactly 180 degrees apart only up to rounding; without the guard the mean hue, and with it
# the difference, depends on the last bit (pairs 10 and 14 of Sharma, Wu and Dalal 2005).
_HUE_GUARD: Final = 1e-10
_25_TO_THE_7TH: Final = 25.0**7


def delta_e_2000(reference: ArrayLike, sample: ArrayLike) -> Array:
    """CIEDE2000 under its reference conditions, kL = kC = kH = 1, after Sharma, Wu and Dalal (2005).

    The reference conditions (ISO/CIE 11664-6) are D65 at 1000 lx, a background of L* 50 and samples larger
    than 4 degrees in edge contact, up to 5 units apart. Prints are compared for D50 and not in contact, as is
    common practice: there the number ranks differences more than it states how visible each one is.

    >>> round(float(delta_e_2000([50.0, 2.6772, -79.7751], [50.0, 0.0, -82.7485])), 4)
    2.0425
    """
    reference, sample = np.asarray(reference, np.float64), np.asarray(sample, np.float64)
    L1, L2 = reference[..., 0], sample[..., 0]
    off = ((L1 + L2) / 2 - 50) ** 2
    lightness = (L2 - L1) / (1 + 0.015 * off / np.sqrt(20 + off))
    difference: Array = np.sqrt(lightness**2 + _chromatic_square(reference, sample))
    return difference


def delta_e_2000_equal_l(reference: ArrayLike, sample: ArrayLike) -> Array:
    """CIEDE2000, as `delta_e_2000`, of two colours made equally light: the visible part of a cast."""
    reference, sample = np.asarray(reference, np.float64), np.asarray(sample, np.float64)
    difference: Array = np.sqrt(_chromatic_square(reference, sample))
    return difference


def delta_e_76(reference: ArrayLike, sample: ArrayLike) -> Array:
    """dE*ab (ISO/CIE 11664-4), the distance in CIELAB."""
    gap = np.asarray(sample, np.float64) - np.asarray(reference, np.float64)
    distance: Array = np.sqrt(np.einsum("...i,...i->...", gap, gap))
    return distance


def delta_l(reference: ArrayLike, sample: ArrayLike) -> Array:
    """dL*, above 0 where the sample is lighter."""
    return np.asarray(sample, np.float64)[..., 0] - np.asarray(reference, np.float64)[..., 0]


def delta_c(reference: ArrayLike, sample: ArrayLike) -> Array:
    """dC*ab, above 0 where the sample has more chroma."""
    return chroma(sample) - chroma(reference)


def delta_h(reference: ArrayLike, sample: ArrayLike) -> Array:
    """dH*ab, above 0 where the hue angle of the sample is larger; dE*ab^2 = dL*^2 + dC*ab^2 + dH*ab^2."""
    reference, sample = np.asarray(reference, np.float64), np.asarray(sample, np.float64)
    turn = np.arctan2(sample[..., 2], sample[..., 1]) - np.arctan2(reference[..., 2], reference[..., 1])
    shortest = turn - 2 * np.pi * np.round(turn / (2 * np.pi))
    difference: Array = 2 * np.sqrt(chroma(reference) * chroma(sample)) * np.sin(shortest / 2)
    return difference


def delta_ch(reference: ArrayLike, sample: ArrayLike) -> Array:
    """dCh (ISO 12647-7), the distance in the a*b* plane: what is left when lightness is taken out."""
    gap = np.asarray(sample, np.float64)[..., 1:] - np.asarray(reference, np.float64)[..., 1:]
    return np.hypot(gap[..., 0], gap[..., 1])


def _chromatic_square(reference: Array, sample: Array) -> Array:
    """The sum of the squared terms of chroma, hue and rotation in CIEDE2000; never below 0."""
    a1, b1 = reference[..., 1], reference[..., 2]
    a2, b2 = sample[..., 1], sample[..., 2]

    stretch = 1.5 - 0.5 * _seventh((_length(a1, b1) + _length(a2, b2)) / 2)
    a1, a2 = a1 * stretch, a2 * stretch
    C1, C2 = _length(a1, b1), _length(a2, b2)
    h1, h2 = _hue(a1, b1), _hue(a2, b2)

    turn = h2 - h1
    far = np.abs(turn) > 180 + _HUE_GUARD
    grey = C1 * C2 == 0
    total = h1 + h2
    h = np.where(grey, total, np.where(far, np.where(total < 360, total + 360, total - 360), total) / 2)
    turn = np.where(grey, 0.0, np.where(far, turn - np.copysign(360.0, turn), turn))

    C = (C1 + C2) / 2
    T = (
        1
        - 0.17 * np.cos(np.radians(h - 30))
        + 0.24 * np.cos(np.radians(2 * h))
        + 0.32 * np.cos(np.radians(3 * h + 6))
        - 0.20 * np.cos(np.radians(4 * h - 63))
    )
    chroma_term = (C2 - C1) / (1 + 0.045 * C)
    hue_term = 2 * np.sqrt(C1 * C2) * np.sin(np.radians(turn) / 2) / (1 + 0.015 * C * T)
    rotation = -2 * _seventh(C) * np.sin(np.radians(60 * np.exp(-(((h - 275) / 25) ** 2))))
    # Rounding may leave -1e-17 where the ellipse of the rotated terms is very thin.
    square: Array = np.maximum(chroma_term**2 + hue_term**2 + rotation * chroma_term * hue_term, 0.0)
    return square


def _length(a: Array, b: Array) -> Array:
    # np.hypot guards against overflow, which CIELAB never comes near, and takes four times as long.
    return np.sqrt(a * a + b * b)


def _hue(a: Array, b: Array) -> Array:
    """Degrees, 0..360."""
    degrees = np.degrees(np.arctan2(b, a))
    return np.where(degrees < 0, degrees + 360, degrees)


def _seventh(C: Array) -> Array:
    C7 = C**7
    return np.sqrt(C7 / (C7 + _25_TO_THE_7TH))
