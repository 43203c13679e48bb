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
from evaluation.published.colour_science import colour_science

Array = NDArray[np.float64]

LEVELS: Final = 16  # L*ab 15, 20 .. 90
HUES: Final = 36  # h_ab 0, 10 .. 350 degrees


@cache
def surface_colours() -> Array:
    """CIELAB for D50 (16, 36, 3): rings from dark to light, each once around the hues.

    Adapted from illuminant C by CAT16. Taken as if they were for D50 they would be off by 2 dE00 on average,
    by 10 at worst. The rings are of equal L* under C and tilt a little under D50.
    """
    with colour_science() as colour:
        known = colour.models.datasets
        L, C, h = np.asarray(known.DATA_POINTER_GAMUT_VOLUME, np.float64).T
        x, y = known.CCS_ILLUMINANT_POINTER_GAMUT
    white = 100 * np.array([x / y, 1.0, (1 - x - y) / y])
    hue = np.radians(h)
    xyz = xyz_from_lab(np.column_stack([L, C * np.cos(hue), C * np.sin(hue)]), white)
    surface = lab_from_xyz(cat16(xyz, white, D50_WHITE)).reshape(LEVELS, HUES, 3)
    surface.flags.writeable = False
    return surface
