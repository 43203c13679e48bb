"""Do the answers of one round fit together: circles, and Kendall's consistence."""

from itertools import combinations
from typing import Final

from evaluation.judgement.beside.likelihood import Array

ZETA_FROM: Final = 6  # prints; with fewer, coin tossing is too often without a circle (2.2 % with 6)


def circles(wins: Array) -> tuple[tuple[int, int, int], ...]:
    """Prints (a, b, c): a was named before b, b before c, and c before a, each more often than not."""
    before = wins > wins.T
    found = []
    for a, b, c in combinations(range(len(wins)), 3):
        if before[a, b] and before[b, c] and before[c, a]:
            found.append((a, b, c))
        elif before[b, a] and before[c, b] and before[a, c]:
            found.append((a, c, b))
    return tuple(found)


def consistence(wins: Array) -> float | None:
    """Kendall's zeta of one full round, each pair once without a tie; None for any other, or below 6 prints.

    zeta = 1 - 24 d / (n^3 - n) for odd n, 1 - 24 d / (n^3 - 4 n) for even n, of d circles. 1: no circle.
    """
    n = len(wins)
    once = all(wins[i, j] + wins[j, i] == 1 for i, j in combinations(range(n), 2))
    if n < ZETA_FROM or not once:
        return None
    return zeta(n, len(circles(wins)))


def zeta(n: int, found: int) -> float:
    """Kendall's coefficient for `found` circles among n >= 3 prints."""
    return 1 - 24 * found / (n**3 - (n if n % 2 else 4 * n))
