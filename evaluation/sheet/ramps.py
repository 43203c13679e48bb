"""Saturation ramps: constant hue in IPT, from the grey of the cusp's lightness to the encoding's edge.

In blue, ramps of constant CIELAB hue turn violet to the eye; IPT is built for constant perceived hue (Ebner
and Fairchild 1998). The cusps are the corners and edge midpoints of the encoding's RGB cube, where no colour
of that hue has more chroma.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.encodings import rgb_from_xyz, xyz_from_rgb
from evaluation.colorimetry.ipt import ipt_from_lab, lab_from_ipt
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.sheet.layout import Encoding, Triple

Array = NDArray[np.float64]

RAMP_STEPS: Final = 8
_FINE: Final = 512  # points along the path before it is divided into even steps
_FARTHEST, _TRIES = 0.2, 101  # how far I is moved to bring a colour inside, and in how many steps
_HAIR: Final = 1e-3  # of the encoded range: rounding, not a colour outside


@dataclass(frozen=True, slots=True)
class Hue:
    """One ramp.

    name  the hue, as printed beside the ramp
    code  two letters that begin the ids of its patches: after IEC 60757 where that has the colour (recalled,
          not confirmed), else the project's own choice; never a single letter, which reads as an ink
    cusp  source value, 0..1, of its strongest colour
    """

    name: str
    code: str
    cusp: Triple


HUES: Final = (
    Hue("red", "RD", (1.0, 0.0, 0.0)),
    Hue("orange", "OG", (1.0, 0.5, 0.0)),
    Hue("yellow", "YE", (1.0, 1.0, 0.0)),
    Hue("leaf", "LF", (0.5, 1.0, 0.0)),
    Hue("green", "GN", (0.0, 1.0, 0.0)),
    Hue("sea", "SE", (0.0, 1.0, 0.5)),
    Hue("cyan", "CY", (0.0, 1.0, 1.0)),
    Hue("azure", "AZ", (0.0, 0.5, 1.0)),
    Hue("blue", "BU", (0.0, 0.0, 1.0)),
    Hue("violet", "VT", (0.5, 0.0, 1.0)),
    Hue("magenta", "MG", (1.0, 0.0, 1.0)),
    Hue("rose", "RS", (1.0, 0.0, 0.5)),
)
# Two blues lie beside their corner. The hue of the sRGB primary meets the cube at an edge only, with nothing
# between dark blues and grey; 1.4 degrees away the path is open. The ROMM primary is not a colour: L* 0.
_BESIDE: Final[Mapping[tuple[str, Encoding], Triple]] = MappingProxyType(
    {("blue", "srgb"): (0.1, 0.0, 1.0), ("blue", "romm-rgb"): (0.2, 0.2, 1.0)}
)


def cusp(hue: Hue, encoding: Encoding) -> Triple:
    """Source value, 0..1, of the end of a ramp in this encoding."""
    return _BESIDE.get((hue.name, encoding), hue.cusp)


def path(start_lab: Array, end_lab: Array, steps: int, encoding: Encoding | None = None) -> Array:
    """CIELAB for D50 (steps, 3) of one IPT hue between two colours (3,), at even CIELAB distances.

    P and T run straight from start to end, with I such that L* runs straight too, which keeps the hue. Where
    one of the two colours is grey, the hue is that of the other throughout. With an encoding, colours that
    it cannot hold are moved inside in lightness alone, by as little as possible.
    """
    share = np.linspace(0.0, 1.0, _FINE)
    first, last = ipt_from_lab(start_lab), ipt_from_lab(end_lab)
    ipt = first + share[:, None] * (last - first)
    ipt[:, 0] = _lightened(ipt, start_lab[0] + share * (end_lab[0] - start_lab[0]))
    if encoding is not None:
        ipt = _held(ipt, encoding)
    walked = np.linalg.norm(np.diff(lab_from_ipt(ipt), axis=0), axis=1)
    even = np.linspace(0.0, walked.sum(), steps)
    length = np.concatenate([[0.0], np.cumsum(walked)])
    return lab_from_ipt(np.column_stack([np.interp(even, length, axis) for axis in ipt.T]))


def _lightened(ipt: Array, lightness: Array) -> Array:
    """(n,) the I at which each P, T has its L*, by bisection, since L* rises with I."""
    tried = ipt.copy()
    low, high = np.zeros(len(ipt)), np.full(len(ipt), 1.5)
    for _ in range(48):
        tried[:, 0] = (low + high) / 2
        below = lab_from_ipt(tried)[:, 0] < lightness
        low, high = np.where(below, tried[:, 0], low), np.where(below, high, tried[:, 0])
    return tried[:, 0]


def _held(ipt: Array, encoding: Encoding) -> Array:
    """The same P, T with the nearest I at which the encoding holds the colour; unchanged without one."""
    held = ipt.copy()
    near = np.linspace(0.0, _FARTHEST, _TRIES)
    shifts = np.column_stack([near, -near]).ravel()  # nearest first, up and down in turn
    for place in np.flatnonzero(~_inside(ipt, encoding)):
        tried = ipt[place] + shifts[:, None] * np.array([1.0, 0.0, 0.0])
        held[place] = tried[int(_inside(tried, encoding).argmax())]
    return held


def _inside(ipt: Array, encoding: Encoding) -> NDArray[np.bool_]:
    rgb = rgb_from_xyz(xyz_from_lab(lab_from_ipt(ipt)), encoding)
    within: NDArray[np.bool_] = np.all((rgb > -_HAIR) & (rgb < 1.0 + _HAIR), axis=-1)
    return within


def ramp_lab(hue: Hue, encoding: Encoding) -> Array:
    """CIELAB for D50 (8, 3) of one ramp, from the grey of the cusp's L* to the cusp."""
    end = lab_from_xyz(xyz_from_rgb(np.array(cusp(hue, encoding)), encoding))
    return path(np.array([end[0], 0.0, 0.0]), end, RAMP_STEPS, encoding)


def ramp_source(hue: Hue, encoding: Encoding) -> Array:
    """Source values (8, 3), 0..1, of one ramp."""
    return rgb_from_xyz(xyz_from_lab(ramp_lab(hue, encoding)), encoding)
