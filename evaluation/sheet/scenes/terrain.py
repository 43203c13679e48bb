"""Landscapes of one height for every place: rays marched to them, normals, and shadows of a low sun.

Marching reads the height from a grid that is laid once; the last step and the normals take the true function.
"""

from collections.abc import Callable
from typing import Final

import numpy as np

from evaluation.sheet.noise import Floats
from evaluation.sheet.scenes.ground import SLOT_MM, rise, unit

Height = Callable[[Floats, Floats], Floats]
Rays = Callable[[Floats, Floats], tuple[Floats, Floats]]

_HALVINGS: Final = 7
_COARSE_MM: Final = 0.5
_BEYOND: Final = 4
_ROWS: Final = 8  # of a grid laid at once


class Grid:
    """A smooth height on a grid of `step` mm, interpolated."""

    def __init__(self, height: Height, x: tuple[float, float], z: tuple[float, float], step: float) -> None:
        self.x0, self.z0, self.step = np.float32(x[0]), np.float32(z[0]), np.float32(step)
        along = np.arange(*x, step, dtype=np.float32)
        down = np.arange(*z, step, dtype=np.float32)
        rows = [down[first : first + _ROWS] for first in range(0, down.size, _ROWS)]
        parts = [height(np.tile(along, some.size), np.repeat(some, along.size)) for some in rows]
        self.high, self.wide = down.size, along.size
        self.table = np.concatenate(parts).astype(np.float32)

    def __call__(self, x: Floats, z: Floats) -> Floats:
        u = np.clip((x - self.x0) / self.step, 0, np.float32(self.wide - 1.01))
        v = np.clip((z - self.z0) / self.step, 0, np.float32(self.high - 1.01))
        i, j = u.astype(np.int32), v.astype(np.int32)
        u, v = u - i, v - j
        k = j * self.wide + i
        a, b = self.table[k], self.table[k + 1]
        c, d = self.table[k + self.wide], self.table[k + self.wide + 1]
        found: Floats = (a + (b - a) * u) * (1 - v) + (c + (d - c) * u) * v
        return found


def marched(
    height: Height, o: Floats, d: Floats, start: Floats, far: float, grow: float, top: float
) -> Floats:
    """Distances (n,) along rays to the ground, in steps that grow by a factor, then halved; infinite: none.

    Rays above `top` that do not fall are given up.
    """
    t = start.copy()
    low, high = t.copy(), np.full(t.shape, np.inf, np.float32)
    going = np.arange(t.size)
    factor = np.float32(grow)
    while going.size:
        after = t[going] * factor
        y = o[1] + d[1, going] * after
        below = y < height(o[0] + d[0, going] * after, o[2] + d[2, going] * after)
        met = going[below]
        low[met], high[met] = t[met], after[below]
        t[going] = after
        lost = ((y > top) & (d[1, going] >= 0)) | (after > far)
        going = going[~below & ~lost]
    m = np.flatnonzero(np.isfinite(high))
    for _ in range(_HALVINGS):
        middle = 0.5 * (low[m] + high[m])
        below = o[1] + d[1, m] * middle < height(o[0] + d[0, m] * middle, o[2] + d[2, m] * middle)
        high[m], low[m] = np.where(below, middle, high[m]), np.where(below, low[m], middle)
    found: Floats = np.where(np.isfinite(high), 0.5 * (low + high), np.float32(np.inf))
    return found


class CoarseTerrain:
    """Where to start fine rays: a little before the nearest hit of the coarse rays around each."""

    def __init__(
        self, height: Height, rays: Rays, near: float, far: float, grow: float, top: float, width: float
    ) -> None:
        across, down = (
            int(width / _COARSE_MM) + 2 * _BEYOND + 1,
            int(SLOT_MM[1] / _COARSE_MM) + 2 * _BEYOND + 1,
        )
        self.left = (SLOT_MM[0] - width) / 2
        x = self.left + (np.arange(across, dtype=np.float32) - _BEYOND) * _COARSE_MM
        y = (np.arange(down, dtype=np.float32) - _BEYOND) * _COARSE_MM
        o, d = rays(np.tile(x, down), np.repeat(y, across))
        t = marched(height, o, d, np.full(across * down, near, np.float32), far, grow, top)
        grid = np.minimum(t, far).reshape(down, across)
        wide = np.pad(grid, 2, mode="edge")
        around = [wide[r : r + down, c : c + across] for r in range(5) for c in range(5)]
        self.starts = np.maximum(np.minimum.reduce(around) * 0.94, near)

    def start(self, x: Floats, y: Floats) -> Floats:
        down, across = self.starts.shape
        column = np.clip(np.rint((x - self.left) / _COARSE_MM).astype(np.intp) + _BEYOND, 0, across - 1)
        row = np.clip(np.rint(y / _COARSE_MM).astype(np.intp) + _BEYOND, 0, down - 1)
        found: Floats = self.starts[row, column].astype(np.float32)
        return found


def normal(height: Height, x: Floats, z: Floats, e: float) -> Floats:
    step = np.float32(e)
    dx, dz = height(x - step, z) - height(x + step, z), height(x, z - step) - height(x, z + step)
    return unit(np.stack([dx, np.full_like(dx, 2 * e), dz]))


def sunlit(height: Height, p: Floats, sun: Floats, soft: float, reach: float, steps: int) -> Floats:
    """0..1, how much of the sun is seen: the least clearance on the way to it, over its distance."""
    seen: Floats = np.ones(p.shape[1], np.float32)
    t = 0.35
    grow = (reach / t) ** (1 / steps)
    going = np.arange(p.shape[1])
    for _ in range(steps):
        q = p[:, going] + sun * np.float32(t)
        clear = (q[1] - height(q[0], q[2])) / np.float32(t)
        seen[going] = np.minimum(seen[going], rise(-soft, soft, clear))
        going = going[seen[going] > 0]
        t *= grow
    return seen
