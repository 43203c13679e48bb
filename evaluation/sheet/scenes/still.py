"""A still life: plaster, grey, steel, copper, clear glass and three glazes in neutral window light.

Rays are traced to spheres, a table and a wall; light is a window, a sky and what surfaces throw on others,
all in closed form, so that there is no grain.
"""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from evaluation.sheet.noise import Floats, noise, octaves
from evaluation.sheet.scenes.ground import (
    UP,
    colour,
    cross,
    dot,
    lifted,
    rays,
    rise,
    rolled_off,
    unit,
    vec,
)

Matter = Literal["matt", "metal", "glaze", "glass"]
_TABLE, _WALL, _NOTHING = -1, -2, -3
_WALL_Z: Final = -32.0


@dataclass(frozen=True)
class Ball:
    """A sphere on the table: centre and radius in mm."""

    centre: Floats
    radius: np.float32
    matter: Matter
    own: Floats


def _ball(x: float, y: float, z: float, radius: float, matter: Matter, *lab: float) -> Ball:
    return Ball(vec(x, y, z), np.float32(radius), matter, colour(*lab))


BALLS: Final = (
    _ball(-20.5, 7.5, -1, 7.5, "matt", 91, 0, 1),
    _ball(-9.0, 10.5, -7, 10.5, "metal", 96, 0, 0),
    _ball(-11.8, 4.2, 9.5, 4.2, "matt", 50, 0, 0),
    _ball(7.2, 8.2, 3, 8.2, "glass", 97, 0, 0),
    _ball(21.0, 9.0, -9, 9.0, "metal", 78, 16, 30),
    _ball(17.6, 4.6, 8.5, 4.6, "glaze", 30, 14, -52),
    _ball(-2.2, 3.5, 12.5, 3.5, "glaze", 43, 62, 44),
    _ball(24.0, 2.7, 8.5, 2.7, "glaze", 73, 6, 72),
)
WINDOW: Final = unit(vec(-0.62, 0.74, 0.42))
_WINDOW_HALF: Final = np.float32(0.17)  # radians: how soft shadows are
_WINDOW_ACROSS: Final = unit(cross(WINDOW, vec(*UP)))
_WINDOW_UP: Final = unit(cross(_WINDOW_ACROSS, WINDOW))
_TABLE_OWN: Final = colour(46, 7, 15)
_WALL_OWN: Final = colour(40, -2, -5)
_WHITE: Final = colour(100, 0, 0)
_KEY, _SKY, _CEILING, _LAMP = colour(99, 0, 0), colour(95, -0.5, -4), colour(92, -0.5, -3), colour(97, 1, 4)


def points(x: Floats, y: Floats, pitch: float) -> Floats:
    eye, seen = rays(x, y, (0, 25, 78), (0, 8.6, 0), 0.76)
    light = _seen(np.repeat(eye, len(x), 1), seen, 0, pitch) * 1.30
    return lifted(rolled_off(light, 0.70), 0.0012)


def _room(d: Floats) -> Floats:
    """The room as reflections show it: window with a cross bar, lamp at the right, ceiling, dark walls."""
    ahead = dot(d, WINDOW)
    a = dot(d, _WINDOW_ACROSS) / np.maximum(ahead, 0.05)
    b = dot(d, _WINDOW_UP) / np.maximum(ahead, 0.05)
    pane = rise(0.30, 0.27, np.abs(a)) * rise(0.36, 0.33, np.abs(b)) * (ahead > 0.05)
    pane = (
        pane * (1 - 0.92 * rise(0.022, 0.012, np.abs(a))) * (1 - 0.92 * rise(0.022, 0.012, np.abs(b + 0.03)))
    )
    lamp = (
        rise(0.10, 0.02, np.abs(np.arctan2(d[0], d[2]) - 1.25))
        * rise(-0.05, 0.1, d[1])
        * rise(0.85, 0.6, d[1])
    )
    ambient = 0.05 + 0.34 * rise(0.15, 0.95, d[1])
    behind = rise(0.25, -0.35, d[2])
    found: Floats = (
        ambient * _CEILING * (1 - behind)
        + behind * _WALL_OWN * 0.42
        + pane * 9.0 * _WHITE
        + lamp * 1.3 * _LAMP
    )
    return found


