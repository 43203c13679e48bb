"""How far prints are apart to the eye, from judgements of two at a time: Thurstone's case V, in JND.

1 JND is the distance at which the better of two is named in 75 % of judgements (ISO 20462-1):
P(i over j) = Phi(z75 (t_i - t_j)). A prior on each print keeps unanimous answers finite. With ties, a
difference below `tie_half_width` is answered "no difference"; where nobody ever did, none is assumed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import erfc, exp, pi, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.judgement.several import NORMAL, limit

Array = NDArray[np.float64]

Z75: Final = 0.6744897501960817  # of a normal distribution, below which 75 % lie
_REACH: Final = 14.0  # JND to both sides
_STEP: Final = 0.01  # JND
_GRID: Final = np.linspace(-_REACH, _REACH, round(2 * _REACH / _STEP) + 1)
_ROUNDS: Final = 60
_TINY: Final = float(np.finfo(float).tiny)
_WIDTHS: Final = np.arange(0.05, 1.51, 0.05)  # standard deviations, of ties


@dataclass(frozen=True, slots=True)
class Apart:
    """Print `first` less print `second`, in JND.

    by           the most probable value; positive: `first` is the better one
    low, high    95 %, for the eyes that judged
    others       95 % for other eyes; None where one observer alone judged
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


def scaled(wins: Array, ties: Array, observers: int) -> tuple[Apart, ...]:
    """Every pair of prints, first before second.

    wins       (n, n): how often the print of the row was named before that of the column
    ties       (n, n), symmetric: how often the two were not told apart
    observers  how many people judged

    Raises ValueError for fewer than two prints, or tables of another shape.
    """
    n = len(wins)
    if n < 2 or wins.shape != (n, n) or ties.shape != (n, n):
        raise ValueError(f"two square tables of two or more prints, not {wins.shape} and {ties.shape}")
    return _scaled(n, tuple(wins.ravel().tolist()), tuple(ties.ravel().tolist()), observers)


@lru_cache(maxsize=256)  # asked by every page and every command that shows these prints
def _scaled(n: int, won: tuple[float, ...], tied: tuple[float, ...], observers: int) -> tuple[Apart, ...]:
    wins, ties = np.reshape(won, (n, n)), np.reshape(tied, (n, n))
    width = _tie_width(wins, ties)
    pairs = [(i, j) for i in range(n) for j in range(i + 1, n)]
    if n == 2:
        found = [_two(wins[0, 1], wins[1, 0], ties[0, 1], width)]
    else:
        at, covariance = _mode(wins, ties, width)
        found = [
            _normal(at[i] - at[j], covariance[i, i] + covariance[j, j] - 2 * covariance[i, j])
            for i, j in pairs
        ]
    more = NORMAL**2 * 2 * limit("tastes_differ") ** 2 / observers
    return tuple(
        Apart(
            i,
            j,
            by,
            low,
            high,
            None
            if observers < 2
            else (by - sqrt((by - low) ** 2 + more), by + sqrt((high - by) ** 2 + more)),
            better,
            int(wins[i, j] + wins[j, i] + ties[i, j]),
        )
        for (i, j), (by, low, high, better) in zip(pairs, found, strict=True)
    )


def error(judgements: int, apart: float = 0.0) -> float:
    """Standard error, JND, of the difference of two prints `apart` JND from that many judgements of them."""
    p = _phi(Z75 * apart)
    return sqrt(p * (1 - p) / judgements) / (Z75 * _density(Z75 * apart))


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
    over, equal = _logs(width)
    log = first * over + second * over[::-1] - _GRID**2 / (4 * limit("jnd_prior") ** 2)
    if tied:
        log = log + tied * equal
    share = np.cumsum(np.exp(log - log.max()))
    share /= share[-1]
    low, high = np.interp((0.025, 0.975), share, _GRID)
    return float(_GRID[log.argmax()]), float(low), float(high), float(1 - np.interp(0.0, _GRID, share))


@lru_cache(maxsize=64)
def _logs(width: float) -> tuple[Array, Array]:
    """Over the grid: the log of the chance of "first", and of "no difference"."""
    over = np.array([_phi(Z75 * one - width) for one in _GRID])
    return np.log(over), np.log(np.maximum(1 - over - over[::-1], _TINY))


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
    over, equal, argument, density = _chances(at, width)
    ratio = density / over
    first, second = wins * ratio, wins * ratio * (argument + ratio)
    slope = first.sum(1) - first.sum(0)
    weight = second + second.T
    if ties.any():
        change = (density - density.T) / equal  # of the chance of a tie: argument.T is that of the other way
        slope = slope - (ties * change).sum(1)
        bend = (argument * density + argument.T * density.T) / equal
        weight = weight + ties * (change**2 - bend)
    prior = 1 / limit("jnd_prior") ** 2
    curve = Z75**2 * (np.diag(weight.sum(1)) - weight) + prior * np.eye(len(at))
    return Z75 * slope - prior * at, curve


def _chances(at: Array, width: float) -> tuple[Array, Array, Array, Array]:
    """(n, n) each: chance of row over column, of a tie, the argument of the former, the density there."""
    argument = Z75 * (at[:, None] - at[None, :]) - width
    rows = argument.tolist()  # few prints: one by one is quicker than numpy's own loop over a function
    over = np.array([[_phi(each) for each in row] for row in rows])
    density = np.array([[_density(each) for each in row] for row in rows])
    equal = np.maximum(1 - over - over.T, _TINY)
    return np.maximum(over, _TINY), equal, argument, density


def _normal(by: float, variance: float) -> tuple[float, float, float, float]:
    half = NORMAL * sqrt(variance)
    return float(by), float(by - half), float(by + half), _phi(by / sqrt(variance))


def _phi(x: float) -> float:
    return erfc(-x / sqrt(2)) / 2


def _density(x: float) -> float:
    return exp(-(x**2) / 2) / sqrt(2 * pi)


def counted(prints: Sequence[int], answers: Sequence[tuple[int, int, int]]) -> tuple[Array, Array]:
    """Tables for `scaled` from answers (print, print, the one named or 0), in the order of `prints`."""
    place = {name: index for index, name in enumerate(prints)}
    wins, ties = np.zeros((len(prints),) * 2), np.zeros((len(prints),) * 2)
    for left, right, named in answers:
        i, j = place[left], place[right]
        if named:
            wins[place[named], j if place[named] == i else i] += 1
        else:
            ties[i, j] += 1
            ties[j, i] += 1
    return wins, ties
