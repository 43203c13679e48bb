"""Prints beside each other: a round, the better of two pair after pair; triangles, the odd one of three."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from itertools import combinations
from types import MappingProxyType
from typing import Final, Literal, get_args

Named = Literal["left", "right", "none"]

# What is asked, by the word that the answer goes by: "3 better than 5".
ASKED: Final[Mapping[str, str]] = MappingProxyType(
    {"better": "Which is better here?", "greyer": "In which is the grey greyer?"}
)


Odd = Literal["left", "middle", "right"]
PLACES: Final[tuple[Odd, ...]] = get_args(Odd)
ODD: Final = "odd"  # what is asked of triangles, and of nothing that is compared


@dataclass(frozen=True, slots=True)
class Triangles:
    """Three sheets at a time, two of them of one print: one observer names the odd one, in one region.

    prints   two sessions
    shown    sessions from left to right, in order: not to be shown before the last answer
    answers  by place in `shown`
    """

    id: int
    started: datetime
    observer: str
    region: str
    prints: tuple[int, int]
    shown: tuple[tuple[int, int, int], ...]
    answers: Mapping[int, Odd] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def next(self) -> int | None:
        """The first place without an answer; None when all are answered."""
        return next((place for place in range(len(self.shown)) if place not in self.answers), None)

    @property
    def is_open(self) -> bool:
        """Whether it waits for answers."""
        return self.next is not None

    @property
    def right(self) -> int:
        """How often the odd one was named."""
        return sum(named == odd_of(self.shown[place]) for place, named in self.answers.items())


def odd_of(lying: Sequence[int]) -> Odd:
    """Where the one lies that there is one of.

    >>> odd_of((4, 1, 4))
    'middle'
    """
    return next(place for place, one in zip(PLACES, lying, strict=True) if lying.count(one) == 1)


@dataclass(frozen=True, slots=True)
class Round:
    """What is shown, in order, under letters that were drawn for it; and what was answered so far.

    ask      key of ASKED
    prints   session by letter: not to be shown before the letters are open
    shown    (letter on the left, letter on the right), or three of them from left to right, as they lie
    answers  by place in `pairs`
    opened   when the letters were opened before the last answer; no answer is taken after that
    """

    id: int
    started: datetime
    observer: str
    region: str
    ask: str
    prints: Mapping[str, int]
    shown: tuple[tuple[str, ...], ...]
    answers: Mapping[int, Named] = field(default_factory=lambda: MappingProxyType({}))
    opened: datetime | None = None

    @property
    def pairs(self) -> tuple[tuple[str, str], ...]:
        """What is answered: of two that lie there their pair, of three all their pairs, left before right."""
        return tuple(pair for lying in self.shown for pair in combinations(lying, 2))

    @property
    def three_at_once(self) -> tuple[str, str, str] | None:
        """Three that lie there, before the best of them is named; None where two are to be compared."""
        place = self.next
        if place is None or len(lying := self.shown[place // 3 if len(self.shown[0]) == 3 else place]) != 3:
            return None
        untouched = all(one not in self.answers for one in range(place, place + 3))
        return (lying[0], lying[1], lying[2]) if place % 3 == 0 and untouched else None

    @property
    def next(self) -> int | None:
        """The first place without an answer; None when all are answered."""
        return next((place for place in range(len(self.pairs)) if place not in self.answers), None)

    @property
    def is_open(self) -> bool:
        """Whether it waits for answers, and its letters are a secret."""
        return self.opened is None and self.next is not None

    @property
    def sessions(self) -> frozenset[int]:
        """The prints, without their letters."""
        return frozenset(self.prints.values())

    @property
    def judged(self) -> tuple[tuple[int, int, int], ...]:
        """(session on the left, on the right, the one named or 0), in the order shown."""
        found, pairs = [], self.pairs
        for place, named in sorted(self.answers.items()):
            left, right = (self.prints[letter] for letter in pairs[place])
            found.append((left, right, {"left": left, "right": right, "none": 0}[named]))
        return tuple(found)
