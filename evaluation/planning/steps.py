"""What is to be done with each paper and setting: steps, their times, and what is left of them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal, get_args

Step = Literal["charts", "profile", "sheet", "look", "second"]
STEPS: Final[tuple[Step, ...]] = get_args(Step)
PRINTED: Final[frozenset[Step]] = frozenset({"charts", "sheet"})  # their ink dries before the next step
VIEWED: Final[frozenset[Step]] = frozenset({"look", "second"})  # so many a day and no more

UNBEGUN: Final = 4000  # stands for the steps left of a paper of which nothing is done: all of these are alike

DAY: Final = 1440.0  # minutes


@dataclass(frozen=True, slots=True)
class Times:
    """Minutes that each step takes in hand, and what stands between steps.

    change          another paper in the printer
    dry             from a print to looking at it or reading it
    viewings_a_day  full viewings that eyes are good for
    """

    minutes: Mapping[Step, float]
    change: float
    dry: float
    viewings_a_day: int


# Project's own choice, all of them, until timers of one's own say otherwise; drying by custom of the trade.
USUAL: Final = Times(
    MappingProxyType({"charts": 20.0, "profile": 50.0, "sheet": 15.0, "look": 65.0, "second": 45.0}),
    change=10.0,
    dry=DAY,
    viewings_a_day=3,
)
SHORT_LOOK: Final = 40.0  # minutes to look, and read thirty patches in place of the full list; own


@dataclass(frozen=True, slots=True)
class Chain:
    """One setting of one paper: the steps left, in order, and the minute from which the first may begin.

    `paper` and `setting` are places in the order of the loan.
    """

    paper: int
    setting: int
    steps: tuple[Step, ...]
    ready: float = 0.0
    minutes: Mapping[Step, float] | None = None  # where this chain's differ from the usual ones

    def takes(self, step: Step, times: Times) -> float:
        """Minutes in hand, without a change of paper."""
        own = self.minutes or {}
        return own.get(step, times.minutes[step])


def unbegun(chains: Sequence[Chain]) -> set[int]:
    """The papers of which nothing is done yet: every chain of them begins with its charts."""
    begun = {chain.paper for chain in chains if chain.steps[:1] != ("charts",)}
    return {chain.paper for chain in chains} - begun


def work(chains: Sequence[Chain], times: Times) -> float:
    """Minutes in hand for all that is left, each paper put in once for its charts and once for its sheets."""
    changes = {(chain.paper, step) for chain in chains for step in chain.steps if step in PRINTED}
    return len(changes) * times.change + sum(
        chain.takes(step, times) for chain in chains for step in chain.steps
    )
