"""Snow in low sun: drifts, wind-blown relief, sparkle and blue shade; nine tenths of it L* 90 to 99."""

from functools import lru_cache
from typing import Final

import numpy as np

from evaluation.sheet.noise import Floats, noise, octaves
from evaluation.sheet.scenes.ground import colours, dot, rays, rise, unit, vec
from evaluation.sheet.scenes.terrain import CoarseTerrain, Grid, marched, normal, sunlit

_SUN: Final = unit(vec(0.86, 0.26, 0.44))
_NEAR, _FAR, _TOP = 8.0, 260.0, 14.0
_GROW: Final = 1.015
_EYE_WIDE: Final = 0.62
_WIDEST: Final = 190.0  # mm of the slot, when it is drawn wider
_FAR_LAB: Final = np.array([94.5, -1.2, -3.0])


def points(x: Floats, y: Floats, pitch: float) -> Floats:
    o, d = _rays(x, y)
    t = marched(_grid(), o, d, _coarse().start(x, y), _FAR, _GROW, _TOP)
    high = d[1].astype(np.float64)
    up, wide = rise(0, 0.3, d[1]), rise(-0.05, 0.30, d[1])
    lab = np.stack([93.5 - 9 * wide, -1.5 - up, -3 - 9 * wide], -1).astype(np.float64)
    veil = rise(-0.2, 0.8, octaves(x / 1.6, high.astype(np.float32), 16.0, pitch, 6, 0.5, 61))
    lab[:, 0] += 3.6 * veil
    lab[:, 1:] *= (1 - 0.6 * veil)[:, None]
    m = np.flatnonzero(np.isfinite(t))
    if m.size:
        lab[m] = _snow(o + d[:, m] * t[m], t[m], pitch)
    return np.maximum(colours(lab), 0)


def _rays(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    return rays(x, y, (0, 21, -12), (0, 2.0, 40), _EYE_WIDE)


@lru_cache(maxsize=1)
def _grid() -> Grid:
    return Grid(_height, (-210, 210), (-12, 300), 0.5)


@lru_cache(maxsize=1)
def _coarse() -> CoarseTerrain:
    return CoarseTerrain(_grid(), _rays, _NEAR, _FAR, _GROW, _TOP, _WIDEST)


def _height(x: Floats, z: Floats) -> Floats:
    drifts = 3.6 * noise(x / 38, z / 30, 11) + 1.7 * noise(x / 17, z / 14, 12) + 0.7 * noise(x / 8, z / 6, 13)
    crests = 1 - np.abs(noise(x / 26 + 0.4 * noise(x / 40, z / 40, 15), z / 11, 14))
    found: Floats = drifts + 1.5 * crests * crests + 2.5 * rise(30, 120, z)
    return found


def _snow(p: Floats, t: Floats, pitch: float) -> np.ndarray:
    """CIELAB (n, 3): lightness by the light that falls, blue in the shade."""
    n = normal(_height, p[0], p[2], 0.2)
    x, z = p[0] / 1.9, p[2] * 1.1
    e = np.float32(0.06)

    def relief(u: Floats, v: Floats) -> Floats:
        return octaves(u, v, 2.6, pitch * 1.6, 6, 0.6, 44)

    rx = relief(x + e / 1.9, z) - relief(x - e / 1.9, z)
    rz = relief(x, z + e * 1.1) - relief(x, z - e * 1.1)
    steep = np.float32(0.075 / (2 * 0.06)) * np.clip(1.4 - t / 120, 0.1, 1)
    fine = unit(n + np.stack([-rx * steep, 0 * rx, -rz * steep]))
    seen = sunlit(_grid(), p, _SUN, 0.05, 45, 18)
    lit = np.clip(dot(fine, _SUN) * 0.75 + 0.18, 0, 1) * seen
    ambient = 0.55 + 0.45 * fine[1]
    sparkle = rise(0.62, 0.8, noise(p[0] / (pitch * 2.6), p[2] / (pitch * 2.6), 55)) * np.clip(
        1 - t / 60, 0, 1
    )
    u = np.clip(
        1.15 * (lit - 0.12) / 0.66 + 0.20 * ambient * (0.6 + 0.4 * seen) + 0.16 * sparkle * seen, 0, 1.0
    )
    L = np.clip(81.0 + 18.4 * u ** np.float32(0.85), 0, 99.4).astype(np.float64)
    k = np.clip((99 - L) / 15, 0, 1)
    lab = np.stack([L, -1.2 * k, 0.6 - 8.6 * k], -1)
    fog = (1 - np.exp(-np.maximum(t - 40, 0) / 140))[:, None]
    found: np.ndarray = lab * (1 - fog) + fog * _FAR_LAB
    return found
