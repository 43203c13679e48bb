"""The answers of every viewing on a region, in words: grades by observer, the lowest answer, or none."""

from collections.abc import Sequence
from typing import Final

from evaluation.judgement.eye import Seen
from evaluation.judgement.voices import Voices
from evaluation.plain_text import listed

_EACH: Final = 3  # so many grades are listed one by one, more as a range


def told(said: Voices) -> str:
    """The grades by eye, without a full stop: "No fault seen in 2 viewings", "Graded 5 and 4 in 2 viewings".

    Empty where nobody graded the region, and where there is no more to it than the one grade shown beside it.
    """
    if not said.grades:
        return ""
    if said.faultless:
        return f"No fault seen{_looked(said.grades)}"
    words = f"Graded {by_observer(said.grades)}"
    lower = said.lowest is not None and said.lowest[0] < min(one.grade for one in said.grades) - 0.05
    if len(said.grades) == 1 and not said.aside and not lower:
        return ""
    if said.aside:
        where = "a viewing that does" if len(said.aside) == 1 else "viewings that do"
        words += f", and {_values(said.aside)} in {where} not count"
    if said.lowest is not None and lower:
        words += f"; the lowest answer is {number(said.lowest[0])} (“{said.lowest[1]}”)"
    return words


def by_observer(said: Sequence[Seen]) -> str:
    """Grades of several viewings, apart where observers or viewings differ.

    >>> by_observer((Seen("observer 1", 4.0),))
    '4'
    >>> by_observer((Seen("observer 1", 5.0, 1), Seen("observer 1", 4.0, 2)))
    '5 and 4 in 2 viewings'
    >>> by_observer((Seen("observer 1", 4.0, 1), Seen("observer 2", 3.0, 2)))
    '4 by observer 1 and 3 by observer 2'
    """
    own: dict[str, list[Seen]] = {}
    for one in said:
        own.setdefault(one.observer, []).append(one)
    if len(own) == 1 or len({one.grade for one in said}) == 1:
        return f"{_values(said)}{_looked(said)}"
    if len(own) > _EACH:
        return f"{_range(said)} by {len(own)} observers"
    return listed([f"{_values(given)} by {observer}" for observer, given in own.items()])


def _looked(said: Sequence[Seen]) -> str:
    """ " in 2 viewings", " by 2 observers"; nothing for one viewing."""
    observers = len({one.observer for one in said})
    if observers > 1:
        return f" by {observers} observers"
    return f" in {len(said)} viewings" if len(said) > 1 else ""


def _values(said: Sequence[Seen]) -> str:
    values = [number(one.grade) for one in said]
    if len(set(values)) == 1:
        return values[0]
    return listed(values) if len(values) <= _EACH else _range(said)


def _range(said: Sequence[Seen]) -> str:
    return f"{number(min(one.grade for one in said))} to {number(max(one.grade for one in said))}"


def number(grade: float) -> str:
    """A grade as short as it is: 4, 4.6."""
    return f"{grade:.1f}".removesuffix(".0")
