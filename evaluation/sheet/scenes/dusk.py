"""Dusk over ranges of hills: hue and lightness cross at once, clouds are lit from below, ranges fade."""

from typing import Final

import numpy as np

from evaluation.sheet.noise import Floats, lattice, noise, octaves, random
from evaluation.sheet.scenes.ground import SLOT_MM, colours, rise, whole

# Height over the horizon as a share of the picture's, and the sky there in CIELAB; project's own choice.
_SKY: Final = np.array(
    [
        (-0.10, 66, 38, 52),
        (0.00, 76, 30, 58),
        (0.07, 80, 16, 52),
        (0.16, 77, 10, 26),
        (0.27, 68, 9, 2),
        (0.42, 54, 6, -20),
        (0.62, 38, 6, -34),
        (0.95, 22, 9, -34),
        (1.2, 15, 10, -30),
    ]
)
_SLOPE: Final = np.gradient(_SKY[:, 1:], _SKY[:, 0], axis=0)
_DECKS: Final = ((0.9, 15.0, 0.62, 3), (0.42, 9.0, 0.55, 23))  # height, size, density, seed
_RANGES: Final = 7
_BENT: Final = 0.22  # of the picture's height: most by which the sky bends down beside the sun
_LOWEST_CLOUD: Final = -0.01  # height over the horizon
_WIDTH, _HEIGHT = SLOT_MM
_HORIZON: Final = _HEIGHT * 0.70
_SUN: Final = _WIDTH * 0.66
_HIGHEST_HILL: Final = _HEIGHT * 0.60  # mm from the top


def points(x: Floats, y: Floats, pitch: float) -> Floats:
    t = (_HORIZON - y) / _HEIGHT
    light = _sky(x, y, t)
    above = np.flatnonzero(t > _LOWEST_CLOUD)
    if above.size:
        for number, deck in enumerate(_DECKS):
            light[:, above] = _clouds(light[:, above], x[above], t[above], pitch, number, *deck)
    below = np.flatnonzero(y > _HIGHEST_HILL)
    if below.size:
        land = light[:, below]
        columns, column = np.unique(x[below], return_inverse=True)
        for number in range(_RANGES):
            land = _hills(land, x[below], y[below], _crest(columns, pitch, number)[column], pitch, number)
        light[:, below] = land
    return np.maximum(light, 0)


def _sky(x: Floats, y: Floats, t: Floats) -> Floats:
    """A cubic through the table, and the glow around the sun."""
    bent = (
        0.015 * (x - _SUN) ** 2 / 900
    )  # away from the sun the sky is that of greater heights, within limits
    at = np.clip(t + bent / (1 + bent / _BENT), -0.09, 1.19).astype(np.float64)
    i = np.clip(np.searchsorted(_SKY[:, 0], at) - 1, 0, len(_SKY) - 2)
    h = (_SKY[i + 1, 0] - _SKY[i, 0])[:, None]
    u = (at - _SKY[i, 0])[:, None] / h
    lab = (
        (2 * u**3 - 3 * u**2 + 1) * _SKY[i, 1:]
        + (u**3 - 2 * u * u + u) * h * _SLOPE[i]
        + (-2 * u**3 + 3 * u * u) * _SKY[i + 1, 1:]
        + (u**3 - u * u) * h * _SLOPE[i + 1]
    )
    glow = np.exp(-(((x - _SUN) / 22) ** 2 + ((y - _HORIZON) / 9.0) ** 2))
    return colours(lab + glow[:, None] * np.array([10, 2, 16]))


