"""Hair: locks of strands in five layers, lit along the strand; strands of 0.13 mm or 2.2 pixels."""

from typing import Final

import numpy as np

from evaluation.sheet.noise import Floats, lattice, noise, random
from evaluation.sheet.scenes.ground import colour, lifted, rise, rolled_off, whole

_DEEP, _MIDDLE, _LIT = colour(9, 5, 6), colour(34, 15, 24), colour(74, 11, 34)
_SHINE: Final = colour(96, 2, 10)
_LOCK_MM: Final = 6.2
_LAYERS: Final = 5
_STRAYS: Final = 9


def points(x: Floats, y: Floats, pitch: float) -> Floats:
    light = _seen(x, y, pitch, _LAYERS - 1)
    for stray in range(_STRAYS):
        light = _stray(light, x, y, pitch, stray)
    return lifted(rolled_off(light * 1.35, 0.7), 0.0)


def _seen(x: Floats, y: Floats, pitch: float, k: int) -> Floats:
    """Light from layer `k` and from what lies below it, which is looked for where no strand covers it."""
    if k < 0:
        return np.repeat(colour(3.5, 2, 2), len(x), 1)
    light, cover, there = _layer(x, y, pitch, k)
    m = np.flatnonzero(cover < 1)
    if m.size:
        open_to = 1 - cover[m]
        light[:, m] += _seen(x[m], y[m], pitch, k - 1) * (1 - 0.40 * there[m] * open_to) * open_to
    return light


def _layer(x: Floats, y: Floats, pitch: float, k: int) -> tuple[Floats, Floats, Floats]:
    """Light of the strands of one layer, how much they cover, and whether a lock is there."""
    seed = k * 17
    flat = np.zeros_like(y)
    wave = y / 15 + 0.25 * k + 0.6 * np.sin(x / 48)
    bend = 5.5 * np.sin(wave + 0.55 * noise(y / 40, flat + k, 1)) + 2.2 * noise(x / 30, y / 26, 2 + seed)
    bend = bend + (y - 10) * 0.10 * noise(x / 45, flat, 5 + seed)
    u = x + bend * (0.85 + 0.05 * k) + k * 3.1
    lock = u / _LOCK_MM + 0.55 * noise(u / 9, y / 40, 7 + seed)
    number = whole(lock)
    across = lock - number
    profile = np.sqrt(np.clip(1 - (2 * across - 1) ** 2, 0, 1))
    clumped = (across - 0.5) * 0.9 * rise(5, 48, y + 8 * random(lattice(number), lattice(flat + k), 3))
    us = u + clumped * 1.8 + 0.35 * noise(u / 1.4, y / 9, 8 + seed)
    strand = us / np.float32(max(0.13 + 0.02 * k, 2.2 * pitch))
    own = whole(strand)
    one, other = (random(lattice(own), lattice(flat + seed), salt) for salt in (11, 12))
    thick = np.sqrt(np.clip(1 - (2 * (strand - own) - 1) ** 2, 0, 1))
    tilt = (y / 45 - 0.5) * 1.5 + 0.8 * (5.5 / 15) * np.cos(wave) + 0.5 * (across - 0.5) + 0.16 * (one - 0.5)
    tilt = tilt + 0.18 * noise(us / 0.9, y / 6, 13 + seed)
    first, second = np.exp(-(((tilt + 0.33) / 0.17) ** 2)), np.exp(-(((tilt + 0.10) / 0.34) ** 2))
    third = np.exp(-(((tilt - 0.62) / 0.2) ** 2))
    soft = (0.25 + 0.75 * profile) * (0.45 + 0.55 * np.cos((x - 24) / 30))
    body = (
        _MIDDLE * (soft * (0.30 + 0.5 * other) * thick)
        + _LIT * (second * (0.35 + 0.65 * one) * thick * profile * 0.62)
        + _SHINE * ((first + 0.6 * third) * (0.15 + 0.85 * other**2) * thick**3 * profile**1.5 * 0.50)
    )
    there: Floats = np.ones_like(x)
    apart = there
    if k:
        there = rise(
            0.10, 0.30, profile * (0.7 + 0.6 * one) + 0.25 * noise(u / 3, y / 30, 14 + seed) - 0.06 * k
        )
        apart = rise(0.18, 0.42, one + 0.35 * noise(us / 2, y / 14, 15 + seed) + 0.12)
    cover = there * apart * rise(0.02, 0.3, thick)
    return (body * (0.30 + 0.14 * k) * 1.25 + _DEEP * 0.25 * thick) * cover, cover, there


def _stray(under: Floats, x: Floats, y: Floats, pitch: float, k: int) -> Floats:
    """One hair that has left its lock."""
    middle = (k * 7.3 + 3) + 4 * np.sin(y / (9 + k) + k * 1.7) + 1.5 * noise(y / 12, np.zeros_like(y) + k, 31)
    middle = middle + y * 0.12 * (k % 3 - 1)
    cover = np.clip(1.2 - np.abs(x - middle) / max(0.045, 0.75 * pitch), 0, 1) * rise(0, 4, y - 2 * k % 7)
    cover = cover * rise(45, 38, y) * 0.8
    gleam = 0.25 + 0.75 * np.exp(-(((y - 14 - 6 * np.sin(k * 2.0)) / 6) ** 2))
    found: Floats = under * (1 - cover) + _LIT * gleam * cover
    return found
