"""The surface of real surface colours: the strongest that paints, plastics, papers and plants have.

M. R. Pointer, The gamut of real surface colours, Color Research and Application 5(3), 1980: maximum C*ab at
16 lightnesses and 36 hues, for illuminant C.
"""

from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.adaptation import cat16
from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz, xyz_from_lab
from evaluation.published.passport import load_table

Array = NDArray[np.float64]

LEVELS: Final = 16  # L*ab 15, 20 .. 90
HUES: Final = 36  # h_ab 0, 10 .. 350 degrees


_ILLUMINANT_C: Final = 0.31006, 0.31616  # x, y for the 2 degree observer (CIE 015:2018)
_LEVELS: Final = 2  # parts between two rings of lightness that are filled apart (project's own choice)
_PARTS: Final = 2  # between two hues
_SHELLS: Final = 8  # of equal area, from the grey axis outwards


@cache
def surface_colours() -> Array:
    """CIELAB for D50 (16, 36, 3): rings from dark to light, each once around the hues.

    Adapted from illuminant C by CAT16. Taken as if they were for D50 they would be off by 2 dE00 on average,
    by 10 at worst. The rings are of equal L* under C and tilt a little under D50.
    """
    rings, white = _published()
    return _kept(_adapted(rings, white))


@cache
def inside_surface_colours() -> tuple[Array, Array]:
    """Colours (n, 3) that fill the space inside the rings, CIELAB for D50, and the volume (n,) of each.

    Shared out under illuminant C, where the hues of the rings are evenly spaced.
    """
    rings, white = _published()
    levels = _parted(rings, _LEVELS, axis=0)
    edge = _parted(np.concatenate([levels, levels[:, :1]], axis=1), _PARTS, axis=1)
    filled = np.repeat(edge[:, :, None], _SHELLS, axis=2)
    filled[..., 1:] *= np.sqrt((np.arange(_SHELLS) + 0.5) / _SHELLS)[:, None]
    area = np.square(edge[..., 1:]).sum(axis=-1)
    volume = np.repeat(area[..., None], _SHELLS, axis=-1).ravel()
    return _kept(_adapted(filled.reshape(-1, 3), white)), _kept(volume)


def _published() -> tuple[Array, Array]:
    """CIELAB (16, 36, 3) for illuminant C as it was published, and that white."""
    table = load_table("evaluation.published", "surface-colours.csv")
    C, hue = np.array(table.numbers("chroma")), np.radians(table.numbers("hue"))
    lab = np.column_stack([table.numbers("lightness"), C * np.cos(hue), C * np.sin(hue)])
    x, y = _ILLUMINANT_C
    return lab.reshape(LEVELS, HUES, 3), 100 * np.array([x / y, 1.0, (1 - x - y) / y])


def _adapted(lab: Array, white: Array) -> Array:
    return lab_from_xyz(cat16(xyz_from_lab(lab, white), white, D50_WHITE))


def _parted(rings: Array, parts: int, axis: int) -> Array:
    """Values in the middle of each of `parts` equal parts between two neighbours along an axis."""
    values = np.moveaxis(rings, axis, 0)
    share = ((np.arange(parts) + 0.5) / parts)[:, None, None]
    between = values[:-1, None] + share * (values[1:] - values[:-1])[:, None]
    return np.moveaxis(between.reshape(-1, *values.shape[1:]), 0, axis)


def _kept(values: Array) -> Array:
    values.flags.writeable = False  # cached and shared
    return values
