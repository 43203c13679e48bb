"""What to leave out first where time does not suffice; the order is the project's own choice.

Second viewings, then the full list of patches for the thirty, then the third setting, then charts of one's
own where the maker's profile does, then papers. Never the drying, never the first paper.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from evaluation.planning.steps import SHORT_LOOK, Chain, Times, work

Drop = Literal["second viewings", "full list", "third setting", "own charts", "papers"]
ROOM: Final = 0.60  # of the open hours may be planned for: the rest is for what goes wrong; own


@dataclass(frozen=True, slots=True)
class Rung:
    """What is left after leaving out `drop` and all before it; `papers` are the ones left out."""

    drop: Drop
    chains: tuple[Chain, ...]
    papers: tuple[int, ...] = ()


def rungs(
    chains: Sequence[Chain], times: Times, open_minutes: float, makers: Sequence[int], begun: Sequence[int]
) -> Iterator[Rung]:
    """One after the other, each only where it leaves something out.

    makers  papers whose maker's profile may stand in for charts of one's own
    begun   papers of which something is printed: they are left out last
    """
    left = tuple(chains)
    ways: tuple[tuple[Drop, Callable[[Chain], Chain | None]], ...] = (
        ("second viewings", _once),
        ("full list", _short),
        ("third setting", lambda one: None if one.setting >= 2 else one),
        ("own charts", lambda one: _uncharted(one) if one.paper in makers else one),
    )
    for name, way in ways:
        after = tuple(kept for one in left if (kept := way(one)) is not None)
        if after != left:
            left = after
            yield Rung(name, left)
    out = _papers(left, times, open_minutes, begun)
    if out:
        yield Rung("papers", tuple(one for one in left if one.paper not in out), out)


def _once(one: Chain) -> Chain:
    return replace(one, steps=tuple(step for step in one.steps if step != "second"))


def _short(one: Chain) -> Chain:
    return replace(one, minutes={**(one.minutes or {}), "look": SHORT_LOOK}) if "look" in one.steps else one


def _uncharted(one: Chain) -> Chain:
    return replace(one, steps=one.steps[2:]) if one.steps[:1] == ("charts",) else one


def _papers(
    left: Sequence[Chain], times: Times, open_minutes: float, begun: Sequence[int]
) -> tuple[int, ...]:
    """As many of the last papers as bring the work within its share of the open hours."""
    order = sorted({one.paper for one in left if one.paper != 0}, key=lambda paper: (paper in begun, -paper))
    out: list[int] = []
    for paper in order:
        if work([one for one in left if one.paper not in out], times) <= ROOM * open_minutes:
            break
        out.append(paper)
    return tuple(sorted(out))
