"""Dunes in black and white: steep lee sides, ripples that wander and fork, haze, a low sun."""

from functools import lru_cache
from typing import Final

import numpy as np

from evaluation.sheet.noise import Floats, noise, octaves
from evaluation.sheet.scenes.ground import dot, grey, lightness_of, rays, rise, unit, vec, whole
from evaluation.sheet.scenes.solids import joined
from evaluation.sheet.scenes.terrain import CoarseTerrain, Grid, marched, normal, sunlit

_SUN: Final = unit(vec(0.86, 0.36, 0.20))
_BACK: Final = unit(vec(-0.8, 0.45, -0.3))
_NEAR, _FAR, _TOP = 6.0, 330.0, 24.0
_GROW: Final = 1.012
_CREST: Final = np.float32(0.972)  # height of the crest, where a dune turns to its lee side
_RIPPLE_MM: Final = 1.15
_EYE_WIDE: Final = 0.75
_WIDEST: Final = 190.0  # mm of the slot, when it is drawn wider


def points(x: Floats, y: Floats, pitch: float) -> Floats:
    o, d = _rays(x, y)
    t = marched(_grid(), o, d, _coarse().start(x, y), _FAR, _GROW, _TOP)
    above = rise(-0.03, 0.40, d[1]) ** np.float32(0.7)
    sky = grey(72) + (grey(24) - grey(72)) * above
    at = np.maximum(d[1] + 0.25, 0.1)
    veil = octaves(d[0] * 60 / at * 0.25, d[1] * 140, 14.0, pitch, 5, 0.5, 40)
    Y = sky * (1 + 0.10 * veil * rise(0, 0.1, d[1]))
    m = np.flatnonzero(np.isfinite(t))
    if m.size:
        Y[m] = _sand(o + d[:, m] * t[m], t[m], sky[m], pitch)
    Y = np.where(Y < 0.72, Y, 0.72 + 0.28 * (1 - np.exp(-(Y - 0.72) / 0.28))) * 0.985 + 0.0025
    return lightness_of(Y.astype(np.float32))


def _rays(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    return rays(x, y, (0, 17, -10), (2, 3.5, 60), _EYE_WIDE)


@lru_cache(maxsize=1)
def _grid() -> Grid:
    return Grid(_height, (-260, 260), (-12, 345), 0.25)


@lru_cache(maxsize=1)
def _coarse() -> CoarseTerrain:
    return CoarseTerrain(_grid(), _rays, _NEAR, _FAR, _GROW, _TOP, _WIDEST)


def _height(x: Floats, z: Floats) -> Floats:
    """Warped saw-toothed waves, swell on them, and a rise far away."""
    wx = x + 9 * noise(x / 60, z / 60, 1) + 3 * noise(x / 22, z / 22, 2)
    wz = z + 10 * noise(x / 50 + 7, z / 70, 3)
    phase = -(wz + 0.55 * wx) / 46 + 0.35 * noise(x / 90, z / 90, 4)
    s = phase - whole(phase)
    windward, lee = rise(0, 0.80, s), _CREST * ((1 - s) / np.float32(0.28)) ** np.float32(1.25)
    profile = joined(windward, lee, 0.10)
    swell = 2.4 * noise(x / 40, z / 60, 6) + 0.9 * noise(x / 15, z / 22, 9)
    far = 7.0 * rise(60, 150, z) * (0.5 + 0.5 * noise(x / 80, z / 60, 8))
    found: Floats = (6.5 + 4.5 * noise(x / 70 + 3, z / 80, 5)) * profile + swell + far
    return found


def _sand(p: Floats, t: Floats, sky: Floats, pitch: float) -> Floats:
    foot = t * np.float32(pitch * _EYE_WIDE / 60 * 1.6)  # of a pixel on the ground, mm
    n = normal(_height, p[0], p[2], 0.25)
    n = _rippled(p, n, foot)
    grain = noise(p[0] / 0.10, p[2] / 0.10, 31) * np.clip(1.5 - foot / 0.05, 0, 1)
    grain = grain + noise(p[0] / 0.35, p[2] / 0.35, 32) * np.clip(1.5 - foot / 0.17, 0, 1)
    seen = sunlit(_grid(), p, _SUN, 0.035, 70, 20)
    shade = 1 - seen
    open_to = 0.35 + 0.65 * rise(-2, 14, p[1])
    light = 1.75 * np.clip(dot(n, _SUN), 0, 1) * seen + 0.0025
    light = light + 0.009 * (0.5 + 0.5 * n[1]) * (0.5 + 0.5 * np.clip(n[2] * 0.4 - n[0] * 0.6, -1, 1))
    light = light + 0.042 * shade * np.clip(0.15 + dot(n, _BACK), 0, 1) ** np.float32(1.3) * open_to
    streaks = octaves(p[0] + 0.3 * p[1], p[1] * 0.22, 2.2, pitch + foot * 0.5, 6, 0.6, 51)
    light = light * 0.80 * (1 + 0.035 * grain) * (1 + shade * 0.16 * streaks)
    fog = 1 - np.exp(-np.maximum(t - 60, 0) / 260)
    found: Floats = light * (1 - fog) + fog * sky * 0.95
    return found


def _rippled(p: Floats, n: Floats, foot: Floats) -> Floats:
    """Ripples across the wind: their distance and strength wander, some end and others begin beside them."""
    seen = np.clip(1.6 - foot / _RIPPLE_MM * 3.0, 0, 1) * (0.35 + 0.65 * rise(0.78, 0.93, n[1]))
    along = p[2] + 0.25 * p[0] + 1.6 * noise(p[0] / 9, p[2] / 9, 21) + 0.5 * noise(p[0] / 2.6, p[2] / 2.6, 22)
    along = along + 2.8 * noise(p[0] / 26, p[2] / 21, 24)
    wave = 2 * np.pi * along / _RIPPLE_MM
    forked = wave * 0.82 + 1.9 * noise(p[0] / 5.5, p[2] / 6.5, 25)
    mix = rise(-0.25, 0.25, noise(p[0] / 7, p[2] / 5, 26))
    strong = 0.34 * seen * (0.30 + 0.70 * rise(-0.6, 0.5, noise(p[0] / 13, p[2] / 11, 23)))
    one = np.cos(wave) + 0.35 * np.cos(2 * wave + 0.6)
    other = np.cos(forked) + 0.35 * np.cos(2 * forked + 0.6)
    slope = strong * (one * (1 - mix) + other * mix)
    return unit(n + np.stack([-0.25 * slope, 0 * slope, -slope]))
