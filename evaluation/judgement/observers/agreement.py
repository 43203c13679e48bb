"""How alike several observers graded one print: in grades first, a coefficient only where it tells something.

Grades stand in a table (observers, items), NaN where an observer gave none. An item is a question of a
region.
A coefficient measures how different the regions are as much as how alike the observers, so that a good print,
all fours and fives, has a poor one; equal and nearly equal grades say it better.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.judgement.several import limit

Array = NDArray[np.float64]

_SEED: Final = 1979


@dataclass(frozen=True, slots=True)
class Shares:
    """Of pairs of observers who both graded an item: how many agree, 0 to 1."""

    equal: float
    within_one: float
    pairs: int


@dataclass(frozen=True, slots=True)
class LeanFromMean:
    """What one observer lies above the mean of all by, over the items that all graded; in grades."""

    by: float
    error: float

    @property
    def named(self) -> bool:
        """Whether it is large enough, and sure enough, to be named."""
        return abs(self.by) > max(limit("lean_errors") * self.error, limit("lean_least"))


@dataclass(frozen=True, slots=True)
class Leans:
    """Of each observer, in order; `rest` is the spread that leans and items leave, `items` how many."""

    of: tuple[LeanFromMean, ...]
    rest: float
    items: int


@dataclass(frozen=True, slots=True)
class Coefficient:
    """Ordinal alpha with its rough interval for these observers, or why there is none."""

    alpha: float | None
    interval: tuple[float, float] | None
    why_not: str = ""  # "too few", "regions alike", "undefined"


def shares(grades: Array) -> Shares | None:
    """Equal and within one grade over all pairs of observers; None where no item has two grades."""
    apart = [np.abs(a - b) for a, b in combinations(grades, 2)]
    both = np.concatenate(apart) if apart else np.empty(0)
    both = both[~np.isnan(both)]
    if not len(both):
        return None
    return Shares(float((both == 0).mean()), float((both <= 1).mean()), len(both))


def leans(grades: Array) -> Leans | None:
    """From the items that all observers graded; None with fewer than two observers, or two such items.

    lean_j = column mean - grand mean, its error s_r sqrt((m - 1) / (m n)) for m observers and n items.
    """
    shared = grades[:, ~np.isnan(grades).any(0)]
    m, n = shared.shape
    if m < 2 or n < 2:
        return None
    by = shared.mean(1) - shared.mean()
    left = shared - shared.mean(0) - by[:, None]
    rest = float(np.sqrt((left**2).sum() / ((m - 1) * (n - 1))))
    error = rest * float(np.sqrt((m - 1) / (m * n)))
    return Leans(tuple(LeanFromMean(float(one), error) for one in by), rest, n)


def unlike(grades: Array) -> tuple[float | None, ...]:
    """Of each observer the spread of (own grade - mean of the others), grades; None below two shared items.

    With two observers both have the same, and nobody can say which of them it is.
    """
    found: list[float | None] = []
    for place, own in enumerate(grades):
        others = np.delete(grades, place, 0)
        shared = ~np.isnan(own) & ~np.isnan(others).all(0)
        apart = own[shared] - np.nanmean(others[:, shared], 0) if shared.any() else np.empty(0)
        found.append(float(apart.std(ddof=1)) if len(apart) > 1 else None)
    return tuple(found)


def standing_out(grades: Array) -> tuple[int, ...]:
    """Places of observers whose answers are unlike the others': a spread above the limit `unlike_others`.

    One who guesses also takes the others away from each other's mean, so the largest is named first and the
    rest are looked at without it, down to two. Of two alone both are named.
    """
    left, found = list(range(len(grades))), list[int]()
    while len(left) > 2 or (left and not found):
        spreads = [one or 0.0 for one in unlike(grades[left])]
        worst = int(np.argmax(spreads))
        if spreads[worst] <= limit("unlike_others"):
            break
        found += left if len(left) == 2 else [left[worst]]
        left = [one for one in left if one not in found]
    return tuple(sorted(found))


def coefficient(grades: Array, regions: Sequence[str]) -> Coefficient:
    """Ordinal alpha over all items, `regions` naming the region of each; with a rough 95 % interval.

    The interval draws regions, their questions together. It holds for these observers alone. A print whose
    regions are graded all alike gets none, nor do fewer items than `coefficient_from`.
    """
    usable = (~np.isnan(grades)).sum(0) > 1
    if usable.sum() < limit("coefficient_from"):
        return Coefficient(None, None, "too few")
    table, of = grades[:, usable], [one for one, use in zip(regions, usable, strict=True) if use]
    columns = {name: [i for i, one in enumerate(of) if one == name] for name in dict.fromkeys(of)}
    means = [float(np.nanmean(table[:, own])) for own in columns.values()]
    if len(means) < 2 or np.std(means, ddof=1) < limit("regions_alike"):
        return Coefficient(None, None, "regions alike")
    if (found := alpha(table)) is None:
        return Coefficient(None, None, "undefined")
    random, names = np.random.default_rng(_SEED), list(columns)
    drawn = []
    for _ in range(int(limit("draws"))):
        chosen = [i for name in random.choice(names, len(names)) for i in columns[name]]
        if (one := alpha(table[:, chosen])) is not None:
            drawn.append(one)
    low, high = np.quantile(drawn, (0.025, 0.975))
    return Coefficient(found, (float(low), float(high)))


def alpha(grades: Array) -> float | None:
    """Krippendorff's alpha for ordinal values; None where it is undefined: all grades are the same.

    Source: K. Krippendorff, Computing Krippendorff's Alpha-Reliability, 2011.
    """
    paired = grades[:, (~np.isnan(grades)).sum(0) > 1]
    values = np.unique(paired[~np.isnan(paired)])
    if len(values) < 2:
        return None
    counts = np.array([(paired == value).sum(0) for value in values], float)  # (values, items)
    many = counts.sum(0)
    coincidence = (counts / (many - 1)) @ counts.T - np.diag((counts / (many - 1)).sum(1))
    margin = coincidence.sum(1)
    rank = np.cumsum(margin) - margin / 2
    distance = (rank[:, None] - rank[None, :]) ** 2
    expected = (np.outer(margin, margin) * distance).sum() / (margin.sum() - 1)
    return float(1 - (coincidence * distance).sum() / expected)
