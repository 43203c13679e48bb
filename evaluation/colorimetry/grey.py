"""What a neutral is meant to be on this paper: four aims, in absolute CIELAB for D50.

An aim gives a* and b* for a lightness. In media-relative colour both `paper` and `line` are 0, 0 everywhere;
they differ only in absolute colour, so neutrality is judged there, against one aim that is named beside the
number.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.colorimetry.lab import CUBE_FROM, cube_roots, lab_from_xyz, luminance, xyz_from_lab

Array = NDArray[np.float64]


def paper_aim(lightness: ArrayLike, paper_lab: ArrayLike) -> Array:
    """The paper's own colour, darkened: a neutral under media-relative colorimetry.

    Parameters
    ----------
    lightness : (..., n)
        Absolute L* of the greys.
    paper_lab : (..., 3)
        CIELAB of the unprinted paper; its leading axes match those of `lightness`.

    Returns
    -------
    (..., n, 2): a*, b*. Above L* 8 it is a straight line, a = a_paper (L + 16) / (L_paper + 16).
    """
    lightness = np.asarray(lightness, np.float64)
    f = cube_roots(paper_lab)
    grey = (lightness + 16) / 116
    share = f / f[..., 1:2]  # of a grey's cube roots: X and Z of it to its Y
    aim = np.moveaxis(np.empty((2, *lightness.shape)), 0, -1)
    np.multiply(grey, 500 * (share[..., 0] - 1)[..., None], out=aim[..., 0])
    np.multiply(grey, 200 * (1 - share[..., 2])[..., None], out=aim[..., 1])
    dark = grey * np.minimum(share.min(axis=-1), 1)[..., None] <= CUBE_FROM
    if dark.any():
        paper = xyz_from_lab(paper_lab)[..., None, :]
        own = np.broadcast_to(paper / paper[..., 1:2], (*dark.shape, 3))[dark]
        aim[dark] = lab_from_xyz(luminance(lightness[dark])[..., None] * own)[..., 1:]
    return aim


def line_aim(lightness: ArrayLike, paper_lab: ArrayLike, darkest_l: ArrayLike, factor: float) -> Array:
    """A straight line from the paper towards neutral at the darkest grey (the form of ISO 12647-2:2013).

    Parameters
    ----------
    lightness, paper_lab
        As in `paper_aim`.
    darkest_l : (...)
        L* where the line ends: the overprint of the three colours, or the darkest grey of a print that has
        none. Below it and above the paper the ends are held.
    factor : float
        Share of the paper's a* and b* that is gone at the end of the line; 1 ends at 0, 0. Recalled as 0.85
        in ISO 12647-2 and unconfirmed, so always the caller's setting.

    Returns
    -------
    (..., n, 2): a*, b*; the paper's own where the darkest grey is as light as the paper.
    """
    paper = np.asarray(paper_lab, np.float64)[..., None, :]
    paper_l = paper[..., 0]
    span = paper_l - np.asarray(darkest_l, np.float64)[..., None]
    way = np.divide(
        paper_l - np.asarray(lightness, np.float64),
        span,
        out=np.zeros(np.broadcast_shapes(np.shape(lightness), span.shape)),
        where=span > 0,
    )
    return paper[..., 1:] * (1 - factor * np.clip(way, 0.0, 1.0))[..., None]


def absolute_aim(lightness: ArrayLike) -> Array:
    """0, 0 on any paper, for absolute colorimetric prints and proofs: (..., n) L* to (..., n, 2) a*, b*."""
    return np.zeros((*np.shape(lightness), 2))


def toned_aim(lightness: ArrayLike, curve: ArrayLike) -> Array:
    """A toned neutral: the user's own, or that of a reference print.

    Parameters
    ----------
    lightness : (..., n)
        Absolute L* of the greys.
    curve : (m, 3)
        CIELAB of the tone, L* rising; linear in between, constant beyond the ends.

    Returns
    -------
    (..., n, 2): a*, b*.
    """
    lightness, curve = np.asarray(lightness, np.float64), np.asarray(curve, np.float64)
    return np.stack([np.interp(lightness, curve[:, 0], curve[:, axis]) for axis in (1, 2)], axis=-1)
