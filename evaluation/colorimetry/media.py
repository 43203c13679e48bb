"""From absolute to media-relative and back, and black point compensation of an aim. XYZ with Y 0..100."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.colorimetry.lab import (
    CUBE_FROM,
    D50_WHITE,
    cube_roots,
    lab_from_roots,
    lab_from_xyz,
    xyz_from_lab,
)

Array = NDArray[np.float64]


def media_relative(xyz: ArrayLike, paper_xyz: ArrayLike) -> Array:
    """XYZ (..., 3) scaled component by component so that the paper (..., 3) becomes D50; shapes broadcast.

    This is the media-relative colorimetry of ICC.1, under which a print that follows its profile exactly
    shows no difference. It is not the best model of the eye: on a paper of b* -4 it differs from CAT16 by
    about 1.1 dE00 in saturated blue, and not at all in neutrals.
    """
    return np.asarray(xyz, np.float64) * (D50_WHITE / np.asarray(paper_xyz, np.float64))


def media_relative_lab(lab: ArrayLike, paper_xyz: ArrayLike) -> Array:
    """CIELAB (..., 3) scaled as in `media_relative`: of the cube roots in it that is one factor.

    Only what is nearly black, where CIELAB is a straight line, takes the way over XYZ.
    """
    lab, paper_xyz = np.asarray(lab, np.float64), np.asarray(paper_xyz, np.float64)
    before = cube_roots(lab)
    after = np.multiply(before, np.cbrt(D50_WHITE / paper_xyz), out=np.empty_like(before))
    relative = lab_from_roots(after)
    dark = np.minimum(before, after).min(axis=-1) <= CUBE_FROM
    if dark.any():
        own = np.broadcast_to(paper_xyz, lab.shape)[dark]
        relative[dark] = lab_from_xyz(media_relative(xyz_from_lab(lab[dark]), own))
    return relative


def media_absolute(xyz: ArrayLike, paper_xyz: ArrayLike) -> Array:
    """Media-relative XYZ (..., 3) as it is on that paper (..., 3); the inverse of `media_relative`."""
    return np.asarray(xyz, np.float64) * (np.asarray(paper_xyz, np.float64) / D50_WHITE)


def map_black(xyz: ArrayLike, source_black_y: ArrayLike, black_y: ArrayLike) -> Array:
    """Black point compensation: media-relative XYZ with its black moved to the neutral of Y `black_y`.

    Parameters
    ----------
    xyz : (..., 3)
        The aim before compensation; white is D50.
    source_black_y, black_y : (...)
        Y, 0..100, of the black of the source (0 for the RGB encodings) and of the black to be reached. Only
        luminance: the target black is always neutral, whatever the colour of the printed one.

    Returns
    -------
    (..., 3): white stays, everything else moves in proportion in XYZ.
    """
    kept = (100 - np.asarray(black_y, np.float64)) / (100 - np.asarray(source_black_y, np.float64))
    return D50_WHITE + kept[..., None] * (np.asarray(xyz, np.float64) - D50_WHITE)