def _clouds(
    under: Floats,
    x: Floats,
    t: Floats,
    pitch: float,
    number: int,
    high: float,
    size: float,
    dense: float,
    seed: int,
) -> Floats:
    """A deck of cloud seen under perspective, lit by its slope towards the horizon."""
    z = high / np.maximum(t + 0.06, 0.02)
    u, v = (x - _WIDTH / 2) * z * 0.32, z * 13.0
    wander = octaves(u / 2.2, v, size * 1.2, pitch * 0.5 * np.clip(z, 0.3, 9), 4, 0.5, seed + 5) * 3.5
    fine = pitch * 0.35 * np.clip(z, 0.5, 9)
    body = octaves(u * 0.55 + wander, v * 1.25 + wander * 0.4, size, fine, 7, 0.54, seed)
    below = octaves(u * 0.55 + wander - 0.9, v * 1.25 + wander * 0.4 + 1.5, size, fine, 5, 0.54, seed)
    cover = rise(0.02 + 0.22 * number, dense + 0.15 * number, body + 0.12) * rise(-0.01, 0.07, t)
    cover = cover * (1 - 0.55 * rise(0.45, 0.9, t)) * (0.85 if number == 0 else 0.8)
    lit = np.clip(0.40 + 1.1 * (below - body) + 0.30 * (1 - cover), 0, 1)
    lit = lit * np.exp(-(((x - _SUN) / 38) ** 2)) * np.exp(-np.clip(t, 0, 2) / 0.42)
    h = np.clip(t, 0, 1).astype(np.float64)
    dark = np.stack([25 + 30 * np.exp(-h / 0.12), 9 + 8 * np.exp(-h / 0.2), -16 + 26 * np.exp(-h / 0.13)], -1)
    glow = np.stack([82 - 30 * h, 34 - 8 * h, 44 - 60 * h], -1)
    found: Floats = under * (1 - cover) + (colours(dark) * (1 - lit) + colours(glow) * lit) * cover
    return found


def _crest(x: Floats, pitch: float, number: int) -> Floats:
    """Height of a range over its foot, by x alone."""
    q = number / (_RANGES - 1)
    flat = np.zeros_like(x)
    crest = octaves(x + number * 137.0, flat + number * 31.0, 13 + 17 * q, pitch, 9, 0.47, 60 + number) * 0.9
    return crest + 0.6 * noise(x / 34 + number * 3.3, flat + number, 70 + number)


def _hills(under: Floats, x: Floats, y: Floats, crest: Floats, pitch: float, number: int) -> Floats:
    """One range, the nearer the darker and the less blue, small trees on the nearest."""
    q = number / (_RANGES - 1)
    flat = np.zeros_like(x)
    edge = _HEIGHT * (0.685 + 0.27 * q**1.25) - (1.0 + 3.6 * q) * crest
    if q > 0.5:
        wood = rise(0.1, 0.7, noise(x / 7 + number * 5, flat, 80 + number))
        cell = whole(x / (0.55 * q))
        apart = x / (0.55 * q) - cell - 0.5
        tall = (0.35 + 0.65 * random(lattice(cell), lattice(flat + number), 90)) * 2.1 * q
        edge = edge - wood * tall * np.clip(1 - 2.1 * np.abs(apart), 0, 1) * (
            0.8 + 0.2 * noise(x / 0.12, y / 0.25, 91)
        )
    cover = rise(-0.5 * pitch, 0.5 * pitch, y - edge)
    m = np.flatnonzero(cover > 0)
    if not m.size:
        return under
    far = float(np.exp(-q * 2.7))
    deep = np.clip((y - edge)[m] / 6.0, 0, 1).astype(np.float64)
    warm = np.exp(-(((x[m].astype(np.float64) - _SUN) / 26) ** 2))
    L = 5.0 + 54 * far + 7.2 * deep * far
    if q > 0.6:
        L = L + 1.6 * octaves(x[m], y[m] * 1.8, 2.2, pitch, 5, 0.6, 95 + number)
    pale = 0.35 + 0.65 * min(far * 2.6, 1)
    a = (8 + 24 * far * warm + 2 * deep) * pale
    b = (-14 - 10 * (1 - q) + 44 * far * warm + 4 * deep) * pale
    found = under.copy()
    own = colours(np.stack([np.clip(L, 1.2, 100), a, b], -1))
    found[:, m] = found[:, m] * (1 - cover[m]) + own * cover[m]
    return found
