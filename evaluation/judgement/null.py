"""What two prints that are alike would differ by, in draws of noise: of reading, of the paper, of sheets."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from evaluation.judgement.repeatability import isotropic, root
from evaluation.judgement.tables import Tables
from evaluation.metrics.bootstrap import spread_by
from evaluation.metrics.evidence import Array, Evidence

_SEED: Final = 1979

# The evidence of one print; the covariance (3, 3) of one patch from sheet to sheet of its process, None where
# it is not known; the degrees of freedom behind the spread of one reading, None where that is a default.
Side = tuple[Evidence, Array | None, int | None]


def null_of(sides: Sequence[Side], tables: Tables) -> Array:
    """(draws, n, 3) differences between two alike sides of a comparison; the first draw is zero.

    What sheets add beyond reading again moves all patches of a region together, as a misread paper does;
    reading noise moves each by itself. `sides` have the same n patches; there are `compare_draws` draws.
    """
    rng = np.random.default_rng(_SEED)
    n, count = len(sides[0][0].patches), int(tables["compare_draws"])
    default = isotropic(tables["sheet_mean"])
    drawn = np.moveaxis(np.zeros((3, count, n)), 0, -1)  # as `spread_by` lays it
    for evidence, known, freedom in sides:
        unsure = _unsure(rng, freedom, count)
        own = root(evidence.covariance / evidence.counts[:, None, None])
        drawn += unsure * spread_by(rng.standard_normal((count, n, 3)), own)
        of_paper = root(evidence.paper_covariance / evidence.paper_readings)
        drawn += unsure * rng.standard_normal((count, 1, 3)) @ of_paper.T
        more = (default if known is None else known) - evidence.covariance.mean(axis=0)
        drawn += rng.standard_normal((count, 1, 3)) @ root(more).T
    drawn[0] = 0.0
    return drawn


def noisy(evidence: Evidence, null: Array) -> Evidence:
    """The evidence with noise (draws, n, 3) in absolute CIELAB added to it, draw by draw.

    Scaled by its paper, a colour moves more than it was read to move: by the cube root that CIELAB takes of
    the paper's luminance, which is the ratio of both L* + 16.
    """
    scale = np.median((evidence.measured[..., 0] + 16) / (evidence.absolute[..., 0] + 16))
    measured, absolute = null * scale, null.copy(order="K")
    measured += np.asfortranarray(evidence.measured)
    absolute += np.asfortranarray(evidence.absolute)
    return replace(
        evidence,
        measured=measured,
        absolute=absolute,
        grey_aim=np.broadcast_to(evidence.grey_aim, (*null.shape[:-1], 2)),
        black=None if evidence.black is None else np.broadcast_to(evidence.black, (len(null), 3)),
    )


def _unsure(rng: np.random.Generator, freedom: int | None, count: int) -> Array:
    """(draws, 1, 1) factors on a spread known from few repeats: Student's t for the normal.

    A metric that is the largest of many steps would otherwise call every reading noisier than its repeats a
    difference.
    """
    if freedom is None:
        return np.ones((1, 1, 1))
    return np.sqrt(freedom / rng.chisquare(freedom, (count, 1, 1)))
