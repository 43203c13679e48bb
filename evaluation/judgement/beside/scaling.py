"""How far prints are apart to the eye, from judgements of two at a time: Thurstone's case V, in JND.

1 JND is the distance at which the better of two is named in 75 % of judgements (ISO 20462-1):
P(i over j) = Phi(z75 (t_i - t_j)). A prior on each print keeps unanimous answers finite. With ties, a
difference below `tie_half_width` is answered "no difference"; where nobody ever did, none is assumed.
What holds for other eyes than those that judged is told by `tastes.py`.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from math import sqrt
from typing import Final

import numpy as np

from evaluation.judgement.beside.likelihood import GRID, TINY, Z75, Array, density, logs, phi
from evaluation.judgement.beside.tastes import others
from evaluation.judgement.several import NORMAL, limit

_STEP: Final = 0.01  # JND
_ROUNDS: Final = 60
_WIDTHS: Final = np.arange(0.05, 1.51, 0.05)  # standard deviations, of ties


@dataclass(frozen=True, slots=True)
class Apart:
    """Print `first` less print `second`, in JND.

    by           the most probable value; positive: `first` is the better one
    low, high    95 %, for these eyes: the answers of all as one scale
    others       95 % for other eyes; None where fewer than two judged these two
    better       probability that `first` is the better one
    judgements   of these two beside each other
    """

    first: int
    second: int
    by: float
    low: float
    high: float
    others: tuple[float, float] | None
    better: float
    judgements: int

    @property
    def told_apart(self) -> bool:
        """Whether the interval that may be relied on excludes no difference."""
        low, high = self.others or (self.low, self.high)
        return low > 0 or high < 0

    @property
    def order_only(self) -> bool:
        """Whether there are too few judgements of these two for a figure."""
        return self.judgements < limit("pair_least")


def scaled(wins: Array, ties: Array) -> tuple[Apart, ...]:
    """Every pair of prints, first before second, from the tables of each of m observers.

    wins       (m, n, n): how often the print of the row was named before that of the column
    ties       (m, n, n), symmetric: how often the two were not told apart

    Raises ValueError for fewer than two prints, or tables of another shape.
    """
    observers, n = wins.shape[:2]
    if n < 2 or wins.shape != (observers, n, n) or ties.shape != wins.shape:
        raise ValueError(f"two square tables of two or more prints, not {wins.shape} and {ties.shape}")
    return _scaled(wins.shape, tuple(wins.ravel().tolist()), tuple(ties.ravel().tolist()))


@lru_cache(maxsize=256)  # asked by every page and every command that shows these prints
def _scaled(
    shape: tuple[int, int, int], won: tuple[float, ...], tied_: tuple[float, ...]
) -> tuple[Apart, ...]:
    n = shape[1]
    wins, ties = np.reshape(won, shape), np.reshape(tied_, shape)
    pooled, tied = wins.sum(0), ties.sum(0)
    width = _tie_width(pooled, tied)
    pairs = list(combinations(range(n), 2))
    if n == 2:
        found = [_two(pooled[0, 1], pooled[1, 0], tied[0, 1], width)]
    else:
        at, covariance = _mode(pooled, tied, width)
        found = [
            _normal(at[i] - at[j], covariance[i, i] + covariance[j, j] - 2 * covariance[i, j])
            for i, j in pairs
        ]
    judged = pooled + pooled.T + tied
    apart = []
    for (i, j), (by, low, high, better) in zip(pairs, found, strict=True):
        own = wins[:, [i, j]][..., [i, j]], ties[:, [i, j]][..., [i, j]]
        general = _general(*own, width, (low, high))
        apart.append(Apart(i, j, by, low, high, general, better, int(judged[i, j])))
    return tuple(apart)


def _general(
    wins: Array, ties: Array, width: float, these: tuple[float, float]
) -> tuple[float, float] | None:
    """For other eyes, never surer than `these`, by those who judged these two; None if fewer than two did."""
    judged = (wins + ties).any(axis=(1, 2))
    if judged.sum() < 2:
        return None
    low, high = others(wins[judged], ties[judged], width)
    return min(low, these[0]), max(high, these[1])


def error(judgements: int, apart: float = 0.0) -> float:
    """Standard error, JND, of the difference of two prints `apart` JND from that many judgements of them."""
    p = phi(Z75 * apart)
    return sqrt(p * (1 - p) / judgements) / (Z75 * density(Z75 * apart))


def _tie_width(wins: Array, ties: Array) -> float:
    """Half the width of what passes as no difference, in standard deviations of one judgement."""
    tied = ties.sum() / 2
    if tied == 0:
        return 0.0
    if wins.sum() + tied < limit("ties_known_from"):
        return limit("tie_half_width")
    return float(max(_WIDTHS, key=lambda width: _penalised(_mode(wins, ties, width)[0], wins, ties, width)))


def _two(first: float, second: float, tied: float, width: float) -> tuple[float, float, float, float]:
    """Mode, 2.5 %, 97.5 % and the share above 0 of the posterior of one difference, on a grid."""
    over, equal = logs(width)
    log = first * over + second * over[::-1] - GRID**2 / (4 * limit("jnd_prior") ** 2)
    if tied:
        log = log + tied * equal
    share = np.cumsum(np.exp(log - log.max()))
    share /= share[-1]
    low, high = np.interp((0.025, 0.975), share, GRID)
    return float(GRID[log.argmax()]), float(low), float(high), float(1 - np.interp(0.0, GRID, share))


def _mode(wins: Array, ties: Array, width: float) -> tuple[Array, Array]:
    """The most probable places (n,), JND, and their covariance (n, n), by Newton's steps."""
    at = np.zeros(len(wins))
    best = _penalised(at, wins, ties, width)
    for _ in range(_ROUNDS):
        slope, curve = _derivatives(at, wins, ties, width)
        step = np.linalg.solve(curve, slope)
        while (value := _penalised(at + step, wins, ties, width)) < best and np.abs(step).max() > _STEP / 1e6:
            step = step / 2
        at, best = at + step, value
        if np.abs(step).max() < _STEP / 1e4:
            break
    return at, np.asarray(np.linalg.inv(_derivatives(at, wins, ties, width)[1]))


