"""Which prints the same people looked at: what observers lean by cancels between these alone."""

from collections.abc import Mapping
from dataclasses import dataclass

People = frozenset[str]


@dataclass(frozen=True, slots=True)
class InCommon:
    """Prints that were not seen by the very people who saw `print`.

    partly  by some of them, or by others as well: compared through those who saw both
    others  by nobody of them: no grade compares the two
    """

    print: int
    partly: tuple[int, ...]
    others: tuple[int, ...]

    @property
    def complete(self) -> bool:
        """Whether the same people saw all of them."""
        return not (self.partly or self.others)


def in_common(print: int, looked: Mapping[int, People]) -> InCommon:
    """Hold every print against one of them; `looked`: who, by print. A print without a look says nothing."""
    people = looked[print]
    rest = {one: who for one, who in looked.items() if one != print and who and people and who != people}
    return InCommon(
        print,
        tuple(one for one, who in rest.items() if who & people),
        tuple(one for one, who in rest.items() if not who & people),
    )
