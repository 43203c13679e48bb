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
_SCALE: Final = np.float32(1.41)  # brings gradient noise to about -1..1


def _hashed(ix: Words, iy: Words, seed: int) -> Words:
    salt = np.uint32((seed * 0xCB1AB31F + 0x165667B1) & 0xFFFFFFFF)
    word = (ix * np.uint32(0x8DA6B343)) ^ (iy * np.uint32(0xD8163841)) ^ salt
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
    share: Floats = _hashed(ix, iy, seed).astype(np.float32) * np.float32(1 / 4294967296.0)
    return share


def noise(x: Floats, y: Floats, seed: int = 0) -> Floats:
    """Gradient noise, about -1..1, of one lattice cell a unit."""
    x, y = np.broadcast_arrays(np.asarray(x, np.float32), np.asarray(y, np.float32))
    fx, fy = np.floor(x), np.floor(y)
    ix, iy = lattice(fx), lattice(fy)
    x, y = x - fx, y - fy
    one = np.uint32(1)

    def corner(a: Words, b: Words, dx: Floats, dy: Floats) -> Floats:
        turn = _hashed(a, b, seed) >> np.uint32(24)
        slope: Floats = _COS[turn] * dx + _SIN[turn] * dy
        return slope

    u = x * x * x * (x * (x * 6 - 15) + 10)
    v = y * y * y * (y * (y * 6 - 15) + 10)
    n00, n10 = corner(ix, iy, x, y), corner(ix + one, iy, x - 1, y)
    n01, n11 = corner(ix, iy + one, x, y - 1), corner(ix + one, iy + one, x - 1, y - 1)
    low, high = n00 + u * (n10 - n00), n01 + u * (n11 - n01)
    found: Floats = _SCALE * (low + v * (high - low))
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
