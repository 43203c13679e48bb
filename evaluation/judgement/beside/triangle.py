"""The triangle test: three sheets, two of them alike; is the odd one found more often than by guessing?

It answers whether there is anything to see, and nothing about how much: 1 JND is found in 41 % of triangles,
where guessing finds 33 %.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import comb
from random import Random
from typing import Final

from evaluation.rounds import Triangles

GUESSED: Final = 1 / 3
HALF_SEE: Final = 0.5 + 0.5 * GUESSED  # found, where every second observer sees the difference
_ORDERS: Final = ("aab", "aba", "baa", "bba", "bab", "abb")  # each of them equally often


def least_right(triangles: int, chance: float = 0.05) -> int:
    """Triangle test: the smallest number of right answers that guessing reaches with at most that chance."""
    tail, right = 0.0, triangles + 1
    while right > 0:
        tail += comb(triangles, right - 1) * 2 ** (triangles - right + 1) / 3**triangles
        if tail > chance:
            break
        right -= 1
    return right


def missed(triangles: int) -> float:
    """How often the test shows nothing although half of all observers see the difference; 5 %."""
    least = least_right(triangles)
    return sum(
        comb(triangles, right) * HALF_SEE**right * (1 - HALF_SEE) ** (triangles - right)
        for right in range(least)
    )


@dataclass(frozen=True, slots=True)
class InTriangles:
    """What ended tests of two prints in one region come to, over the observers."""

    region: str
    title: str
    prints: tuple[int, int]
    observers: tuple[str, ...]
    triangles: int
    right: int

    @property
    def seen(self) -> bool:
        """Whether the odd one was named more often than guessing explains, 5 %."""
        return self.right >= least_right(self.triangles)


def added_up(every: Sequence[Triangles], titles: Mapping[str, str]) -> tuple[InTriangles, ...]:
    """Region by region and pair by pair; tests that wait say nothing yet."""
    places: dict[tuple[str, frozenset[int]], list[Triangles]] = {}
    for one in every:
        if not one.is_open:
            places.setdefault((one.region, frozenset(one.prints)), []).append(one)
    return tuple(
        InTriangles(
            region,
            titles.get(region, region),
            own[0].prints,
            tuple(dict.fromkeys(one.observer for one in own)),
            sum(len(one.shown) for one in own),
            sum(one.right for one in own),
        )
        for (region, _), own in places.items()
    )


def order(triangles: int, first: int, second: int, random: Random) -> tuple[tuple[int, int, int], ...]:
    """What lies left, middle and right in each triangle; all six orders equally often, within one."""
    drawn = [
        one for start in range(0, triangles, len(_ORDERS)) for one in random.sample(_ORDERS, len(_ORDERS))
    ]
    prints = {"a": first, "b": second}
    return tuple((prints[one[0]], prints[one[1]], prints[one[2]]) for one in drawn[:triangles])
