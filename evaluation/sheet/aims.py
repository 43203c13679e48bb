"""The colour that each patch of a sheet is meant to have."""

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.encodings import xyz_from_rgb
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.sheet.layout import Sheet

Array = NDArray[np.float64]


def source_lab(sheet: Sheet) -> Array:
    """CIELAB for D50 (n, 3) of every patch in map order, as the map states it, else from its source.

    Relative to the encoding's white: paper is L* 100, as the profile will map it. Rows of nan where the map
    states neither.
    """
    lab = np.full((len(sheet.patches), 3), np.nan)
    stated = [index for index, patch in enumerate(sheet.patches) if patch.aim_lab is not None]
    worked_out = [
        index
        for index, patch in enumerate(sheet.patches)
        if patch.aim_lab is None and patch.source is not None
    ]
    if stated:
        lab[stated] = [sheet.patches[index].aim_lab for index in stated]
    if worked_out and sheet.encoding is not None:
        rgb = np.array([sheet.patches[index].source for index in worked_out])
        lab[worked_out] = lab_from_xyz(xyz_from_rgb(rgb, sheet.encoding))
    return lab
