"""Forms given by their distance: rays marched to them, normals, soft shadows, openness to the sky.

A distance is a function of points (3, n) in mm: below 0 inside. Rays start from a coarse pass of one ray a
millimetre over the whole slot, which is the same for every strip.
"""

from collections.abc import Callable
from typing import Final

import numpy as np

from evaluation.sheet.noise import Floats, noise
from evaluation.sheet.scenes.ground import SLOT_MM, dot, unit, vec

Distance = Callable[[Floats], Floats]
Rays = Callable[[Floats, Floats], tuple[Floats, Floats]]

_COARSE_MM: Final = 1.0
_SLACK_MM: Final = 2.5  # by which fine rays start before the nearest coarse hit around them
_BEYOND: Final = 2  # coarse rays beside the slot
_CLOSE_MM: Final = 0.3  # a longer step could pass a stem or an ear's rim
_SLOWEST, _FASTEST = 0.45, 1.3  # mm by which the form comes closer in a step of 1 mm
_NEAR_ENOUGH: Final = 0.004  # mm
_SHARE: Final = np.float32(
    0.9
)  # of the way to the form that a step goes: forms are a little nearer than they say
_CORNERS: Final = tuple(vec(*corner) for corner in ((1, -1, -1), (-1, -1, 1), (-1, 1, -1), (1, 1, 1)))


def length(v: Floats) -> Floats:
    found: Floats = np.sqrt(dot(v, v))
    return found


def ellipsoid(p: Floats, centre: tuple[float, float, float], radii: tuple[float, float, float]) -> Floats:
    a = (p - vec(*centre)) / vec(*radii)
    k0 = length(a)
    found: Floats = k0 * (k0 - 1) / np.maximum(length(a / vec(*radii)), 1e-6)
    return found


def capsule(
    p: Floats, start: tuple[float, float, float], end: tuple[float, float, float], r0: float, r1: float
) -> Floats:
    """A rounded rod from `start` to `end` whose radius runs from r0 to r1."""
    a, axis = vec(*start), vec(*end) - vec(*start)
    pa = p - a
    h = np.clip(dot(pa, axis) / dot(axis, axis), 0, 1)
    return length(pa - axis * h) - (np.float32(r0) + np.float32(r1 - r0) * h)


def joined(a: Floats, b: Floats, soft: float) -> Floats:
    """Two forms that flow into each other over `soft` mm."""
    h = np.maximum(soft - np.abs(a - b), 0) / soft
    found: Floats = np.minimum(a, b) - h * h * soft * 0.25
    return found


def carved(a: Floats, b: Floats, soft: float) -> Floats:
    """The first form less the second."""
    return -joined(-a, b, soft)


def marched(
    distance: Distance, o: Floats, d: Floats, start: Floats, far: float | Floats, steps: int
) -> Floats:
    """Distances (n,) along rays to the form; infinite where it is missed.

    Steps are a share of how far the form is; close to it, where it is smooth, of how fast it comes closer.
    """
    t = start.copy()
    hit = np.zeros(t.shape, bool)
    ends = np.broadcast_to(np.asarray(far, np.float32), t.shape)
    going = np.flatnonzero(t < ends)
    was: Floats = np.full(going.size, np.inf, np.float32)
    step: Floats = np.ones(going.size, np.float32)
    for _ in range(steps):
        if not going.size:
            break
        at = t[going]
        near = distance(o + d[:, going] * at)
        closing = np.clip((was - near) / step, _SLOWEST, _FASTEST)
        step = np.where(was < _CLOSE_MM, near / closing, near * _SHARE)
        at += step
        t[going] = at
        done = np.abs(near) < _NEAR_ENOUGH
        hit[going[done]] = True
        keep = ~done & (at < ends[going])
        going, was, step = going[keep], near[keep], step[keep]
    hit[going] = True
    found: Floats = np.where(hit, t, np.float32(np.inf))
    return found


