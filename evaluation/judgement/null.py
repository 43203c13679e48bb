"""What two prints that are alike would differ by, in draws of noise: of reading, of the paper, of sheets."""

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any, Final

import numpy as np

from evaluation.judgement.repeatability import isotropic, root
from evaluation.judgement.tables import Tables
from evaluation.metrics.bootstrap import spread_by
from evaluation.metrics.evidence import Array, Evidence

_SEED: Final = 1979
_KEPT: Final = 12  # first sides, as many as a sheet has regions; each takes 1 to 3 MB

# The evidence of one print; the covariance (3, 3) of one patch from sheet to sheet of its process, None where
# it is not known; the degrees of freedom behind the spread of one reading, None where that is a default.
Side = tuple[Evidence, Array | None, int | None]


def null_of(sides: Sequence[Side], tables: Tables) -> Array:
    """(draws, n, 3) differences between two alike sides of a comparison; the first draw is zero.

    What sheets add beyond reading again moves all patches of a region together, as a misread paper does;
    reading noise moves each by itself. `sides` have the same n patches; there are `compare_draws` draws.
    """
    count, (first, *others) = int(tables["compare_draws"]), sides
    begun, state = _first(count, len(first[0].patches), *_spreads(first, tables))
    rng = np.random.default_rng(_SEED)
    rng.bit_generator.state = state
    drawn = begun.copy(order="K")
    for side in others:
        _add(drawn, rng, *_spreads(side, tables))
    drawn[0] = 0.0
    return drawn


def _spreads(side: Side, tables: Tables) -> tuple[int | None, bytes, bytes, bytes]:
    """Degrees of freedom, and the covariances (n, 3, 3) of patches, (3, 3) of paper and (3, 3) of sheets."""
    evidence, known, freedom = side
    own = evidence.covariance / evidence.counts[:, None, None]
    of_paper = evidence.paper_covariance / evidence.paper_readings
    more = (isotropic(tables["sheet_mean"]) if known is None else known) - evidence.covariance.mean(axis=0)
    return freedom, own.tobytes(), of_paper.tobytes(), more.tobytes()


@lru_cache(maxsize=_KEPT)
def _first(
    count: int, n: int, freedom: int | None, own: bytes, of_paper: bytes, more: bytes
) -> tuple[Array, Any]:
    """What the first side differs by, and the state of the generator after it.

    Kept: a print that others are compared with is the first side of each of these comparisons.
    """
    rng = np.random.default_rng(_SEED)
    drawn = np.moveaxis(np.zeros((3, count, n)), 0, -1)  # as `spread_by` lays it
    _add(drawn, rng, freedom, own, of_paper, more)
    drawn.flags.writeable = False
    return drawn, rng.bit_generator.state


def _add(
    drawn: Array, rng: np.random.Generator, freedom: int | None, own: bytes, of_paper: bytes, more: bytes
) -> None:
    """Add to `drawn` (draws, n, 3) what one side differs by from what it should be."""
    count, n, _ = drawn.shape
    of_patches, paper, sheets = (
        root(np.frombuffer(part).reshape(*shape, 3, 3))
        for part, shape in ((own, (n,)), (of_paper, ()), (more, ()))
    )
    unsure = _unsure(rng, freedom, count)
    by_patch = spread_by(rng.standard_normal((count, n, 3)), of_patches)
    by_patch *= unsure
    drawn += by_patch
    drawn += unsure * rng.standard_normal((count, 1, 3)) @ paper.T
    drawn += rng.standard_normal((count, 1, 3)) @ sheets.T


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
