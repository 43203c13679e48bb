"""Whether a setting's growth is more than another sheet would bring, and whether it can be seen.

Eighteen cells are looked at together, so their limit is that of the largest of them: tests cell by cell call
something different in most pairs of sheets of one setting.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final, Literal

import numpy as np

from evaluation.judgement.repeatability import isotropic, root
from evaluation.judgement.several import limit
from evaluation.profile.growth import CELLS, SHAPE, Growth

Array = np.ndarray[tuple[int, ...], np.dtype[np.float64]]

Word = Literal["within sheets", "measured", "visible", "not visible"]

_SEED: Final = 1980


@dataclass(frozen=True, slots=True, eq=False)
class Sheets:
    """What sheets of one setting differ by, cell by cell.

    covariance  (18, 18) of one sheet's cells, dE*ab squared
    freedom     degrees of freedom behind it, a part of the other cells' included; infinite for the default
    sheets      how many were read; 0 for the default, what one machine differs by across one sheet
    """

    covariance: Array
    freedom: float
    sheets: int


def sheets_of(groups: Sequence[Array], sheet_mean: float) -> Sheets:
    """The spread of sheets, from groups of a setting each: (k, 18) growth of k sheets from their mean.

    Below `growth_sheets` in all, the default: `sheet_mean` dE*ab, the mean distance of one patch, taken for
    every cell as if all its patches moved together.
    """
    kept = [np.nan_to_num(group) for group in groups if len(group) > 1]
    count, freedom = sum(map(len, kept)), sum(len(group) - 1 for group in kept)
    if count < limit("growth_sheets"):
        return Sheets(np.eye(CELLS) * isotropic(sheet_mean)[0, 0], np.inf, 0)
    found = np.asarray(sum(group.T @ group for group in kept) / freedom)
    own, steady = np.diag(found), limit("growth_steady")
    pooled = own[own > 0].mean() if (own > 0).any() else 0.0
    wanted = (freedom * own + steady * pooled) / (freedom + steady)
    scale = np.sqrt(np.divide(wanted, own, out=np.zeros_like(own), where=own > 0))
    covariance = found * np.outer(scale, scale)
    np.fill_diagonal(covariance, wanted)
    return Sheets(covariance, float(freedom + steady / 2), count)


def limits(sheets: Sheets, first: int, second: int) -> Array:
    """(6, 3) dE*ab that the cells of two settings, `first` and `second` sheets of each, stay below together.

    One sheet each: sqrt(3) times, 1.73, what three sheets each give.
    """
    spread = np.sqrt(np.diag(sheets.covariance))
    correlation = sheets.covariance / np.outer(spread, spread)
    largest = _largest(correlation.tobytes(), len(spread), sheets.freedom)
    return np.asarray(largest * spread * np.sqrt(1 / first + 1 / second)).reshape(SHAPE)


def words(growth: Growth, limit_: Array | None) -> tuple[tuple[Word | None, ...], ...]:
    """(6, 3) a word a cell, None where no colour lies; without limits, as of profiles, seen or not alone."""
    seen = limit("growth_visible")

    def word(value: float, at_most: float | None) -> Word | None:
        if not np.isfinite(value):
            return None
        if at_most is None:
            return "visible" if abs(value) >= seen else "not visible"
        if abs(value) <= at_most:
            return "within sheets"
        return "visible" if abs(value) >= seen else "measured"

    return tuple(
        tuple(
            word(float(value), None if limit_ is None else float(limit_[row, column]))
            for column, value in enumerate(cells)
        )
        for row, cells in enumerate(growth.cells)
    )


@cache
def _largest(correlation: bytes, cells: int, freedom: float) -> float:
    """The largest |z| of correlated cells that `growth_sure` of draws stay below; few sheets widen it."""
    rng = np.random.default_rng(_SEED)
    draws = int(limit("growth_draws"))
    factor = root(np.frombuffer(correlation).reshape(cells, cells).copy())
    largest = np.abs(rng.standard_normal((draws, cells)) @ factor.T).max(axis=1)
    if np.isfinite(freedom):
        largest /= np.sqrt(rng.chisquare(freedom, draws) / freedom)
    return float(np.quantile(largest, limit("growth_sure")))
