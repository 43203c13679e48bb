"""Three figures from behind in soft light, of light, medium and deep skin: shadows turn red, not grey.

Backs, necks and bald heads as in a studio; pores, freckles and mottle on them.
"""

from functools import lru_cache
from typing import Final

import numpy as np

from evaluation.sheet.noise import Floats, noise, octaves
from evaluation.sheet.scenes.ground import (
    cells,
    colour,
    colours,
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
    carved,
    ellipsoid,
    joined,
    marched,
    normal,
    openness,
    solid_noise,
    sunlit,
)

# Place, size, skin in CIELAB, turn; skins within the eight depths of the sheet, project's own choice.
FIGURES: Final = (
    ((-16.0, -1.5, -14.0), 1.0, (75.0, 8.5, 14.5), 0.35),
    ((17.0, -2.5, -12.0), 0.98, (57.0, 11.5, 19.5), -0.40),
    ((1.0, -6.5, 4.0), 1.05, (31.0, 11.5, 13.5), 0.12),
)
_KEY: Final = unit(vec(-0.80, 0.42, 0.50))
_RIM: Final = unit(vec(0.92, 0.12, -0.25))
_WALL: Final = colour(30, 0, -3)
_NEAR, _FAR = 60.0, 150.0


def points(x: Floats, y: Floats, pitch: float) -> Floats:
    o, d = _rays(x, y)
    t = marched(_distance, o, d, _coarse().start(x, y), _FAR, 60)
    glow = np.exp(-(((x - 46) / 26) ** 2) - ((y - 16) / 24) ** 2)
    light = _WALL * (0.45 + 1.25 * glow * (1 + 0.03 * octaves(x, y, 7.0, pitch, 6, 0.6, 3)))
    m = np.flatnonzero(np.isfinite(t))
    if m.size:
        light[:, m] = _shaded(o + d[:, m] * t[m], d[:, m], pitch)
    return lifted(rolled_off(light, 0.70), 0.0018)


