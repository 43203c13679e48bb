"""What the true grades of a session's regions may be, eye and readings together: one normal distribution.

    x of each region = m + N(0, region_spread^2), m not known
    eye              = x + lean of its observers + e
    readings         = x + common error of the anchors + a

A lean is one number for all regions that an observer graded, and so is the anchors' common error: regions are
not drawn apart, since an observer who is harsh is harsh in all of them. All sizes are the project's own
choice. It rests on the session alone, and on a calibration of its observer where one was named.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.judgement import eye
from evaluation.judgement.opinion import Finding, Lean
from evaluation.judgement.tables import Tables

Array = NDArray[np.float64]
_SEED: Final = 1987  # any fixed number: the same grades have the same verdict everywhere


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """True grades of k regions by id: their mean (k,), their covariance (k, k), and draws (draws, k) of them.

    Draws go beyond 5 and 1; `clip` them where a grade is wanted.
    """

    regions: tuple[str, ...]
    mean: Array
    covariance: Array
    draws: Array

    def of(self, regions: Sequence[str]) -> "Posterior":
        """That of some of the regions, in this order."""
        index = [self.regions.index(region) for region in regions]
        square: Array = self.covariance[index][:, index]
        return Posterior(tuple(regions), self.mean[index], square, self.draws[:, index])

    def certain(self, at: int) -> Array:
        """(draws, k) draws as they would be if one region were known to have its mean grade."""
        follows = self.covariance[:, at] / self.covariance[at, at]
        drawn: Array = self.draws - np.outer(self.draws[:, at] - self.mean[at], follows)
        return drawn


def posterior(
    findings: Sequence[Finding], tables: Tables, leans: Sequence[Lean] = (), spread: float | None = None
) -> Posterior:
    """That of every region with a grade. `leans`, by observer, and what regions `spread` by are those of
    calibrations; without a spread `region_spread` stands.
    """
    graded = [finding for finding in findings if speaks(finding)]
    if not graded:
        return Posterior((), np.zeros(0), np.zeros((0, 0)), np.zeros((int(tables["verdict_draws"]), 0)))
    k = len(graded)
    who = {name: k + 1 + j for j, name in enumerate(sorted({o for each in graded for o in _observers(each)}))}
    common, n = k, k + 1 + len(who)
    precision, pull = np.zeros((n, n)), np.zeros(n)
    precision[:k, :k] = (np.eye(k) - 1 / k) / (tables["region_spread"] if spread is None else spread) ** 2
    precision[common, common] = 1 / tables["anchors_offset"] ** 2
    for column in who.values():
        precision[column, column] = 1 / tables["eye_offset"] ** 2

    def seen(row: Mapping[int, float], value: float, variance: float) -> None:
        h = np.zeros(n)
        h[list(row)] = list(row.values())
        precision[:] += np.outer(h, h) / variance
        pull[:] += h * value / variance

    for at, finding in enumerate(graded):
        by_eye, read = finding.eye, finding.instrument
        e2 = 0.0
        if by_eye is not None:
            names = _observers(finding)
            e2 = by_eye.spread**2
            if finding.agreement == "disagree" and read is not None:
                e2 = max(e2, ((by_eye.grade - read.grade) / 2) ** 2)
            seen({at: 1.0} | {who[name]: 1 / len(names) for name in names}, by_eye.grade, e2)
        if read is not None and finding.agreement in ("agree", "instrument only"):
            # The readings never outweigh the eye.
            variance = max(eye.once(tables), read.spread**2, e2)
            seen({at: 1.0, common: 1.0}, read.grade, variance)
    for lean in leans:
        if lean.observer in who:  # what was found is the eye less the readings: the anchors' error is in it
            variance = lean.error**2 + tables["eye_drift"] ** 2
            seen({who[lean.observer]: 1.0, common: -1.0}, lean.value, variance)
    covariance: Array = np.asarray(np.linalg.inv(precision), np.float64)
    mean, own = (covariance @ pull)[:k], covariance[:k, :k]
    noise = _noise(int(tables["verdict_draws"]), k)
    draws = mean + noise @ np.linalg.cholesky(own).T
    return Posterior(tuple(finding.region for finding in graded), mean, own, np.asarray(draws))


def speaks(finding: Finding) -> bool:
    """Whether a region has a grade that a verdict may rest on."""
    spoken = finding.eye is not None or finding.instrument is not None
    return spoken and finding.agreement in ("agree", "eye only", "instrument only", "disagree")


def _observers(finding: Finding) -> tuple[str, ...]:
    """By role; a grade whose observer is not known has one of its own."""
    return () if finding.eye is None else finding.eye.observers or ("",)


@lru_cache(maxsize=8)
def _noise(draws: int, regions: int) -> Array:
    """(draws, regions) standard normal, always the same."""
    noise = np.random.default_rng(_SEED).standard_normal((draws, regions))
    noise.flags.writeable = False
    return noise
