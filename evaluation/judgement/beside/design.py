"""Which two prints are laid beside each other, in which order, on which side, under which letters.

Every pair is judged equally often and as often on either side. The order walks the rows of Williams squares,
in which every print follows every other equally often.
"""

from collections.abc import Sequence
from itertools import pairwise
from random import Random
from typing import Final

LETTERS: Final = "KMPRTWX"  # none that is a grade, a rank, or the first of anything
MOST_PRINTS: Final = 6
THREES_FROM: Final = 4  # prints; of three there is one triplet, which is the same as their pairs

# The fewest triplets that have every pair of n prints in one of them; found by trying all.
_COVERS: Final = {
    4: ((0, 1, 2), (0, 1, 3), (0, 2, 3)),
    5: ((0, 1, 2), (0, 1, 3), (0, 1, 4), (2, 3, 4)),
    6: ((0, 1, 2), (0, 1, 3), (0, 4, 5), (1, 4, 5), (2, 3, 4), (2, 3, 5)),
}


def williams(n: int) -> tuple[tuple[int, ...], ...]:
    """Rows of a Williams square of n items: n rows for an even n, 2 n for an odd one.

    >>> williams(4)
    ((0, 1, 3, 2), (1, 2, 0, 3), (2, 3, 1, 0), (3, 0, 2, 1))
    """
    first = [0] + [(k + 1) // 2 if k % 2 else n - k // 2 for k in range(1, n)]
    rows = [tuple((one + row) % n for one in first) for row in range(n)]
    return tuple(rows + [row[::-1] for row in rows] if n % 2 else rows)


def pairs(n: int) -> tuple[tuple[int, int], ...]:
    """Every pair of n prints once, (left, right); each print as often left as right, within one.

    >>> pairs(3)
    ((0, 1), (1, 2), (2, 0))
    """
    seen: dict[frozenset[int], tuple[int, int]] = {}
    for row in williams(n):
        for a, b in pairwise(row):
            ahead = (b - a) % n
            left_first = ahead < n / 2 or (ahead == n / 2 and a < b)
            seen.setdefault(frozenset((a, b)), (a, b) if left_first else (b, a))
    return tuple(seen.values())


def looks(n: int, at_once: int) -> int:
    """How often prints are laid down until each pair has been seen: by twos or threes."""
    return len(_COVERS[n]) if at_once == 3 else n * (n - 1) // 2


def letters_for(prints: Sequence[int], taken: Sequence[str], random: Random) -> dict[str, int]:
    """A letter for each print, the least `taken` first: slips of the round before do not fit the next."""
    order = sorted(random.sample(LETTERS, len(LETTERS)), key=taken.count)
    return dict(zip(random.sample(order[: len(prints)], len(prints)), prints, strict=True))


def in_threes(
    prints: Sequence[int], times: int, random: Random, taken: Sequence[str] = ()
) -> tuple[dict[str, int], list[tuple[str, ...]]]:
    """Letters for four to six prints, and what lies there: three from left to right, best first to be named.

    Every pair is in at least one triplet of each time; which pairs are in more is drawn anew every time, and
    so are places and order.
    """
    drawn_for = letters_for(prints, taken, random)
    letters = list(drawn_for)
    shown: list[tuple[str, ...]] = []
    for _ in range(times):
        named = random.sample(letters, len(letters))
        once = [tuple(random.sample([named[k] for k in three], 3)) for three in _COVERS[len(prints)]]
        shown += random.sample(once, len(once))
    return drawn_for, shown


def drawn(
    prints: Sequence[int], times: int, random: Random, taken: Sequence[str] = ()
) -> tuple[dict[str, int], list[tuple[str, str]]]:
    """Letters for the prints, and what to show: (left, right) by letters, every pair `times` times.

    Sides change from one time to the next. No two in a row are the same pair where there are three prints.
    """
    drawn_for = letters_for(prints, taken, random)
    letters = list(drawn_for)
    shown: list[tuple[str, str]] = []
    for time in range(times):
        once = [(letters[a], letters[b]) for a, b in pairs(len(prints))]
        cut = random.randrange(len(once))
        once = once[cut:] + once[:cut]
        if shown and len(once) > 1 and set(once[0]) == set(shown[-1]):
            once = once[1:] + once[:1]
        shown += [(right, left) for left, right in once] if time % 2 else once
    return drawn_for, shown
