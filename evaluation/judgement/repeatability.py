"""When a difference is more than noise: limits from repeats, and Holm's correction over many cells.

Levels of repetition are kept apart: reading again, lifted and placed again, another sheet, another day or
instrument. Duplicates of one run measure the instrument, not the process: papers, settings and modes are
compared at the level "another sheet".
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.judgement.tables import Tables

Array = NDArray[np.float64]

# Mean length of a normal vector with three equal axes of spread 1: sqrt(8 / pi).
MEAN_LENGTH: Final = float(np.sqrt(8 / np.pi))
_SEED: Final = 1979


def limit_from_covariance(covariance: Array, n1: int, n2: int, tables: Tables) -> float:
    """Colour difference that two means of readings of one thing stay below, in `repeat_share` of cases.

    Unlike a rule with one mean distance it holds where L* is the noisier axis.

    Parameters
    ----------
    covariance : (3, 3) of (L*, a*, b*) of one reading.
    n1, n2 : readings behind each mean.

    Returns
    -------
    float
        dE*ab: the quantile of the length of `repeat_draws` draws from N(0, covariance (1 / n1 + 1 / n2)).
    """
    count = int(tables["repeat_draws"])
    factor = root(covariance * (1 / n1 + 1 / n2))
    drawn = np.random.default_rng(_SEED).standard_normal((count, len(factor))) @ factor.T
    return float(np.quantile(np.linalg.norm(drawn, axis=1), tables["repeat_share"]))


def limit_from_mean_difference(mcdm: float, readings: float, n1: int, n2: int, rule: float) -> float:
    """The same limit where only the mean colour difference from the mean is known.

    Assumes equal noise in L*, a*, b*. `readings`: how many stand behind each mean; few make the raw statistic
    too small, by sqrt(n / (n - 1)); infinite for a mean that is known. `rule` is the threshold `repeat_rule`.
    """
    if readings < 2:
        raise ValueError("a mean colour difference from the mean needs two readings or more")
    true = mcdm / np.sqrt(1 - 1 / readings)
    return float(rule * true * np.sqrt((1 / n1 + 1 / n2) / 2))


def isotropic(mean_difference: float) -> Array:
    """(3, 3) covariance with equal axes whose mean distance from the mean is `mean_difference`, dE*ab."""
    return np.asarray(np.eye(3) * (mean_difference / MEAN_LENGTH) ** 2)


def root(covariance: Array) -> Array:
    """(..., k, k) square roots of covariances that may be singular: root @ root.T is the covariance."""
    values, vectors = np.linalg.eigh(covariance)
    factor: Array = vectors * np.sqrt(np.maximum(values, 0.0))[..., None, :]
    return factor


def holm_adjusted(p_values: Sequence[float]) -> tuple[float, ...]:
    """p values adjusted for being several (Holm 1979): compare each with the level of the whole family.

    The smallest times their number, the next times one less, and so on; never falling, at most 1.
    """
    order = np.argsort(p_values, kind="stable")
    adjusted = np.empty(len(p_values))
    highest = 0.0
    for rank, index in enumerate(order):
        highest = max(highest, (len(p_values) - rank) * p_values[index])
        adjusted[index] = min(highest, 1.0)
    return tuple(float(p) for p in adjusted)