class Coarse:
    """Where to start fine rays: the nearest hit of coarse rays around each, drawn once for a picture."""

    def __init__(self, distance: Distance, rays: Rays, near: float, far: float) -> None:
        across, down = (int(side / _COARSE_MM) + 2 * _BEYOND + 1 for side in SLOT_MM)
        x = (np.arange(across, dtype=np.float32) - _BEYOND) * _COARSE_MM
        y = (np.arange(down, dtype=np.float32) - _BEYOND) * _COARSE_MM
        o, d = rays(np.tile(x, down), np.repeat(y, across))
        t = marched(distance, o, d, np.full(across * down, near, np.float32), far, 160)
        grid = np.minimum(t, far).reshape(down, across)
        wide = np.pad(grid, 2, mode="edge")
        around = [wide[r : r + down, c : c + across] for r in range(5) for c in range(5)]
        self.starts = np.maximum(np.minimum.reduce(around) - _SLACK_MM, near)

    def start(self, x: Floats, y: Floats) -> Floats:
        """Distances (n,) at which rays of points of the slot may begin."""
        down, across = self.starts.shape
        column = np.clip(np.rint(x / _COARSE_MM).astype(np.intp) + _BEYOND, 0, across - 1)
        row = np.clip(np.rint(y / _COARSE_MM).astype(np.intp) + _BEYOND, 0, down - 1)
        found: Floats = self.starts[row, column].astype(np.float32)
        return found


def normal(distance: Distance, p: Floats, e: float) -> Floats:
    total: Floats = np.zeros_like(p)
    for corner in _CORNERS:
        total = total + corner * distance(p + corner * np.float32(e))
    return unit(total)


def sunlit(distance: Distance, p: Floats, light: Floats, hard: float, far: float, steps: int) -> Floats:
    """0..1, how much of an area light is seen from points: the narrowest gap on the way to it."""
    seen: Floats = np.ones(p.shape[1], np.float32)
    t: Floats = np.full(p.shape[1], 0.35, np.float32)
    going = np.arange(p.shape[1])
    for _ in range(steps):
        gap = distance(p[:, going] + light * t[going])
        seen[going] = np.minimum(seen[going], 0.5 + 0.5 * hard * gap / t[going])
        t[going] += np.clip(gap, 0.16, 5.0)
        going = going[(seen[going] > 0) & (t[going] < far)]
        if not going.size:
            break
    seen = np.clip(seen, 0, 1)
    found: Floats = seen * seen * (3 - 2 * seen)
    return found


def openness(distance: Distance, p: Floats, n: Floats, steps: tuple[float, ...]) -> Floats:
    """0..1, how little stands in front of a place, from a few points outwards along its normal."""
    shut: Floats = np.zeros(p.shape[1], np.float32)
    weight = 1.0
    for step in steps:
        shut = shut + weight * (step - distance(p + n * np.float32(step))) / step
        weight *= 0.72
    return np.clip(1 - 0.95 / 2.6 * shut, 0, 1)


def bumped(p: Floats, n: Floats, relief: Distance, height: float, e: float) -> Floats:
    """Normals with the slopes of a relief laid on them."""
    slopes = [
        (relief(p + vec(*step)) - relief(p - vec(*step))) / (2 * e)
        for step in ((e, 0, 0), (0, e, 0), (0, 0, e))
    ]
    g = np.stack(slopes)
    return unit(n - height * (g - n * dot(g, n)))


def solid_noise(p: Floats, wave: float, seed: int) -> Floats:
    """Noise on a surface in space, from two slanted planes."""
    x, y, z = p[0] / np.float32(wave), p[1] / np.float32(wave), p[2] / np.float32(wave)
    one = noise(x + 0.7 * z, y - 0.3 * z, seed)
    other = noise(z + 0.4 * y, x - 0.6 * y, seed + 1)
    found: Floats = (one + other) * np.float32(0.7)
    return found
