"""How likely an answer is where two prints lie so many JND apart: Thurstone's case V, with ties."""

from functools import lru_cache
from math import erfc, exp, pi, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

Z75: Final = 0.6744897501960817  # of a normal distribution, below which 75 % lie
TINY: Final = float(np.finfo(float).tiny)
_REACH: Final = 14.0  # JND to both sides
GRID: Final = np.linspace(-_REACH, _REACH, 2801)  # JND between two prints, even about 0


@lru_cache(maxsize=64)
def logs(width: float) -> tuple[Array, Array]:
    """Over the grid: the log of the chance of "first", and of "no difference".

    `width` is half of what passes as no difference, in standard deviations of one judgement. The log of the
    chance of "second" is that of "first", the other way round.
    """
    over = np.array([phi(Z75 * one - width) for one in GRID])
    return np.log(over), np.log(np.maximum(1 - over - over[::-1], TINY))


def phi(x: float) -> float:
    """The share of a normal distribution below x."""
    return erfc(-x / sqrt(2)) / 2


def density(x: float) -> float:
    """The density of a normal distribution at x."""
    return exp(-(x**2) / 2) / sqrt(2 * pi)
