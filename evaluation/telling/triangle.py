"""The triangle test in words: what it takes, what lies where, and what came of it."""

from collections.abc import Sequence
from typing import Final

from evaluation.judgement.beside.triangle import InTriangles, least_right, missed
from evaluation.plain_text import counted, percent
from evaluation.rounds import Triangles, odd_of
from evaluation.telling.table import Table

ONLY: Final = (
    "It shows whether there is anything to see, not how much or which is better; that takes prints side by "
    "side under letters."
)


def before(triangles: int) -> tuple[str, ...]:
    """What is laid out, and how many right answers would show something."""
    least, sure = least_right(triangles), least_right(triangles, 0.01)
    surely = f"; with {sure} right in 1 %" if sure <= triangles else ""
    return (
        "Somebody else lays out two sheets of one print and one of the other in a row, as the table says; "
        "the observer names the odd one, guessing if need be.",
        f"Of {triangles} triangles {least} right show a difference: guessing reaches that in 5 % at most"
        f"{surely}.",
        ONLY,
    )


def told(triangles: int, right: int) -> tuple[str, ...]:
    """Whether there is anything to see, and what the test would have missed where it shows nothing."""
    least = least_right(triangles)
    if right >= least:
        sure = "1 %" if right >= least_right(triangles, 0.01) else "5 %"
        found = (
            f"{right} of {triangles} right: there is something to see. Guessing gets there in {sure} at most."
        )
        return (found, ONLY)
    unseen = f"{triangles} triangles would miss it in {percent(missed(triangles))}"
    return (
        f"{right} of {triangles} right, {least} are needed: no difference shown. That is not “alike”: were "
        f"half of all observers to see a difference, {unseen}.",
        ONLY,
    )


def of_region(one: InTriangles) -> str:
    """What tests of two prints in a region come to, without what such a test cannot say."""
    first, second = sorted(one.prints)
    whose = counted(len(one.observers), "observer")
    return f"{one.title}, triangles of {first} and {second} by {whose}. {told(one.triangles, one.right)[0]}"


def waiting(one: Triangles, title: str) -> str:
    """Triangles that wait for answers."""
    return f"{title}, {one.observer}: {len(one.answers)} of {len(one.shown)} triangles answered."


def layout(order: Sequence[Sequence[int]]) -> Table:
    """A row a triangle: what lies where, and which is the odd one. Not for the observer."""
    rows = tuple((str(place), *map(str, row), odd_of(row)) for place, row in enumerate(order, 1))
    heads = ("triangle", "left", "middle", "right", "the odd one")
    return Table("For the person who lays out the sheets, by session", heads, rows, right=(0, 1, 2, 3))
