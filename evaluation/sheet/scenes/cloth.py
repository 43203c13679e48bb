"""Dark cloth: folds that run down from a gathered corner, a twill weave on them, L* 1.5 to 25, neutral."""

import numpy as np

from evaluation.sheet.noise import Floats, lattice, noise, random
from evaluation.sheet.scenes.ground import dot, lightness_of, rise, unit, vec, whole

_LAMP = unit(vec(0.62, -0.60, 0.46))
_MIRROR = unit(_LAMP + vec(0, 0, 1))
_STEPS = 12  # towards the lamp
_DRAWN_MM = np.float32(0.9)  # by which a fold draws the weave aside, at most: more would curl it


def points(x: Floats, y: Floats, pitch: float) -> Floats:
    e = np.float32(0.15)
    h = _height(x, y)
    hx = (_height(x + e, y) - _height(x - e, y)) / (2 * e)
    hy = (_height(x, y + e) - _height(x, y - e)) / (2 * e)
    n = unit(np.stack([-hx, -hy, np.ones_like(hx)]))
    seen: Floats = np.ones_like(x)
    t = np.float32(0.3)
    for _ in range(_STEPS):
        clear = (h + _LAMP[2] * t - _height(x + _LAMP[0] * t, y + _LAMP[1] * t)) / t
        seen = np.minimum(seen, rise(-0.10, 0.14, clear))
        t = t * np.float32(1.45)
    wide = np.float32(2.2)
    around = _height(x + wide, y) + _height(x - wide, y) + _height(x, y + wide) + _height(x, y - wide)
    open_to = 1 / (1 + np.exp(-(h - 0.25 * around) * 1.7))
    drawn_x, drawn_y = (_DRAWN_MM * np.tanh(slope * h * (0.25 / _DRAWN_MM)) for slope in (hx, hy))
    weave, n = _woven(x + drawn_x, y + drawn_y, n, pitch)
    soft = np.clip(dot(n, _LAMP) * 0.8 + 0.12, 0, 1)
    shine = np.clip(dot(n, _MIRROR), 0, 1) ** 9
    sheen = (1 - np.clip(n[2], 0, 1)) ** np.float32(2.2)
    light = (0.62 + 0.38 * weave) * (
        soft * seen * 0.95 + 0.07 * open_to + 0.34 * sheen * open_to * (0.3 + 0.7 * seen)
    )
    light = light + 0.55 * shine * seen * weave
    lint = rise(0.80, 0.95, noise(x / 0.5 + 2 * noise(x / 2, y / 2, 3), y / 0.09, 33))
    lint = lint * np.float32(np.clip(1.6 - pitch * 9, 0, 1) * 0.05)
    Y = 0.0016 + 0.062 * np.clip(light, 0, 1.8) ** np.float32(1.35) * (0.12 + 0.88 * open_to)
    return lightness_of(Y + 0.02 * lint * open_to * seen)


def _height(x: Floats, y: Floats) -> Floats:
    """Of the folds, mm."""
    dx, dy = x + 14, y + 22
    away = np.hypot(dx, dy)
    turn = np.arctan2(dy, dx)
    turn = turn + 0.05 * noise(away / 17, turn * 3, 1) + 0.03 * noise(x / 9, y / 9, 2)
    k = turn * 10.5 + 0.9 * noise(turn * 4, away / 26, 3)
    fine = 1 - np.sqrt(np.sin(k) ** 2 + 0.02)
    broad = 1 - np.sqrt(np.sin(k * 0.5 + 1.3 * noise(turn * 2, away / 40, 4)) ** 2 + 0.02)
    found: Floats = (2.6 * fine + 5.2 * broad) * (0.35 + away / 70)
    return found + 1.1 * noise(x / 8 + y / 20, y / 14, 7) + 1.3 * noise(x / 22, y / 22, 9)


def _woven(u: Floats, v: Floats, n: Floats, pitch: float) -> tuple[Floats, Floats]:
    """How much of each thread shows, and the normals with the threads on them."""
    wide = np.float32(max(0.26, 2.6 * pitch))
    along, over = (u + v * 1.9) / wide * 0.5, (u * 1.9 - v) / wide
    thread = whole(along)
    yarn = np.abs(np.sin(np.pi * along))
    uneven = 0.55 + 0.45 * random(lattice(thread), lattice(whole(over / 7)), 9)
    crossing = 0.5 + 0.5 * np.sin(2 * np.pi * over + 3 * thread)
    side = 0.45 * np.cos(np.pi * along) * np.sign(np.sin(np.pi * along))
    weave: Floats = yarn * (0.65 + 0.35 * crossing) * uneven
    return weave, unit(n + np.stack([side * 0.55, side * 0.8, 0 * side]))
