"""How prints stand to each other for a use: pair by pair, in groups of which no two differ by enough, and in
order, as far as grades give one.
"""

from dataclasses import dataclass
from itertools import combinations
from typing import Final, Literal

from evaluation.judgement.matrix import Matrix, pair
from evaluation.judgement.two_prints import Difference, Word
from evaluation.plain_text import lower_first

Standing = Literal["apart", "near", "open", "unknown"]

# Words of a cell for two prints that differ by more than chance, and by enough.
APART: Final[tuple[Word, ...]] = ("large", "apart", "by grade", "contradict")

_DIRECTION: Final = 0.05  # grades: half of the digit that is shown


@dataclass(frozen=True, slots=True)
class Between:
    """Two prints for one use: regions by title under the word of their cell, as far as the use weighs them.

    standing  apart: something differs by enough; near: nothing does; open: nothing does, but something could
              not be compared; unknown: too little could
    """

    a: int
    b: int
    standing: Standing
    by_word: dict[Word, tuple[str, ...]]
    uncompared: tuple[Difference, ...]
    weight: float  # of the regions that stand on either sheet
    read: bool = True  # in some region both were read
    graded: bool = True  # in some region both were graded by eye

    def titles(self, word: Word) -> tuple[str, ...]:
        return self.by_word.get(word, ())

    @property
    def differing(self) -> tuple[str, ...]:
        """The regions that keep two prints apart."""
        return tuple(title for word in APART for title in self.titles(word))


def between(matrix: Matrix, a: int, b: int, use: str) -> Between | None:
    """How two prints compare for a use, in the regions that it weighs; None where not compared yet."""
    weights = matrix.weights.get(use, {})
    weighed = {row.id: row.title for row in matrix.rows if weights.get(row.kind, 0) > 0}
    found = matrix.differences.get(pair(a, b))
    if found is None:
        return None
    counted = [one for one in found if one.region in weighed]
    by_word: dict[Word, tuple[str, ...]] = {}
    for one in counted:
        by_word[one.word] = (*by_word.get(one.word, ()), lower_first(weighed[one.region]))
    uncompared = tuple(one for one in counted if one.word == "not comparable")
    share = {row.id: weights.get(row.kind, 0.0) for row in matrix.rows}
    compared = sum(share[one.region] for one in counted if one.word != "not comparable")
    standing: Standing = "near"
    if any(word in by_word for word in APART):
        standing = "apart"
    elif compared < matrix.coverage * sum(weights.values()):
        standing = "unknown"
    elif uncompared:
        standing = "open"
    return Between(
        a,
        b,
        standing,
        by_word,
        uncompared,
        sum(share[one.region] for one in counted),
        read=any(one.read for one in counted),
        graded=any(one.graded for one in counted),
    )


def groups(matrix: Matrix, use: str) -> tuple[tuple[int, ...], ...] | None:
    """Largest sets of prints in which no two differ by enough; None unless all were compared with all."""
    ids = [column.session for column in matrix.columns]
    near: dict[int, set[int]] = {one: set() for one in ids}
    for a, b in combinations(ids, 2):
        found = between(matrix, a, b, use)
        if found is None:
            return None
        if found.standing in ("near", "open"):
            near[a].add(b)
            near[b].add(a)
    place = {one: k for k, one in enumerate(ids)}
    sets = [tuple(sorted(each, key=place.__getitem__)) for each in _cliques(set(), set(ids), set(), near)]
    return tuple(sorted(sets, key=lambda each: [place[one] for one in each]))


def better(matrix: Matrix, a: int, b: int, use: str) -> tuple[tuple[str, ...], tuple[str, ...]] | None:
    """The regions that the use weighs in which a, and in which b, is the better print by enough, by title.

    None where nothing can be said: not compared, too little, or eye and readings contradict each other.
    A difference of less than half a shown digit of a grade has no direction.
    """
    found = between(matrix, a, b, use)
    if found is None or found.standing == "unknown" or found.titles("contradict"):
        return None
    weights = matrix.weights.get(use, {})
    first: list[str] = []
    second: list[str] = []
    for row in matrix.rows:
        one = matrix.difference(row.id, a, b)
        if one is None or one.word not in APART or not weights.get(row.kind, 0) > 0:
            continue
        change = one.graded[1] - one.graded[0] if one.graded and one.word != "large" else one.difference
        if change is not None and abs(change) >= _DIRECTION:
            (second if change > 0 else first).append(lower_first(row.title))
    return tuple(first), tuple(second)


def ranked(matrix: Matrix, use: str) -> tuple[tuple[int, ...], ...] | None:
    """Prints in order, the best first; None unless all were compared with all.

    Every print of a group is better than every print of the groups after it: in some region by enough, in
    none worse by enough. Within a group that cannot be said; one group alone is no order.
    """
    ids = [column.session for column in matrix.columns]
    if groups(matrix, use) is None:
        return None
    beats = {(a, b) for a in ids for b in ids if a != b and _beats(matrix, a, b, use)}
    # To whom a print is not inferior, by any way over others: who reach each other stand in one group.
    reach = {one: {other for other in ids if other == one or (other, one) not in beats} for one in ids}
    for middle in ids:  # Warshall's algorithm (1962)
        for one in ids:
            if middle in reach[one]:
                reach[one] |= reach[middle]
    sets = {tuple(other for other in ids if other in reach[one] and one in reach[other]) for one in ids}
    return tuple(sorted(sets, key=lambda group: -len(reach[group[0]])))


def _beats(matrix: Matrix, a: int, b: int, use: str) -> bool:
    found = better(matrix, a, b, use)
    return found is not None and bool(found[0]) and not found[1]


def _cliques(
    chosen: set[int], possible: set[int], used: set[int], near: dict[int, set[int]]
) -> list[set[int]]:
    """Maximal sets of neighbours, by Bron and Kerbosch's algorithm 457 (1973) with a pivot."""
    if not possible and not used:
        return [chosen]
    pivot = max(possible | used, key=lambda one: (len(near[one] & possible), -one))
    found = []
    for one in sorted(possible - near[pivot]):
        found += _cliques(chosen | {one}, possible & near[one], used & near[one], near)
        possible = possible - {one}
        used = used | {one}
    return found
