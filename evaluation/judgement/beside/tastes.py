"""How far two prints are apart for other eyes, from the judgements of several observers.

The answers of all of them in one table would be read as those of one pair of eyes: tastes that differ would
look like noise, which draws prints together, and how much they differ would have to be known. So every
observer sees a distance of their own:

    d_k ~ N(d, 2 s^2),  d ~ N(0, 2 x 1.5^2) JND,  log s ~ N(log 0.7, 0.6^2),  answers of k by d_k

What d may be is integrated over all d_k and over the spread of tastes s. Only judgements of the two prints
themselves enter: what others add through a third print is little beside what tastes leave open.

COMPUTED for 2, 3, 6 observers of 6 or 12 judgements each, prints 0 to 3 JND apart: intervals hold the truth
in 0.95 to 1.00 where tastes spread by up to 0.7 JND a print, in 0.91 to 0.98 where they spread by 1.0. Adding
2 x 0.7^2 / m to the variance of all answers as one is simpler, and holds 0.80 with six observers and 1.0.
"""

from functools import cache
from math import log
from typing import Final

import numpy as np

from evaluation.judgement.beside.likelihood import GRID, Array, logs
from evaluation.judgement.several import limit

_SPREADS: Final = np.geomspace(0.2, 3.2, 12)  # JND a print
_COARSE: Final = 20  # of the fine grid; the least spread is still wider
_WITHIN: Final = (0.025, 0.975)


def others(wins: Array, ties: Array, width: float) -> tuple[float, float]:
    """The 95 % interval of the first print less the second, for observers in general, JND.

    From the tables of m observers of two prints, (m, 2, 2) each, as `scaled` has them; `width` is half of
    what passes as no difference, in standard deviations of one judgement.
    """
    first, equal = (one[::_COARSE] for one in logs(width))
    grid = GRID[::_COARSE]
    won, lost, tied = wins[:, 0, 1, None], wins[:, 1, 0, None], ties[:, 0, 1, None]
    found = won * first + lost * first[::-1] + (tied * equal if tied.any() else 0.0)
    likely = np.exp(found - found.max(axis=1, keepdims=True))  # (m, grid)
    share = (_near() @ likely.T).prod(axis=2).T @ _known()
    share *= np.exp(-(grid**2) / (4 * limit("jnd_prior") ** 2))
    below = np.cumsum(share) - share / 2
    low, high = np.interp(_WITHIN, below / share.sum(), grid)
    return float(low), float(high)


@cache
def _near() -> Array:
    """(spreads, grid, grid): how likely an observer's own distance is, given that of observers in general."""
    grid, spread = GRID[::_COARSE], _SPREADS[:, None, None]
    return np.asarray(np.exp(-((grid[:, None] - grid) ** 2) / (4 * spread**2)) / spread)


@cache
def _known() -> Array:
    """(spreads,): how likely each is beforehand; they are even in logs, as what is known of them."""
    off = (np.log(_SPREADS) - log(limit("tastes_differ"))) / limit("tastes_known")
    return np.asarray(np.exp(-(off**2) / 2))
