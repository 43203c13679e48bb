"""Noise from repeated readings, and the limit above which a difference is more than noise."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from evaluation.colorimetry.difference import delta_e_76
from evaluation.published.limits import limit, whole
from evaluation.readings.colour_classes import classes
from evaluation.readings.run import Array, Repeats

# Two single readings of the same patch differ by more than this many times the mean colour difference from
# the mean (MCDM) in 5 % of cases if L*, a* and b* are equally noisy. Computed: the 95th percentile of the
# length of a difference over the mean length of a deviation, for a spherical normal distribution.
FALLBACK_FACTOR: Final = 2.48
DARK_BELOW: Final = limit("repeat_dark")
_DIFFERENT_RATIO: Final = limit("repeat_ratio")
_LEAST_FREEDOM: Final = whole("repeat_freedom")
_DRAWS: Final = 40_000


@dataclass(frozen=True, slots=True)
class NoiseLimit:
    """Noise stays below `value`, dE*ab, in 95 of 100 differences; `basis` is how it was derived."""

    value: float
    basis: str


def repeats(lab: Array, groups: Iterable[tuple[int, ...]]) -> Repeats:
    """Spread within groups of rows that are readings of the same patch.

    Parameters
    ----------
    lab : (n, 3)
        CIELAB of every row.
    groups
        Indices of the rows of each patch; groups of one row do not count.

    Returns
    -------
    Repeats
        Its covariance is pooled: squares summed over all groups, divided by the readings minus one per patch.
        Its colour differences are dE*ab from the mean of the patch.
    """
    repeated = [lab[list(rows)] for rows in groups if len(rows) > 1]
    if not repeated:
        return Repeats(None, None, None, None, 0, 0)
    deviations = np.concatenate([group - group.mean(axis=0) for group in repeated])
    distances = np.concatenate([delta_e_76(group.mean(axis=0), group) for group in repeated])
    freedom = len(deviations) - len(repeated)
    squares: dict[int, tuple[Array, int]] = {}
    for group in repeated:
        mean = group.mean(axis=0)
        kind = int(classes(mean))
        summed, own = squares.get(kind, (np.zeros((3, 3)), 0))
        squares[kind] = summed + (group - mean).T @ (group - mean), own + len(group) - 1
    return Repeats(
        covariance=deviations.T @ deviations / freedom,
        mcdm=float(distances.mean()),
        p95=float(np.percentile(distances, 95)),
        largest=float(distances.max()),
        readings=len(deviations),
        patches=len(repeated),
        squares=squares,
    )


def repeats_by_lightness(lab: Array, groups: Iterable[tuple[int, ...]]) -> tuple[Repeats, Repeats] | None:
    """Repeats of the dark and of the light patches where their spreads differ; None where one will do.

    Parameters as in `repeats`. Also None for few repeats: each side needs six readings more than patches.
    """
    repeated = [rows for rows in groups if len(rows) > 1]
    is_dark = [float(lab[list(rows), 0].mean()) < DARK_BELOW for rows in repeated]
    dark = repeats(lab, [rows for rows, low in zip(repeated, is_dark, strict=True) if low])
    light = repeats(lab, [rows for rows, low in zip(repeated, is_dark, strict=True) if not low])
    if dark.covariance is None or light.covariance is None:
        return None
    if min(dark.readings - dark.patches, light.readings - light.patches) < _LEAST_FREEDOM:
        return None
    spreads = sorted((float(np.trace(dark.covariance)), float(np.trace(light.covariance))))
    return (dark, light) if spreads[1] > _DIFFERENT_RATIO * spreads[0] else None


def difference_limit(covariance: Array, n1: int = 1, n2: int = 1) -> NoiseLimit:
    """The limit for a difference between two means of n1 and n2 readings.

    The 95th percentile of the length of draws from N(0, S (1/n1 + 1/n2)), S the pooled `covariance` (3, 3) of
    L*, a*, b* of one reading. The draws are fixed, so the same covariance always gives the same limit, and
    the noise of L*, a* and b* may differ.
    """
    values, vectors = np.linalg.eigh(covariance)
    shape = vectors * np.sqrt(np.maximum(values, 0.0))
    lengths = np.linalg.norm(_draws() @ shape.T, axis=1)
    value = float(np.percentile(lengths, 95)) * np.sqrt(1 / n1 + 1 / n2)
    return NoiseLimit(float(value), "pooled covariance of repeated readings")


def fallback_limit(mcdm: float, readings_each: float, n1: int = 1, n2: int = 1) -> NoiseLimit:
    """The limit where only the mean colour difference from the mean is known.

    `mcdm` is in dE*ab, from `readings_each` readings of a patch on average. The raw statistic of few readings
    is too small by sqrt((n - 1) / n) and is corrected first. `n1` and `n2` as in `difference_limit`.
    """
    corrected = mcdm * np.sqrt(readings_each / (readings_each - 1))
    value = FALLBACK_FACTOR * corrected * np.sqrt((1 / n1 + 1 / n2) / 2)
    return NoiseLimit(float(value), "2.48 x mean difference from the mean; assumes equal noise in L*, a*, b*")


def limit_from(found: Repeats, n1: int = 1, n2: int = 1) -> NoiseLimit | None:
    """The limit that repeats allow: from their covariance, else by `fallback_limit`, else None."""
    if found.covariance is not None:
        return difference_limit(found.covariance, n1, n2)
    if found.mcdm is not None and found.patches and found.readings > found.patches:
        return fallback_limit(found.mcdm, found.readings / found.patches, n1, n2)
    return None


@lru_cache(maxsize=1)
def _draws() -> Array:
    return np.random.default_rng(20_210_121).standard_normal((_DRAWS, 3))
