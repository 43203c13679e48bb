"""Fruit on a board: citrus with pores, a striped apple, plums under bloom, grapes that light passes into."""

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.sheet.noise import Floats, noise, octaves
from evaluation.sheet.scenes.ground import (
    cells,
    colour,
    dot,
    lifted,
    rays,
    rise,
    rolled_off,
    turned,
    unit,
    vec,
)
from evaluation.sheet.scenes.solids import (
    Coarse,
    bumped,
    capsule,
    joined,
    length,
    marched,
    normal,
    openness,
    solid_noise,
    sunlit,
)

# What, where and how large, mm.
PIECES: Final[tuple[tuple[str, tuple[float, float, float], float], ...]] = (
    ("orange", (-9.5, 8.6, -3), 8.6),
    ("apple", (9.2, 8.0, -2), 8.6),
    ("lemon", (-1.0, 5.2, 9.0), 5.4),
    ("lime", (-17.5, 5.0, 8.2), 5.0),
    ("plum", (14.5, 4.8, 10.5), 5.0),
    ("plum", (22.5, 5.0, 4.5), 5.1),
    *(
        ("grape", centre, 2.15)
        for centre in (
            (3.0, 2.1, 15.5),
            (6.6, 2.1, 14.6),
            (4.9, 5.2, 14.6),
            (9.2, 2.1, 16.8),
            (6.0, 2.1, 18.0),
            (-0.2, 2.1, 17.6),
        )
    ),
)
_BOARD: Final = len(PIECES)
_OWN: Final = {
    "orange": colour(64, 38, 68),
    "apple": colour(40, 52, 36),
    "lemon": colour(83, 4, 76),
    "lime": colour(52, -32, 46),
    "plum": colour(22, 20, -8),
    "grape": colour(66, -14, 44),
}
_PORES: Final = {"orange": 0.62, "lemon": 0.55, "lime": 0.45}  # mm
_KEY: Final = unit(vec(-0.66, 0.62, 0.42))
_RIM: Final = unit(vec(0.85, 0.25, -0.35))
_WALL: Final = colour(9, 2, 6)
_NEAR, _FAR = 38.0, 200.0
_NAVEL: Final = vec(1.5, 8.3, 1.5)


def points(x: Floats, y: Floats, pitch: float) -> Floats:
    o, d = _rays(x, y)
    board = o[1] / np.maximum(-d[1], np.float32(1e-6))
    t = marched(_pieces, o, d, _coarse().start(x, y), np.minimum(board, np.float32(_FAR)), 90)
    t = np.where(np.isfinite(t) | (board >= _FAR), t, board)
    glow = np.exp(-(((x - 17) / 26) ** 2) - ((y - 9) / 20) ** 2)
    light = _WALL * (0.5 + 2.6 * glow * (1 + 0.10 * octaves(x, y, 9.0, pitch, 6, 0.6, 3)))
    m = np.flatnonzero(np.isfinite(t))
    if m.size:
        dark = _WALL * (0.5 + 2.6 * glow[m])
        light[:, m] = _shaded(o + d[:, m] * t[m], d[:, m], dark, pitch)
    return lifted(rolled_off(light * 1.12, 0.66), 0.0014)