def _penalised(at: Array, wins: Array, ties: Array, width: float) -> float:
    over, equal, _, _ = _chances(at, width)
    told = float((wins * np.log(over)).sum() - (at**2).sum() / (2 * limit("jnd_prior") ** 2))
    return told + float((ties * np.log(equal)).sum()) / 2 if ties.any() else told


def _derivatives(at: Array, wins: Array, ties: Array, width: float) -> tuple[Array, Array]:
    """Slope (n,) and curvature (n, n), positive definite, of the log of the posterior."""
    over, equal, argument, steep = _chances(at, width)
    ratio = steep / over
    first, second = wins * ratio, wins * ratio * (argument + ratio)
    slope = first.sum(1) - first.sum(0)
    weight = second + second.T
    if ties.any():
        change = (steep - steep.T) / equal  # of the chance of a tie: argument.T is that of the other way
        slope = slope - (ties * change).sum(1)
        bend = (argument * steep + argument.T * steep.T) / equal
        weight = weight + ties * (change**2 - bend)
    prior = 1 / limit("jnd_prior") ** 2
    curve = Z75**2 * (np.diag(weight.sum(1)) - weight) + prior * np.eye(len(at))
    return Z75 * slope - prior * at, curve


def _chances(at: Array, width: float) -> tuple[Array, Array, Array, Array]:
    """(n, n) each: chance of row over column, of a tie, the argument of the former, the density there."""
    argument = Z75 * (at[:, None] - at[None, :]) - width
    rows = argument.tolist()  # few prints: one by one is quicker than numpy's own loop over a function
    over = np.array([[phi(each) for each in row] for row in rows])
    steep = np.array([[density(each) for each in row] for row in rows])
    equal = np.maximum(1 - over - over.T, TINY)
    return np.maximum(over, TINY), equal, argument, steep


def _normal(by: float, variance: float) -> tuple[float, float, float, float]:
    half = NORMAL * sqrt(variance)
    return float(by), float(by - half), float(by + half), phi(by / sqrt(variance))


def counted(prints: Sequence[int], answers: Iterable[Sequence[tuple[int, int, int]]]) -> tuple[Array, Array]:
    """Tables for `scaled` from each observer's answers (print, print, the one named or 0), by `prints`."""
    place = {name: index for index, name in enumerate(prints)}
    tables = []
    for own in answers:
        wins, ties = np.zeros((len(prints),) * 2), np.zeros((len(prints),) * 2)
        for left, right, named in own:
            i, j = place[left], place[right]
            if named:
                wins[place[named], j if place[named] == i else i] += 1
            else:
                ties[i, j] += 1
                ties[j, i] += 1
        tables.append((wins, ties))
    return np.array([wins for wins, _ in tables]), np.array([ties for _, ties in tables])
