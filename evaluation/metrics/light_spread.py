"""How sure a shift under another light is: transforms of adaptation differ, and both legs are read.

    s^2 = s_cat^2 + s_read^2

s_cat is the standard deviation of the figure by CAT16, CAT02 and linear Bradford, s_read that of reading the
print again for both lights. How far an eye adapts at all is in neither. Two prints under one light share the
transform: between them s_read alone counts.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from evaluation.metrics.bootstrap import spread_by
from evaluation.metrics.evidence import Array, Evidence, Mask

_DRAWS: Final = 200
_SEED: Final = 1931


@dataclass(frozen=True, slots=True)
class Spread:
    """Of a figure under another light: by the choice of adaptation, by reading again, and both together."""

    choice: float
    reading: float

    @property
    def both(self) -> float:
        return float(np.hypot(self.choice, self.reading))


def spread_of(
    evidence: Evidence, light: str, rows: Mask, figure: Callable[[Array], Array], by: Array | None = None
) -> Spread:
    """The spread of a figure under a light.

    Parameters
    ----------
    rows : (n,) the patches it is worked out from.
    figure : from shifts (..., k, 2) of those patches to (...).
    by : (3, k, 2) what is taken off the shifts first, transform by transform.
    """
    shifts = np.concatenate([evidence.shifts[light][None], evidence.shifts_otherwise[light]])[:, rows]
    if by is not None:
        shifts = shifts - by
    both = 2 * evidence.covariance[rows, 1:, 1:] / evidence.counts[rows, None, None]
    own = np.asarray(np.linalg.cholesky(both + 1e-12 * np.eye(2)), np.float64)
    drawn = shifts[0] + spread_by(_noise(_DRAWS, int(rows.sum()), 2), own)
    return Spread(float(figure(shifts).std(ddof=1)), float(figure(drawn).std()))


def drawn_around(value: float, spread: float, like: Array) -> Array:
    """Draws (...) of a figure for the leading axes of `like` (..., n, 3); the first is the figure itself."""
    shape = like.shape[:-2]
    values = np.full(shape, value)
    if values.size > 1:
        noise = _noise(*shape)
        noise = noise - noise[1:].mean()
        values = values + spread * noise / noise[1:].std()
        values[0] = value
    return np.asarray(np.maximum(values, 0.0), np.float64)


@lru_cache(maxsize=16)
def _noise(*shape: int) -> Array:
    """Standard normal noise, always the same."""
    noise = np.random.default_rng(_SEED).standard_normal(shape)
    noise.flags.writeable = False
    return noise