def _rays(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    return rays(x, y, (0, 24, 70), (1.5, 7.2, 2), 0.78)


@lru_cache(maxsize=1)
def _coarse() -> Coarse:
    return Coarse(_pieces, _rays, _NEAR, _FAR)


def _distance(p: Floats) -> Floats:
    """To the pieces and the board."""
    found: Floats = np.minimum(p[1], _pieces(p))
    return found


def _pieces(p: Floats) -> Floats:
    nearest: Floats = np.full(p.shape[1], _FAR, np.float32)
    for piece, (_, centre, radius) in enumerate(PIECES):
        around = length(p - vec(*centre)) - radius * 1.45
        near = around < 1.5
        around = around + 0.4
        if near.any():
            around[near] = _piece(p[:, near], piece)
        nearest = np.minimum(nearest, around)
    return nearest


def _piece(p: Floats, piece: int) -> Floats:
    what, centre, radius = PIECES[piece]
    q = p - vec(*centre)
    match what:
        case "orange":
            off = q - vec(1.5, 8.4, 1.5)
            return (length(q * vec(1, 1.0247, 1)) - radius) * 0.96 + 0.35 * np.exp(-dot(off, off) / 2.2)
        case "apple":
            return _apple(turned(turned(q, 2, 0.22), 0, 0.30))
        case "lemon":
            q = turned(q, 1, 0.5)
            body = np.sqrt((q[0] * 0.80) ** 2 + q[1] ** 2 + q[2] ** 2) - 5.2
            body = joined(body, capsule(q, (5.6, 0, 0), (7.7, 0.2, 0), 1.7, 0.75), 2.2)
            return joined(body, capsule(q, (-5.6, 0, 0), (-7.0, 0, 0), 1.7, 1.0), 2.2) * 0.9
        case "lime":
            q = turned(q, 1, -0.7)
            return (
                joined(length(q * vec(0.86, 1, 1)) - 5.0, capsule(q, (5.2, 0, 0), (6.2, 0, 0), 1.0, 0.5), 1.6)
                * 0.92
            )
        case "plum":
            q = turned(q, 1, 0.9 if piece == 4 else -0.4)
            seam = np.exp(-((q[0] / 0.55) ** 2)) * 0.22
            found: Floats = (length(q * vec(1, 1, 0.964)) - radius) * 0.93 + seam * rise(-3, 2, q[2] + q[1])
            return found
    return length(q * vec(1, 0.975, 1)) - radius


def _apple(q: Floats) -> Floats:
    away = np.hypot(q[0], q[2])
    lobes = 0.108 * np.cos(5 * np.arctan2(q[2], q[0])) * np.clip(-q[1] / 8, 0, 1)
    ring = np.sqrt((away - 5.0) ** 2 + (q[1] * (0.74 + 0.010 * q[1])) ** 2) - 3.9
    body = joined(ring, np.sqrt(away**2 + (q[1] * 1.25) ** 2) - 6.2, 1.5) + lobes
    return joined(body * 0.85, capsule(q, (0, 2.6, 0), (1.0, 8.2, 0.4), 0.42, 0.50), 0.35)


def _nearest(p: Floats) -> NDArray[np.int8]:
    """Which piece each place belongs to, or the board."""
    which = np.full(p.shape[1], _BOARD, np.int8)
    least = np.minimum(np.abs(p[1]), np.float32(9))
    for piece, (_, centre, radius) in enumerate(PIECES):
        m = np.flatnonzero(length(p - vec(*centre)) < radius * 1.5)
        if m.size:
            away = _piece(p[:, m], piece)
            closer = away < least[m]
            which[m[closer]], least[m[closer]] = piece, away[closer]
    return which


def _shaded(p: Floats, d: Floats, dark: Floats, pitch: float) -> Floats:
    which = _nearest(p)
    n = normal(_distance, p, 0.03)
    seen = sunlit(_distance, p + n * 0.05, _KEY, 5.5, 40, 16)
    open_to = openness(_distance, p + n * 0.02, n, (0.4, 1.1, 2.4, 4.6))
    own: Floats = np.zeros_like(p)
    gloss, sharp, deep = (np.zeros(p.shape[1], np.float32) for _ in range(3))
    for piece in np.unique(which):
        m = np.flatnonzero(which == piece)
        if piece == _BOARD:
            own[:, m], gloss[m], sharp[m] = _board(p[:, m], pitch), 0.025, 14
        else:
            own[:, m], n[:, m], gloss[m], sharp[m], deep[m] = _skin(
                int(piece), p[:, m], n[:, m], d[:, m], pitch
            )
    light = _light(p, d, n, own, (seen, open_to), (gloss, sharp, deep))
    fade = rise(-10, -58, p[2]) * (which == _BOARD)
    found: Floats = light * (1 - fade) + dark * fade
    return found


def _skin(
    piece: int, p: Floats, n: Floats, d: Floats, pitch: float
) -> tuple[Floats, Floats, Floats | float, float, float]:
    """Colour, normals, gloss, its exponent, and how deep light passes into a fruit."""
    what, centre, _ = PIECES[piece]
    w = p - vec(*centre)
    own: Floats = np.repeat(_OWN[what], p.shape[1], 1)
    if what in _PORES:
        return _citrus(what, piece, own, p, w, n, pitch)
    if what == "apple":
        return _apple_skin(w, n, pitch)
    if what == "plum":
        bloom = rise(-0.55, 0.75, solid_noise(w, 3.4, 81 + piece) + 0.4 * solid_noise(w, 0.8, 83))
        own = own * (1 - 0.55 * bloom) + colour(48, 6, -18) * 0.40 * bloom
        return own, n, 0.05 * (1 - 0.75 * bloom), 70, 0.06
    # Grapes: lighter towards the rim, where light has gone through; bloom, a pip seen dimly, a stalk's scar.
    rim = np.clip(1 + dot(n, d), 0, 1)
    bloom = rise(-0.2, 0.7, solid_noise(w, 1.6, 91 + piece))
    pip = rise(0.9, 0.45, np.hypot(w[0] - 0.3, w[1] * 0.6 + 0.2)) * (1 - rim)
    own = own * (0.72 + 0.62 * rim) * (1 - 0.22 * pip) * (1 + 0.08 * solid_noise(w, 0.9, 93 + piece))
    own = own * (1 - 0.28 * bloom) + colour(78, -8, 18) * 0.22 * bloom
    scar = np.exp(-(((w[0] + 0.4) / 0.26) ** 2) - ((w[1] - 1.75) / 0.22) ** 2)
    own = own * (1 - 0.75 * scar) + colour(38, 8, 26) * 0.75 * scar
    return own, n, 0.05 * (1 - 0.6 * bloom), 200, 0.55


def _citrus(
    what: str, piece: int, own: Floats, p: Floats, w: Floats, n: Floats, pitch: float
) -> tuple[Floats, Floats, Floats | float, float, float]:
    size = _PORES[what]
    seen = np.float32(np.clip(2 - pitch * 1.1 / size * 4, 0, 1))
    middle = vec(*PIECES[piece][1])

    def relief(z: Floats) -> Floats:
        return -np.abs(solid_noise(z - middle, size, 61 + piece)) * seen

    n = bumped(p, n, relief, 0.034, max(0.05, pitch * 0.66))
    own = own * (1 + 0.10 * solid_noise(w, 3.0, 41 + piece))
    own = own * (1 - 0.10 * rise(0.0, 0.4, -solid_noise(w, 0.5, 61 + piece)))
    if what == "lime":  # yellower where it lay, darker at both ends
        pale = rise(0.0, 0.9, solid_noise(w, 4.5, 44) + 0.35 * solid_noise(w, 1.1, 46))
        own = own * (1 - 0.55 * pale) + colour(66, -24, 56) * 0.55 * pale
        ends = rise(3.4, 5.6, np.abs(turned(w, 1, -0.7)[0]))
        own = own * (1 - 0.35 * ends) + colour(60, -6, 44) * 0.25 * ends
    if what == "orange":
        off = w - _NAVEL
        own = own * (1 - 0.7 * np.exp(-dot(off, off) / 1.2))
    return own, n, 0.05, 38, 0.22


def _apple_skin(w: Floats, n: Floats, pitch: float) -> tuple[Floats, Floats, Floats | float, float, float]:
    q = turned(turned(w, 2, 0.22), 0, 0.30)
    turn = np.arctan2(q[2], q[0])
    stripes = octaves(turn * 5.5, q[1] * 0.16, 2.0, pitch * 0.55, 6, 0.7, 71)
    ripe = noise(turn * 0.8, q[1] / 14, 72) + 0.55 * stripes - 0.25 * np.clip(q[1] - 3.5, 0, 9) / 3
    red = rise(-0.75, 0.85, ripe)
    own = colour(71, -2, 50) * (1 - red) + _RED * red * (1 + 0.25 * stripes)
    dots = rise(0.16, 0.07, cells(turn * 9.0, q[1] * 1.1, 73))
    own = own * (1 - dots * 0.5) + colour(84, 2, 34) * dots * 0.5
    stem = (np.hypot(q[0] - 0.135 * np.clip(q[1] - 3, 0, 5), q[2]) < 0.75) & (q[1] > 4.2)
    return np.where(stem, colour(28, 8, 16), own), n, 0.05 * ~stem, 170, 0.10


_RED: Final = colour(36, 54, 34)


def _board(p: Floats, pitch: float) -> Floats:
    grain = np.sin(p[2] * 1.5 + 2.0 * noise(p[0] / 50, p[2] / 10, 5) + 3 * noise(p[0] * 0.012, p[2] * 0.4, 6))
    fibre = octaves(p[0] / 7, p[2], 2.4, pitch * 2, 6, 0.65, 7)
    pores = rise(0.5, 0.85, noise(p[0] / 2.4, p[2] / 0.15, 8)) * np.float32(np.clip(2 - pitch * 8, 0, 1))
    found: Floats = colour(27, 8, 14) * (1 + 0.16 * grain + 0.22 * fibre - 0.35 * pores)
    return found


def _light(
    p: Floats,
    d: Floats,
    n: Floats,
    own: Floats,
    room: tuple[Floats, Floats],
    surface: tuple[Floats, Floats, Floats],
) -> Floats:
    (seen, open_to), (gloss, sharp, deep) = room, surface
    wrap = deep[None] * vec(1.0, 0.75, 0.35)
    soft = np.clip((dot(n, _KEY) + wrap) / (1 + wrap), 0, 1) ** (1 + 0.3 * wrap)
    soft = soft * (seen * (1 - 0.30 * deep) + 0.30 * deep)
    mirror = np.clip(dot(n, unit(_KEY - d)), 0, 1)
    spot = gloss * (sharp * 0.30) * mirror**sharp * seen * 3.2
    grazing = (1 - np.clip(-dot(n, d), 0, 1)) ** 4
    sky = (0.5 + 0.5 * n[1]) * open_to
    thrown = np.clip(0.5 - 0.5 * n[1], 0, 1) * open_to * np.exp(-np.maximum(p[1], 0) / 9)
    fill = (
        1.12 * soft * colour(100, 1, 7)
        + 0.085 * sky * colour(88, -2, -12)
        + 0.17 * thrown * colour(58, 10, 20)
        + 0.10 * np.clip(dot(n, _RIM), 0, 1) * open_to * colour(90, -2, -8)
    )
    shine = spot + 0.11 * grazing * open_to * np.clip(gloss * 12, 0, 1)
    found: Floats = own * fill + shine * colour(100, 0, 3)
    return found
