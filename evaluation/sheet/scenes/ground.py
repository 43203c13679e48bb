"""Common ground of the pictures: colours, tone, vectors, cameras, and drawing in strips.

A picture is a pure function of points: x, y in mm on its slot and the distance of pixels in mm give linear
light, (3, n) in ROMM primaries (ISO 22028-2, D50), 1 for paper white. Nothing depends on the strip drawn.
"""

from collections.abc import Callable
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from evaluation.colorimetry.encodings import ENCODINGS
from evaluation.colorimetry.lab import luminance, xyz_from_lab
from evaluation.sheet.noise import Floats, lattice, random

Points = Callable[[Floats, Floats, float], Floats]

SLOT_MM: Final = (60.0, 45.0)  # of a picture on every sheet
_FROM_XYZ: Final = np.linalg.inv(ENCODINGS["romm-rgb"].matrix)
LUMA: Final[Floats] = (ENCODINGS["romm-rgb"].matrix[1] / 100).astype(np.float32)[:, None]  # to Y, 0..1
UP: Final = (0.0, 1.0, 0.0)


def colour(L: float, a: float, b: float) -> Floats:
    """(3, 1) linear light of a colour in CIELAB for D50."""
    return colours(np.array([[L, a, b]]))


def colours(lab: ArrayLike) -> Floats:
    """(3, n) linear light of colours in CIELAB (n, 3)."""
    light: Floats = (_FROM_XYZ @ xyz_from_lab(lab).T).astype(np.float32)
    return light


def grey(L: ArrayLike) -> Floats:
    """(n,) luminance, 0..1, of L*."""
    found: Floats = (luminance(L) / 100).astype(np.float32)
    return found


def lightness_of(Y: Floats) -> Floats:
    """(3, n) neutral light of luminance Y (n,)."""
    return np.repeat(Y[None], 3, 0) * colour(100, 0, 0)


@lru_cache(maxsize=1024)
def vec(x: float, y: float, z: float) -> Floats:
    """A column to calculate with (3, n), the same array for the same numbers."""
    column: Floats = np.array([[x], [y], [z]], np.float32)
    column.flags.writeable = False
    return column


def dot(a: Floats, b: Floats) -> Floats:
    """(n,) scalar products of columns."""
    found: Floats = a[0] * b[0]
    found += a[1] * b[1]
    found += a[2] * b[2]
    return found


def unit(v: Floats) -> Floats:
    """Columns of length 1."""
    found: Floats = v / np.maximum(np.sqrt(dot(v, v)), np.float32(1e-9))
    return found


def cross(a: Floats, b: Floats) -> Floats:
    found: Floats = np.cross(a, b, axis=0).astype(np.float32)
    return found


def rise(low: float | Floats, high: float | Floats, x: Floats) -> Floats:
    """0 below `low`, 1 above `high`, smooth between."""
    t = np.clip((x - low) / (high - low), 0, 1)
    found: Floats = t * t * (3 - 2 * t)
    return found


def turned(v: Floats, axis: int, angle: float) -> Floats:
    """Columns turned about one axis, radians."""
    one, other = [(1, 2), (2, 0), (0, 1)][axis]
    c, s = np.float32(np.cos(angle)), np.float32(np.sin(angle))
    found = v.copy()
    found[one] = c * v[one] - s * v[other]
    found[other] = s * v[one] + c * v[other]
    return found


def rays(
    x: Floats, y: Floats, eye: tuple[float, float, float], at: tuple[float, float, float], wide: float
) -> tuple[Floats, Floats]:
    """Where the eye is (3, 1) and the directions (3, n) in which it sees points of the slot.

    `wide` is the width that the slot spans at distance 1.
    """
    here = vec(*eye)
    ahead = unit(vec(*at) - here)
    right = unit(cross(ahead, vec(*UP)))
    above = cross(right, ahead)
    if ahead[2, 0] > 0:
        right = -right  # landscapes lie towards +z, with x to the right
    step = np.float32(wide / SLOT_MM[0])
    seen = unit(ahead + right * (x - SLOT_MM[0] / 2) * step + above * (SLOT_MM[1] / 2 - y) * step)
    return here, seen


def rolled_off(light: Floats, start: float, top: float = 1.0) -> Floats:
    """A shoulder: linear to `start`, then nearing `top`; channels keep their ratio, lights pale to white."""
    Y = np.maximum((LUMA * light).sum(0), np.float32(1e-7))
    room = top - start
    held = np.where(start > Y, Y, start + room * (1 - np.exp(-(Y - start) / room)))
    pale = np.clip((Y - start) / (4 * room), 0, 1) ** np.float32(0.8)
    found: Floats = light * (held / Y) * (1 - pale) + pale * held
    return found


def lifted(light: Floats, least: float) -> Floats:
    """A toe: no colour darker than `least`."""
    found: Floats = np.maximum(least + (1 - least) * light, 0).astype(np.float32)
    return found


def cells(x: Floats, y: Floats, seed: int) -> Floats:
    """Distance to the nearest of points that lie one to a cell, each moved about in it."""
    fx, fy = np.floor(x), np.floor(y)
    nearest: Floats = np.full(x.shape, 9, np.float32)
    for a in (-1, 0, 1):
        for b in (-1, 0, 1):
            ix, iy = lattice(fx + a), lattice(fy + b)
            px = fx + a + 0.5 + 0.9 * (random(ix, iy, seed) - 0.5)
            py = fy + b + 0.5 + 0.9 * (random(ix, iy, seed + 1) - 0.5)
            nearest = np.minimum(nearest, np.hypot(px - x, py - y))
    return nearest


def whole(values: Floats) -> Floats:
    found: Floats = np.floor(values)
    return found


def drawn(
    points: Points,
    width: int,
    first: int,
    last: int,
    height: int,
    pitch: float,
    *,
    edges: float,
    fine: int,
    left: float = 0.0,
) -> Floats:
    """Rows `first` to `last` of a picture, (rows, width, 3) linear light.

    `left` is the place in the slot, mm, where it begins: below 0 for a picture wider than its slot. Pixels
    that differ from a neighbour by more than `edges` (of the cube root of light) are drawn again with
    `fine` x `fine` samples.
    """
    above, below = max(0, first - 1), min(height, last + 1)
    rows = below - above
    column = (np.arange(width, dtype=np.float32) + np.float32(0.5)) * np.float32(pitch) + np.float32(left)
    row = (np.arange(above, below, dtype=np.float32) + np.float32(0.5)) * np.float32(pitch)
    x, y = np.tile(column, rows), np.repeat(row, width)
    light = points(x, y, pitch).T.reshape(rows, width, 3).astype(np.float32)
    if fine > 1:
        coded = np.cbrt(np.clip(light, 0, 1))
        marked = np.zeros((rows, width), bool)
        down = np.abs(np.diff(coded, axis=0)).max(-1) > edges
        along = np.abs(np.diff(coded, axis=1)).max(-1) > edges
        marked[1:] |= down
        marked[:-1] |= down
        marked[:, 1:] |= along
        marked[:, :-1] |= along
        marked[: first - above] = False
        marked[last - above :] = False
        where = np.flatnonzero(marked)
        if where.size:
            total: Floats = np.zeros((3, where.size), np.float32)
            for u in range(fine):
                for v in range(fine):
                    dx = np.float32(((u + 0.5) / fine - 0.5) * pitch)
                    dy = np.float32(((v + 0.5) / fine - 0.5) * pitch)
                    total += np.minimum(points(x[where] + dx, y[where] + dy, pitch), 1)
            light.reshape(-1, 3)[where] = (total / (fine * fine)).T
    return light[first - above : last - above]
