"""Smooth gradients: four paths that prints fail on, each as a continuous run and as 33 patches."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.encodings import rgb_from_xyz
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.sheet.layout import Encoding, Triple
from evaluation.sheet.ramps import path

Array = NDArray[np.float64]

GRADIENT_STEPS: Final = 33  # with fewer than 32 an edge is lost in noise (project's own choice)
_FINE: Final = 1025


@dataclass(frozen=True, slots=True)
class Gradient:
    """A run between two colours in CIELAB for D50.

    by_light  of one chromaticity under falling light; else of one hue in IPT
    """

    name: str
    start: Triple
    end: Triple
    by_light: bool = False


# Project's own choice; every colour lies inside sRGB, so that the sheet is the same in all encodings.
GRADIENTS: Final = (
    Gradient("sky to paper", (46.0, 1.0, -44.0), (100.0, 0.0, 0.0)),
    Gradient("skin to shadow", (74.0, 18.0, 20.0), (6.0, 0.0, 0.0), by_light=True),
    Gradient("red to grey", (48.0, 62.0, 36.0), (48.0, 0.0, 0.0)),
    Gradient("green to black", (56.0, -46.0, 38.0), (0.0, 0.0, 0.0), by_light=True),
)


def gradient_lab(gradient: Gradient, steps: int) -> Array:
    """CIELAB for D50 (steps, 3) of a gradient, at even distances."""
    if not gradient.by_light:
        return path(np.array(gradient.start), np.array(gradient.end), steps)
    full = xyz_from_lab(np.array(gradient.start))
    darkest = xyz_from_lab(np.array(gradient.end))[1] / full[1]
    light = np.linspace(1.0, np.cbrt(darkest), _FINE) ** 3  # near even in L* already
    fine = lab_from_xyz(light[:, None] * full)
    walked = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(fine, axis=0), axis=1))])
    even = np.linspace(0.0, walked[-1], steps)
    return np.column_stack([np.interp(even, walked, axis) for axis in fine.T])


def gradient_source(gradient: Gradient, steps: int, encoding: Encoding) -> Array:
    """Source values (steps, 3), 0..1, of a gradient, not rounded."""
    rgb: Array = np.clip(rgb_from_xyz(xyz_from_lab(gradient_lab(gradient, steps)), encoding), 0.0, 1.0)
    return rgb
