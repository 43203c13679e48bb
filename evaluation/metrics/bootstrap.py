"""Bootstrap draws: the readings as they might have been, had the sheet been read again."""

import hashlib

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import media_relative_lab
from evaluation.metrics.evidence import Array
from evaluation.metrics.pool import Pool


def draws_of(pool: Pool, draws: int, absolute_aims: bool) -> tuple[Array, Array, Array]:
    """CIELAB of the patches read and the paper, drawn around the readings; the first draw is the readings.

    The paper is drawn too, since a paper read once shifts all its patches together. The seed is made from the
    readings, so that the same session gives the same draws everywhere.

    Parameters
    ----------
    pool
        The readings of the patches of a sheet, m of them read, their covariance and counts.
    draws
        How many; 0 for the readings alone, without an axis of draws.
    absolute_aims
        Whether patches are compared in absolute colour; the second result is then the first.

    Returns
    -------
    Absolute and media-relative CIELAB of the patches that were read, in map order, (draws, m, 3) each, and
    absolute CIELAB of the bare paper, (draws, 3).
    """
    read = pool.counts > 0
    papers, sitting = _papers(pool.paper[read])
    lab, paper, bare = (lab_from_xyz(xyz) for xyz in (pool.xyz[read], papers, pool.bare))
    if draws > 0:
        rng = np.random.default_rng(_seed(pool))
        root = np.linalg.cholesky(pool.covariance[read] + 1e-12 * np.eye(3)) * _unsure(pool.freedom)
        of_paper = np.linalg.cholesky(pool.paper_covariance + 1e-12 * np.eye(3)) * _unsure(pool.freedom)
        # For every patch of the sheet, read or not: kept results rest on these very numbers.
        noise = np.take(rng.standard_normal((draws, len(read), 3)), np.flatnonzero(read), axis=1)
        noise = spread_by(noise, root / np.sqrt(pool.counts[read, None, None]))
        shift = rng.standard_normal((draws, 1, 3)) @ of_paper.T / np.sqrt(max(pool.paper_readings, 1))
        noise[0], shift[0] = 0.0, 0.0
        unprinted = np.isclose(pool.xyz[read], pool.paper[read]).all(axis=-1)
        noise[:, unprinted] = shift
        noise += np.asfortranarray(lab)  # as the noise lies in memory
        lab, paper, bare = noise, paper + shift, bare + shift[:, 0]
    if absolute_aims:
        return lab, lab, bare
    scaled_by = xyz_from_lab(paper)
    if len(papers) > 1:  # one paper serves all patches as it is
        scaled_by = scaled_by[..., sitting, :]
    return lab, media_relative_lab(lab, scaled_by), bare


def spread_by(noise: Array, root: Array) -> Array:
    """Standard normal noise (..., m, k) made into that of the roots (m, k, k) of covariances.

    It lies in memory component by component, and so does all that is made of it: most work is on one of them.
    """
    spread = np.moveaxis(np.empty((noise.shape[-1], *noise.shape[:-1])), 0, -1)
    for axis in range(root.shape[-1]):
        own = noise[..., 0] * root[:, axis, 0]
        for other in range(1, root.shape[-1]):
            own += noise[..., other] * root[:, axis, other]
        spread[..., axis] = own
    return spread


def _papers(paper: Array) -> tuple[Array, NDArray[np.intp]]:
    """The papers (p, 3) of all patches (m, 3), one for each sitting, and (m,) which each patch lies on."""
    if (paper == paper[0]).all():
        return paper[:1], np.zeros(len(paper), np.intp)
    papers, sitting = np.unique(paper, axis=0, return_inverse=True)
    return papers, sitting.ravel()


def _unsure(freedom: int | None) -> float:
    """How much wider readings spread than a few repeats show: Student's t against the normal distribution."""
    return 1.0 if freedom is None else float(np.sqrt(freedom / max(freedom - 2, 1)))


def _seed(pool: Pool) -> int:
    digest = hashlib.sha256(np.ascontiguousarray(pool.xyz).tobytes() + pool.covariance.tobytes()).digest()
    return int.from_bytes(digest[:8], "little")