def _hit(o: Floats, d: Floats) -> tuple[Floats, np.ndarray]:
    """Distance to what is met first, and which it is: a ball's index, table, wall or nothing."""
    t: Floats = np.full(o.shape[1], 1e9, np.float32)
    which = np.full(o.shape[1], _NOTHING, np.int8)
    for index, ball in enumerate(BALLS):
        oc = o - ball.centre
        b = dot(oc, d)
        q = b * b - dot(oc, oc) + ball.radius * ball.radius
        s = np.sqrt(np.maximum(q, 0))
        at = np.where(-b - s > 1e-2, -b - s, -b + s)
        ok = (q > 0) & (at > 1e-2) & (at < t)
        t, which = np.where(ok, at, t), np.where(ok, np.int8(index), which)
    at = -o[1] / np.where(np.abs(d[1]) < 1e-6, np.float32(1e-6), d[1])
    ok = (at > 1e-2) & (at < t) & (o[1] > 1e-3) & (o[2] + at * d[2] > _WALL_Z)
    t, which = np.where(ok, at, t), np.where(ok, np.int8(_TABLE), which)
    at = (_WALL_Z - o[2]) / np.where(np.abs(d[2]) < 1e-6, np.float32(1e-6), d[2])
    ok = (at > 1e-2) & (at < t) & (o[1] + at * d[1] > 0) & (d[2] < 0)
    return np.where(ok, at, t), np.where(ok, np.int8(_WALL), which)


def _lit(p: Floats, n: Floats, own: int) -> Floats:
    """Light on points: the window with soft shadows, the sky with occlusion, and what balls throw back."""
    seen: Floats = np.ones(p.shape[1], np.float32)
    shut: Floats = np.zeros(p.shape[1], np.float32)
    thrown: Floats = np.zeros_like(p)
    for index, ball in enumerate(BALLS):
        glass = ball.matter == "glass"
        if index != own:
            v = ball.centre - p
            d2 = dot(v, v)
            away = np.sqrt(d2)
            v = v / away
            apart = np.arccos(np.clip(dot(v, WINDOW), -1, 1))
            size = np.arcsin(np.clip(ball.radius / away, 0, 0.9999))
            through = 0.55 if glass else 0.0
            seen = seen * (through + (1 - through) * rise(size - _WINDOW_HALF, size + _WINDOW_HALF, apart))
            covered = np.clip(0.5 + 0.5 * dot(n, v), 0, 1) ** 1.5 * np.minimum(ball.radius**2 / d2, 1)
            covered = covered * (0.35 if glass else 1)
            shut = shut + covered
            lit = np.clip(0.5 - 0.5 * dot(v, WINDOW), 0, 1)
            thrown = thrown + covered * ball.own * (0.10 + 0.55 * lit) * 0.45
        if glass and own == _TABLE:  # what the glass gathers behind itself
            foot = ball.centre - WINDOW * (ball.centre[1, 0] / WINDOW[1, 0])
            q = p - foot
            q = q - WINDOW * dot(q, WINDOW)
            g = np.sqrt(dot(q, q)) / ball.radius
            seen = seen + 1.5 * np.exp(-((g / 0.20) ** 2)) + 0.35 * np.exp(-((g / 0.5) ** 2))
    falling = np.clip((dot(n, WINDOW) + 0.12) / 1.12, 0, 1)
    sky = (0.5 + 0.5 * n[1]) * np.exp(-1.15 * shut)
    found: Floats = 1.02 * falling * seen * _KEY + 0.17 * sky * _SKY + thrown
    if own >= 0:
        found = (
            found + 0.30 * np.clip(0.5 - 0.5 * n[1], 0, 1) * np.exp(-np.maximum(p[1], 0) / 14) * _TABLE_OWN
        )
    return found


def _grain(p: Floats, pitch: float) -> Floats:
    """The wood of the table: rings, fibres, pores."""
    fibre = octaves(p[0] / 6, p[2], 3.0, pitch * 2.0, 6, 0.6, 11)
    bend = noise(p[0] * 0.012 + 0.3 * noise(p[0] / 40, p[2] / 9, 3), p[2] * 0.35, 4)
    rings = np.sin(p[2] * 1.9 + 2.2 * noise(p[0] / 55, p[2] / 11, 9) + bend * 5)
    pores = rise(0.45, 0.8, noise(p[0] / 2.6, p[2] / 0.16, 21) * np.float32(np.clip(2 - pitch * 8, 0, 1)))
    found: Floats = _TABLE_OWN * (1 + 0.10 * rings + 0.13 * fibre - 0.28 * pores)
    return found


