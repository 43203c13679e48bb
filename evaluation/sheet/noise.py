"""Noise from a formula: the same on every machine and in every strip. Values of single precision.

Gradient noise on an integer lattice with a 32-bit integer hash, and sums of its octaves, which fade out as
they near the pixel, so that nothing aliases.
"""

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[Any]  # float32; the library's types take a float32 array times a number for float64
Words = NDArray[np.uint32]

_ANGLES = np.linspace(0, 2 * np.pi, 256, endpoint=False)
_COS: Final[Floats] = np.cos(_ANGLES).astype(np.float32)
_SIN: Final[Floats] = np.sin(_ANGLES).astype(np.float32)
_BY_X: Final = np.uint32(0x8DA6B343)  # factors of the hash, one for each direction
_BY_Y: Final = np.uint32(0xD8163841)
_SCALE: Final = np.float32(1.41)  # brings gradient noise to about -1..1


def _mixed(x: Words, y: Words, seed: int) -> Words:
    """The hash of places that were multiplied each by its factor; of a new array."""
    word = x ^ y
    word ^= np.uint32((seed * 0xCB1AB31F + 0x165667B1) & 0xFFFFFFFF)
    word ^= word >> np.uint32(15)
    word *= np.uint32(0x2C1B3C6D)
    word ^= word >> np.uint32(12)
    word *= np.uint32(0x297A2D39)
    word ^= word >> np.uint32(15)
    return word


def lattice(values: Floats) -> Words:
    """Whole numbers, negative ones too, as words of the hash."""
    return values.astype(np.int32).view(np.uint32)


def random(ix: Words, iy: Words, seed: int) -> Floats:
    """0..1, one value for each lattice point."""
    share: Floats = _mixed(ix * _BY_X, iy * _BY_Y, seed).astype(np.float32)
    share *= np.float32(1 / 4294967296.0)
    return share


def noise(x: Floats, y: Floats, seed: int = 0) -> Floats:
    """Gradient noise, about -1..1, of one lattice cell a unit."""
    x, y = np.broadcast_arrays(np.asarray(x, np.float32), np.asarray(y, np.float32))
    fx, fy = np.floor(x), np.floor(y)
    left, above = lattice(fx) * _BY_X, lattice(fy) * _BY_Y
    right, below = left + _BY_X, above + _BY_Y
    x, y = x - fx, y - fy
    x1, y1 = x - np.float32(1), y - np.float32(1)

    def corner(a: Words, b: Words, dx: Floats, dy: Floats) -> Floats:
        turn = _mixed(a, b, seed) >> np.uint32(24)
        slope: Floats = _COS[turn]
        slope *= dx
        other = _SIN[turn]
        other *= dy
        slope += other
        return slope

    u, v = _eased(x), _eased(y)
    low, high = corner(left, above, x, y), corner(left, below, x, y1)
    low += u * (corner(right, above, x1, y) - low)
    high += u * (corner(right, below, x1, y1) - high)
    high -= low
    high *= v
    high += low
    high *= _SCALE
    return high


def _eased(x: Floats) -> Floats:
    """6 x^5 - 15 x^4 + 10 x^3: from one lattice point to the next without a kink."""
    found: Floats = x * np.float32(6)
    found -= np.float32(15)
    found *= x
    found += np.float32(10)
    found *= x
    found *= x
    found *= x
    return found


def octaves(
    x: Floats,
    y: Floats,
    longest: float,
    pitch: float | Floats,
    count: int = 6,
    gain: float = 0.5,
    seed: int = 0,
) -> Floats:
    """Noise of `count` wavelengths from `longest` down, halved each time; each weaker by `gain`.

    x, y, longest and pitch (from pixel to pixel) in one unit; a wavelength fades between 3 and 1.5 pitches.
    """
    total: Floats = np.zeros(np.broadcast_shapes(np.shape(x), np.shape(y)), np.float32)
    weight = np.float32(1.0)
    for octave in range(count):
        wave = np.float32(longest / 2**octave)
        fade = np.clip((wave / np.asarray(pitch, np.float32) - 1.5) / 1.5, 0, 1).astype(np.float32)
        if not fade.any():
            break
        total = total + weight * fade * noise(x / wave, y / wave, seed + octave * 7)
        weight = weight * np.float32(gain)
    return total