def _rays(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    return rays(x, y, (0, 2, 92), (0, -3.5, 0), 0.62)


@lru_cache(maxsize=1)
def _coarse() -> Coarse:
    return Coarse(_distance, _rays, _NEAR, _FAR)


def _body(p: Floats) -> Floats:
    """Neck, shoulders and back of one figure, alike on both sides."""
    p = np.stack([np.abs(p[0]), p[1], p[2]])
    d = ellipsoid(p, (0, -22, 0), (12.6, 22, 7.6))
    d = joined(d, capsule(p, (0, -6.6, 0.4), (12.2, -6.6, 0.4), 4.5, 4.5), 5.5)
    d = joined(d, capsule(p, (0, -4, 0.3), (0, 8, -1.4), 4.6, 3.9), 5.0)
    d = joined(d, capsule(p, (4.5, -1.8, 0), (11, -5.2, 0.5), 2.6, 3.4), 4.0)
    d = joined(d, ellipsoid(p, (0, 16.5, -2.2), (6.6, 8.6, 7.8)), 2.6)
    d = joined(d, capsule(p, (15.0, -8.5, 0.3), (17.0, -30, 1.0), 4.3, 3.3), 2.2)
    d = joined(d, ellipsoid(p, (6.6, -13.5, 5.4), (4.0, 6.2, 2.4)), 3.0)
    d = joined(d, ellipsoid(p, (6.8, 13.2, -2.0), (1.0, 2.5, 1.6)), 0.7)
    return carved(d, capsule(p, (0, -8, 8.0), (0, -40, 8.8), 0.9, 1.5), 3.2)


def _in_place(p: Floats, figure: int) -> Floats:
    at, size, _, turn = FIGURES[figure]
    return turned((p - vec(*at)) / np.float32(size), 1, turn)


def _figure(p: Floats, figure: int) -> Floats:
    """Distance to one figure; a little less than that to a simple form around it where that is far."""
    size = np.float32(FIGURES[figure][1])
    q = _in_place(p, figure)
    around: Floats = np.sqrt(q[0] ** 2 + ((q[1] + 10) * 0.55) ** 2 + q[2] ** 2) - 24
    near = np.flatnonzero(around < 3)
    around += 2
    if near.size:
        around[near] = _body(q[:, near])
    around *= size
    return around


def _distance(p: Floats) -> Floats:
    nearest = _figure(p, 0)
    for figure in range(1, len(FIGURES)):
        nearest = np.minimum(nearest, _figure(p, figure))
    return nearest


def _shaded(p: Floats, d: Floats, pitch: float) -> Floats:
    n = normal(_distance, p, 0.05)
    which = np.stack([_figure(p, figure) for figure in range(len(FIGURES))]).argmin(0)
    seen = sunlit(_distance, p + n * 0.1, _KEY, 3.2, 50, 16)
    open_to = openness(_distance, p + n * 0.02, n, (0.7, 1.8, 3.6, 6.5))
    relief = 0.011 * float(np.clip(1.8 - pitch * 8, 0.25, 1))
    rough = bumped(p, n, _pores, relief, max(0.06, pitch * 0.7))
    own, dark = _skins(p, which, pitch)
    falls, falls_rough = dot(n, _KEY), dot(rough, _KEY)
    red = 1 - 0.45 * dark  # how far light goes into the skin: less where it is dark
    wrap = vec(0.24, 0.13, 0.09) * red
    soft = np.clip((falls + wrap) / (1 + wrap), 0, 1) ** np.float32(1.15)
    shadow = np.stack([seen ** (1 - 0.22 * red), seen, seen ** (1 + 0.06 * red)])
    soft = soft * shadow * (1 + 0.8 * (falls_rough - falls))
    hollow = np.stack([open_to ** (1 - 0.22 * red), open_to, open_to ** np.float32(1.05)])
    rim = np.clip(dot(rough, _RIM) + 0.10, 0, 1) * open_to
    mirror = np.clip(dot(rough, unit(_KEY - d)), 0, 1)
    shine = (0.10 + 0.14 * dark) * mirror**22 * seen + 0.05 * mirror**7 * seen
    grazing = (1 - np.clip(-dot(n, d), 0, 1)) ** 4 * 0.10 * open_to
    fill = (
        1.16 * soft * colour(100, 1, 6)
        + 0.16 * (0.5 + 0.5 * n[1]) * hollow * colour(86, -1, -5)
        + 0.26 * rim * colour(92, 1, 0)
        + 0.05 * hollow * colour(60, 14, 16)
    )
    found: Floats = own * fill + shine * 0.55 * colour(100, 0, 3) + grazing * 0.35 * colour(90, 0, -3)
    return found


def _pores(z: Floats) -> Floats:
    at = cells(z[0] / 0.24 + 0.2 * noise(z[0], z[1], 1), z[1] / 0.24 + z[2] / 0.34, 5)
    return -0.5 * rise(0.0, 0.42, 0.42 - at) + 0.35 * solid_noise(z, 0.8, 7)


def _skins(p: Floats, which: np.ndarray, pitch: float) -> tuple[Floats, Floats]:
    """Colours (3, n) with mottle and freckles, and how dark each skin is, 0 at L* 80."""
    own: Floats = np.zeros_like(p)
    dark: Floats = np.zeros(p.shape[1], np.float32)
    for figure, (at, _, lab, _) in enumerate(FIGURES):
        m = np.flatnonzero(which == figure)
        if not m.size:
            continue
        z = p[:, m] - vec(*at)
        broad = octaves(z[0] + z[2], z[1], 7.0, pitch, 5, 0.5, 11 + figure)
        fine = octaves(z[0] - z[2], z[1], 1.6, pitch, 4, 0.6, 15 + figure)
        spots = rise(0.17, 0.09, cells(z[0] / 1.9 + 0.2 * z[2], z[1] / 1.9, 21))
        spots = spots * rise(0.1, 0.5, noise(z[0] / 9, z[1] / 9, 23)) * (0.8 if figure < 2 else 0.3)
        L, a, b = lab
        mottled = np.stack(
            [
                L + 1.6 * broad + 1.0 * fine - 5 * spots,
                a + 1.5 * broad * (L / 60) - 0.7 * fine + 1.5 * spots,
                b - 0.6 * broad + 0.5 * fine + 2.5 * spots,
            ],
            -1,
        )
        own[:, m] = colours(mottled)
        dark[m] = (80 - L) / 60
    return own, dark