def _seen(o: Floats, d: Floats, depth: int, pitch: float) -> Floats:
    """Light that comes along rays, reflections and refractions followed to a depth."""
    t, which = _hit(o, d)
    p = o + d * np.where(t < 1e8, t, 0)
    light: Floats = np.zeros_like(d)
    for what in np.unique(which):
        m = np.flatnonzero(which == what)
        q, v = p[:, m], d[:, m]
        if what == _NOTHING:
            light[:, m] = _room(v)
        elif what == _TABLE:
            light[:, m] = _table(q, v, depth, pitch)
        elif what == _WALL:
            light[:, m] = _wall(q, v, pitch)
        else:
            light[:, m] = _surface(int(what), q, v, depth, pitch)
    return light


def _table(p: Floats, d: Floats, depth: int, pitch: float) -> Floats:
    n = np.repeat(vec(0, 1, 0), p.shape[1], 1)
    light = _grain(p, pitch) * _lit(p, n, _TABLE) * (1 - 0.275 * rise(6, -34, p[2]))
    if depth < 2:
        back = d.copy()
        back[1] = -back[1]
        polish = 0.02 + 0.35 * (1 - np.clip(-d[1], 0, 1)) ** 5
        light = light + polish * 0.22 * _seen(p + n * 0.02, back, depth + 2, pitch * 3)
    return light


def _wall(p: Floats, d: Floats, pitch: float) -> Floats:
    n = np.repeat(vec(0, 0, 1), p.shape[1], 1)
    wash = 0.60 + 0.75 * np.exp(-((p[0] + 14) ** 2 / 1500 + (p[1] - 26) ** 2 / 1100))
    plaster = 1 + 0.035 * octaves(p[0], p[1], 5.0, pitch * 1.5, 6, 0.65, 31)
    light = _WALL_OWN * (_lit(p, n, _WALL) * 0.80) * wash * plaster
    fade = rise(35, 120, np.hypot(p[0], p[1] - 15))
    found: Floats = light * (1 - fade) + fade * _room(d)
    return found


def _surface(index: int, p: Floats, d: Floats, depth: int, pitch: float) -> Floats:
    ball = BALLS[index]
    n = unit(p - ball.centre)
    facing = np.clip(-dot(d, n), 0, 1)
    if ball.matter == "matt":
        rough = 1 + 0.02 * noise(p[0] / 0.3, p[1] / 0.3 + p[2] / 0.3, 5) if pitch < 0.1 else 1.0
        return ball.own * _lit(p, n, index) * rough
    back = d - 2 * dot(d, n) * n
    grazing = (1 - facing) ** 5
    if ball.matter == "metal":
        if depth >= 3:
            return np.repeat(ball.own * 0.3, p.shape[1], 1)
        mirrored = _seen(p + n * 0.02, back, depth + 1, pitch * 2)
        found: Floats = mirrored * (ball.own + (1 - ball.own) * grazing) * (1 - 0.5 * rise(0.30, 0.0, facing))
        return found
    bright = 0.04 + 0.96 * grazing
    if ball.matter == "glaze":
        mirrored = _seen(p + n * 0.02, back, depth + 1, pitch * 2) if depth < 2 else _room(back)
        return ball.own * _lit(p, n, index) + bright * mirrored
    if depth >= 4:
        return _room(d)
    through, out_at = _refracted(ball, p, d, n, facing)
    passed = _seen(out_at, through, depth + 2, pitch * 2) * colour(97, -0.5, 0)
    return passed * (1 - bright) + _seen(p + n * 0.02, back, depth + 2, pitch * 2) * bright


def _refracted(ball: Ball, p: Floats, d: Floats, n: Floats, facing: Floats) -> tuple[Floats, Floats]:
    """Direction and place in which rays leave a glass sphere of index 1.5."""
    share = np.float32(1 / 1.5)
    inward = share * d + (share * facing - np.sqrt(1 - share * share * (1 - facing * facing))) * n
    leaves = p + inward * (-2 * dot(p - ball.centre, inward))
    n2 = -unit(leaves - ball.centre)
    c = -dot(inward, n2)
    outward = 1.5 * inward + (1.5 * c - np.sqrt(np.maximum(1 - 2.25 * (1 - c * c), 0))) * n2
    return unit(outward), leaves - n2 * 0.03
