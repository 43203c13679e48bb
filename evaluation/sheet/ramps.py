"""Saturation ramps: constant hue in IPT, from the grey of the cusp's lightness to the encoding's edge.

Ramps of constant CIELAB hue turn to violet in blue although nothing is wrong; IPT is built for constant
seen hue (Ebner and Fairchild 1998). The cusps are the twelve corners and edge middles of the encoding's
RGB cube: there no colour of that hue is stronger.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.encodings import rgb_from_xyz, xyz_from_rgb
from evaluation.colorimetry.ipt import ipt_from_lab, lab_from_ipt
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.sheet.layout import Encoding, Triple

Array = NDArray[np.float64]

RAMP_STEPS: Final = 8
_FINE: Final = 512  # places along the path before it is divided into even steps


@dataclass(frozen=True, slots=True)
class Hue:
    """One ramp: its name and the source value (0..1) of its strongest colour."""

    name: str
    cusp: Triple


HUES: Final = (
    Hue("red", (1.0, 0.0, 0.0)),
    Hue("orange", (1.0, 0.5, 0.0)),
    Hue("yellow", (1.0, 1.0, 0.0)),
    Hue("leaf", (0.5, 1.0, 0.0)),
    Hue("green", (0.0, 1.0, 0.0)),
    Hue("sea", (0.0, 1.0, 0.5)),
    Hue("cyan", (0.0, 1.0, 1.0)),
    Hue("azure", (0.0, 0.5, 1.0)),
    Hue("blue", (0.0, 0.0, 1.0)),
    Hue("violet", (0.5, 0.0, 1.0)),
    Hue("magenta", (1.0, 0.0, 1.0)),
    Hue("rose", (1.0, 0.0, 0.5)),
)


def path(start_lab: Array, end_lab: Array, steps: int) -> Array:
    """CIELAB colours (steps, 3) of one IPT hue between two colours, at even CIELAB distances.

    P and T go straight from start to end; at each place I is chosen so that L* goes straight too, which
    keeps the hue. One of the two colours may be grey: then the hue is the other's all the way.
    """
    share = np.linspace(0.0, 1.0, _FINE)
    fine = _between(start_lab, end_lab, share)
    walked = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(fine, axis=0), axis=1))])
    even = np.interp(np.linspace(0.0, walked[-1], steps), walked, share)
    return _between(start_lab, end_lab, even)


def _between(start_lab: Array, end_lab: Array, share: Array) -> Array:
    first, last = ipt_from_lab(start_lab), ipt_from_lab(end_lab)
    ipt = first + share[:, None] * (last - first)
    wanted = start_lab[0] + share * (end_lab[0] - start_lab[0])
    low, high = np.zeros_like(share), np.full_like(share, 1.5)
    for _ in range(48):  # halving: L* rises with I
        ipt[:, 0] = (low + high) / 2
        below = lab_from_ipt(ipt)[:, 0] < wanted
        low, high = np.where(below, ipt[:, 0], low), np.where(below, high, ipt[:, 0])
    return lab_from_ipt(ipt)


def ramp_lab(hue: Hue, encoding: Encoding) -> Array:
    """CIELAB D50 (8, 3) of one ramp: step 1 the grey of the cusp's L*, step 8 the cusp."""
    cusp = lab_from_xyz(xyz_from_rgb(np.array(hue.cusp), encoding))
    return path(np.array([cusp[0], 0.0, 0.0]), cusp, RAMP_STEPS)


def ramp_source(hue: Hue, encoding: Encoding) -> Array:
    """Source values (8, 3) of one ramp, 0..1."""
    return rgb_from_xyz(xyz_from_lab(ramp_lab(hue, encoding)), encoding)
