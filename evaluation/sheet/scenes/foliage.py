"""Foliage: eight layers of leaves on jittered cells, the nearer the lighter; veins, gloss, light through."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.sheet.noise import Floats, lattice, noise, random
from evaluation.sheet.scenes.ground import colour, colours, lifted, rise, rolled_off, whole

_LAYERS: Final = 8
_SHADOW_MM: Final = np.float32(0.6)  # by which the shadow of a leaf reaches beyond it
_THROUGH, _SHINE = colour(72, -26, 62), colour(92, -3, -5)
_OLD: Final = np.array([52.0, 8.0, 46.0])


def points(x: Floats, y: Floats, pitch: float) -> Floats:
    light: Floats = np.repeat(colour(4, -3, 4), len(x), 1)
    for layer in range(_LAYERS):
        light = _layer(light, x, y, pitch, layer)
    return lifted(rolled_off(light * 0.92, 0.6, 0.97), 0.0015)


class _Leaves:
    """The leaves of one layer whose cells points lie in or beside, looked up by cell.

    at      where it grows, mm (2, cells)
    random  seven numbers 0..1 of its own (7, cells)
    turn    the way it points, radians
    room    how much light reaches it
    """

    def __init__(self, fx: Floats, fy: Floats, cell: np.float32, q: float, seed: int) -> None:
        self.left, self.top = int(fx.min()) - 1, int(fy.min()) - 1
        wide, high = int(fx.max()) - self.left + 2, int(fy.max()) - self.top + 2
        x = np.tile(np.arange(self.left, self.left + wide, dtype=np.float32), high)
        y = np.repeat(np.arange(self.top, self.top + high, dtype=np.float32), wide)
        ix, iy = lattice(x), lattice(y)
        self.wide = wide
        self.random = np.stack([random(ix, iy, seed + i) for i in range(7)])
        px, py = ((at + 0.15 + 0.7 * self.random[i]) * cell for i, at in enumerate((x, y)))
        self.at = np.stack([px, py])
        self.turn = (self.random[2] * 1.3 - 0.65) + 0.9 + 1.6 * noise(px / 24, py / 24, seed + 9)
        self.room = np.clip((0.22 + 0.78 * q) * (0.72 + 0.5 * noise(px / 17, py / 17, 77)), 0.1, 1.3)

    def index(self, fx: Floats, fy: Floats) -> NDArray[np.intp]:
        """Of the cells of points."""
        column, row = fx.astype(np.intp) - self.left, fy.astype(np.intp) - self.top
        found: NDArray[np.intp] = row * self.wide + column
        return found


def _layer(under: Floats, x: Floats, y: Floats, pitch: float, k: int) -> Floats:
    q = k / (_LAYERS - 1.0)
    cell = np.float32(4.3 + 1.4 * q)
    seed = k * 31
    X, Y = x + 1.2 * noise(x / 14, y / 14, seed + 3), y + 1.2 * noise(x / 14, y / 14, seed + 4)
    fx, fy = whole(X / cell), whole(Y / cell)
    leaves = _Leaves(fx, fy, cell, q, seed)
    index = leaves.index(fx, fy)
    best: Floats = np.full(x.shape, -1, np.float32)
    shade: Floats = np.zeros_like(x)
    own: Floats = np.zeros_like(under)
    for a in (-1, 0, 1):
        for b in (-1, 0, 1):
            beside = index + (b * leaves.wide + a)
            _leaf(under, own, best, shade, X, Y, beside, leaves, (cell, q, seed, pitch))
    there = best >= 0
    return np.where(there, own, under * (1 - 0.62 * shade * ~there))


def _half_width(long: Floats, wide: Floats, t: Floats) -> Floats:
    """Of a leaf, mm, at a share of its length."""
    t = np.clip(t, 0, 1)
    found: Floats = long * 0.76 * (0.75 + 0.5 * wide) * t ** np.float32(0.62) * (1 - t) ** np.float32(0.85)
    return found


def _leaf(
    under: Floats,
    own: Floats,
    best: Floats,
    shade: Floats,
    X: Floats,
    Y: Floats,
    index: NDArray[np.intp],
    leaves: _Leaves,
    of: tuple[np.float32, float, int, float],
) -> None:
    """Lay the leaves of the cells `index` over what lies lower in their layer.

    `own`, `best` and `shade` change, where a leaf or its shadow reaches.
    """
    cell, q, seed, pitch = of
    reach = cell * np.float32(0.96) + _SHADOW_MM
    dx, dy = X - leaves.at[0][index], Y - leaves.at[1][index]
    near = np.flatnonzero(dx * dx + dy * dy < reach * reach)
    if not near.size:
        return
    dx, dy, index = dx[near], dy[near], index[near]
    r, turn = leaves.random[:, index], leaves.turn[index]
    c, s = np.cos(turn), np.sin(turn)
    u, w = dx * c + dy * s, -dx * s + dy * c
    long = cell * (0.62 + 0.34 * r[3])
    t = np.clip(u / long * 0.5 + 0.5, 0, 1)
    w = w - 0.10 * long * np.sin(t * 3.1) * (r[4] - 0.5) * 2.2
    half = _half_width(long, r[5], t) * (
        1 - 0.07 * np.abs(((t * 13) % 1) * 2 - 1) * np.float32(np.clip(2 - pitch * 8, 0, 1))
    )
    inside = np.clip((half - np.abs(w)) / pitch + 0.5, 0, 1) * (np.abs(u) < long)
    us, ws = u - 0.28 * (c + s), w - 0.35 * (c - s)  # its shadow lies to the lower right
    dark = _half_width(long, r[5], us / long * 0.5 + 0.5) - np.abs(ws)
    shade[near] = np.maximum(shade[near], rise(-0.35, 0.35, dark) * (np.abs(us) < long))
    i = np.flatnonzero((inside > 0) & (r[6] > best[near]))
    if not i.size:
        return
    to = near[i]
    best[to] = r[6][i]
    light = _leaf_light(r[:, i], u[i], w[i], t[i], half[i], turn[i], q, seed, pitch)
    own[:, to] = light * leaves.room[index[i]] * inside[i] + (1 - inside[i]) * under[:, to]


def _leaf_light(
    r: Floats,
    u: Floats,
    w: Floats,
    t: Floats,
    half: Floats,
    turn: Floats,
    q: float,
    seed: int,
    pitch: float,
) -> Floats:
    """The leaf's own colour under light: two halves folded along the midrib."""
    ww = w / np.maximum(half, 0.05)
    fold = np.where(ww > 0, 0.55, -0.45).astype(np.float32) * (0.5 + 0.9 * r[5])
    curl = (t - 0.5) * 1.1 * (r[4] - 0.3)
    lit = np.clip(0.62 + 0.42 * (fold * np.cos(turn + 0.8) - curl * np.sin(turn + 0.8)), 0.05, 1.3)
    vein = rise(0.80, 1.0, np.cos(2 * np.pi * (t * 9 - np.abs(ww) * 1.2))) * rise(0.02, 0.2, np.abs(ww))
    vein = vein * np.float32(np.clip(0.30 / pitch / 12 + 0.35, 0, 1))
    rib = np.exp(-((w / max(0.07, 0.8 * pitch)) ** 2))
    rough = 0.5 * noise(u / 0.22, w / 0.22, seed + 20) * np.float32(np.clip(2 - pitch * 9, 0, 1))
    rough = rough + 0.5 * noise(u / 1.1, w / 0.8, seed + 21)
    hue = r[3].astype(np.float64)
    lab = np.stack(
        [
            20 + 22 * q + 12 * hue * q + 5 * rough,
            -17 - 12 * q * (0.6 + 0.6 * hue) + 3 * rough,
            17 + 22 * q * (0.5 + 0.8 * hue) + 3 * rough,
        ],
        -1,
    )
    old = (r[2] > 0.955)[:, None] * q
    base = colours(lab * (1 - old) + old * _OLD)
    gloss = (
        np.exp(-(((lit - 0.93) / 0.13) ** 2))
        * (0.5 + 0.5 * noise(u / 0.5, w / 0.25, seed + 22))
        * (0.08 + 0.30 * q)
    )
    through = 0.35 * np.clip(r[3] - 0.55, 0, 1) * q
    found: Floats = (
        base * (0.25 + 1.15 * lit) * (1 - 0.22 * vein)
        + base * 0.30 * rib
        + through * _THROUGH * lit
        + gloss * _SHINE
    )
    return found
