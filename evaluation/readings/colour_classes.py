"""Classes of colour whose readings are unsteady in ways of their own, and what each spreads by.

Reading again moves a grey in L* mostly, a strong colour in a* and b* even more than in L*. Few repeats cannot
show that for each class, so what they show is drawn towards proportions that are the project's own choice.
"""

from collections.abc import Mapping
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.colorimetry.lab import chroma
from evaluation.published.limits import limit, whole

Array = NDArray[np.float64]
DARK_GREY, MIDDLE_GREY, LIGHT_GREY, MUTED, STRONG = range(5)
CLASSES: Final = range(5)
# Spread of a* and b* over that of L*.
RATIOS: Final[Array] = np.array(
    [
        limit("spread_dark"),
        limit("spread_middle"),
        limit("spread_light"),
        limit("spread_muted"),
        limit("spread_strong"),
    ]
)
PRIOR: Final = whole("repeat_prior")
_GREY, _STRONG = limit("class_grey"), limit("class_strong")
_DARK, _LIGHT = limit("class_dark"), limit("class_light")

Squares = Mapping[int, tuple[Array, int]]  # by class: summed squares (3, 3) of L*, a*, b*; degrees of freedom


def classes(lab: ArrayLike) -> NDArray[np.int_]:
    """(...) the class of each colour, CIELAB (..., 3).

    >>> classes([[20, 1, 1], [50, 0, 5], [95, 0, -4], [60, 20, 10], [50, 60, 30]]).tolist()
    [0, 1, 2, 3, 4]
    """
    lab = np.asarray(lab, np.float64)
    C, L = chroma(lab), lab[..., 0]
    grey = np.where(L < _DARK, DARK_GREY, np.where(L > _LIGHT, LIGHT_GREY, MIDDLE_GREY))
    found: NDArray[np.int_] = np.where(C < _GREY, grey, np.where(C < _STRONG, MUTED, STRONG))
    return found


def proportions(kind: int) -> Array:
    """(3,) what L*, a* and b* of a class spread by, L* as 1."""
    return np.array([1.0, RATIOS[kind], RATIOS[kind]])


def pooled(squares: Squares) -> Array:
    """(5, 3, 3) covariance of L*, a*, b* of one reading, class by class, from repeats of any of them.

    S = (6 diag(q (1, r, r))^2 + sum d d') / (6 + f), with q^2 the summed squares of all classes over those of
    their proportions: a class without repeats of its own has its proportions at the scale of the others.
    """
    length = sum(float(np.trace(summed)) for summed, _ in squares.values())
    unit = sum(freedom * float((proportions(kind) ** 2).sum()) for kind, (_, freedom) in squares.items())
    none = np.zeros((3, 3)), 0
    return np.stack([_shrunk(kind, length / unit, *squares.get(kind, none)) for kind in CLASSES])


def default(spread: float, kinds: ArrayLike) -> Array:
    """(5, 3, 3) covariance by class where nothing was repeated, in the proportions of each class.

    `spread`: of each axis, CIELAB, on average over patches of the classes `kinds` (n,).
    """
    length = np.array([(proportions(kind) ** 2).sum() for kind in CLASSES])
    kinds = np.asarray(kinds)
    square = 3 * spread**2 / float(length[kinds].mean() if kinds.size else length.mean())
    return np.stack([square * np.diag(proportions(kind) ** 2) for kind in CLASSES])


def _shrunk(kind: int, square: float, summed: Array, freedom: int) -> Array:
    return np.asarray((PRIOR * square * np.diag(proportions(kind) ** 2) + summed) / (PRIOR + freedom))
