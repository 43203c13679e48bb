"""From absolute to media-relative and back, and black mapping of an aim. XYZ with Y on the 0..100 scale."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.colorimetry.lab import D50_WHITE

Array = NDArray[np.float64]


def media_relative(xyz: ArrayLike, paper_xyz: ArrayLike) -> Array:
    """XYZ with the paper made D50, component by component; (..., 3) with a paper (..., 3) that broadcasts.

    This scaling is the media-relative colorimetry of ICC.1, so a print that follows its profile exactly
    has no difference. It is not the best model of the eye: against CAT16 it differs by about 1.1 dE00 in
    saturated blue on a paper of b* -4, and not at all on neutrals.
    """
    return np.asarray(xyz, np.float64) * (D50_WHITE / np.asarray(paper_xyz, np.float64))


def media_absolute(xyz: ArrayLike, paper_xyz: ArrayLike) -> Array:
    """The inverse of `media_relative`: media-relative XYZ as it is on that paper."""
    return np.asarray(xyz, np.float64) * (np.asarray(paper_xyz, np.float64) / D50_WHITE)


def map_black(xyz: ArrayLike, source_black_y: ArrayLike, black_y: ArrayLike) -> Array:
    """Black point compensation: media-relative XYZ with its black moved to a neutral of `black_y`.

    Parameters
    ----------
    xyz : (..., 3)
        The aim before mapping; white is D50.
    source_black_y, black_y : (...)
        Y of the black of the source (0 for the RGB encodings) and of the black to be reached, 0..100. Only
        luminance: the black that is mapped to is always neutral, however tinted the printed one may be.

    Returns
    -------
    (..., 3): white stays white, everything between moves in proportion in XYZ.
    """
    kept = (100 - np.asarray(black_y, np.float64)) / (100 - np.asarray(source_black_y, np.float64))
    return D50_WHITE + kept[..., None] * (np.asarray(xyz, np.float64) - D50_WHITE)
