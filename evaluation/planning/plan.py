"""The nouns of a plan: a loan with its jobs, what comes next, what dries, what is too late. No archive."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from typing import Literal

from evaluation.loan import Loan, WantedPaper
from evaluation.planning import rule
from evaluation.planning.drops import Rung, rungs
from evaluation.planning.hours import Hours
from evaluation.planning.steps import PRINTED, Chain, Step, Times, work

State = Literal["now", "dries", "open", "done", "left out"]
TimesOf = Literal["usual", "entered", "timed"]


@dataclass(frozen=True, slots=True)
class Job:
    """One paper in one setting. Times are the local wall clock, without a zone.

    chain    its place among the chains of the plan; None for what is done or left out
    step     what comes next; None where nothing does
    from_    when the next step may begin, where something dries
    latest   when it must begin at the latest, with all else that fits; None: it does not fit, or is done
    """

    paper: WantedPaper
    setting: str
    state: State
    step: Step | None
    session: int | None = None
    chain: int | None = None
    from_: datetime | None = None
    latest: datetime | None = None


@dataclass(frozen=True)
class Plan:
    """A loan with its jobs, those first that come first; `acts` are laid from `at` on, minutes as of `hours`.

    troubles  sentences: what is missing, contradictory or gone; the plan is as good as it can be without it
    times_of  where the minutes of each step come from
    last      by place of a chain that can be finished: when each of its steps must begin at the latest
    """

    loan: Loan
    now: datetime
    jobs: tuple[Job, ...]
    hours: Hours | None
    windows: tuple[tuple[float, float], ...]
    times: Times
    times_of: Mapping[str, TimesOf]
    chains: tuple[Chain, ...]
    acts: tuple[rule.Act, ...]
    loaded: int | None
    seen: int
    troubles: tuple[str, ...]
    last: Mapping[int, tuple[float, ...]] = field(default_factory=dict)

    @property
    def batch(self) -> tuple[rule.Act, ...]:
        """What comes next: the same step of one paper, setting after setting, without a pause."""
        found: list[rule.Act] = []
        for act in self.acts:
            if found and not (
                act.step == found[0].step
                and self.chains[act.chain].paper == self.chains[found[0].chain].paper
                and act.start == found[-1].end
                and act.step in PRINTED
            ):
                break
            found.append(act)
        return tuple(found)

    @cached_property
    def of_chain(self) -> Mapping[int, Job]:
        """The job that a chain belongs to."""
        return {job.chain: job for job in self.jobs if job.chain is not None}

    def latest(self, act: rule.Act) -> datetime | None:
        """When a step must begin at the latest; None where its chain cannot be finished."""
        if act.chain not in self.last:
            return None
        return self.clock(self.last[act.chain][self.chains[act.chain].steps.index(act.step)])

    def clock(self, minute: float) -> datetime:
        """The local wall clock at a minute of the plan."""
        assert self.hours is not None
        return self.hours.moment(minute)

    @property
    def begins(self) -> datetime | None:
        """When the next step can begin; None where none can be laid."""
        return self.clock(self.acts[0].start) if self.acts else None

    @property
    def at_once(self) -> bool:
        """Whether the next step can begin now."""
        if not self.acts or self.hours is None:
            return False
        return self.acts[0].start <= self.hours.minute(self.now)

    @property
    def work(self) -> float:
        """Minutes in hand for all that is left."""
        return work(self.chains, self.times)

    @property
    def open(self) -> float:
        """Open minutes until the printer goes back."""
        return sum(to - since for since, to in self.windows)

    @property
    def fitting(self) -> int:
        """How many jobs the rule finishes before the printer goes back."""
        return len(rule.finished(self.acts, self.chains))

    @property
    def rungs(self) -> tuple[Rung, ...]:
        """What may be left out, one after the other."""
        makers = [place for place, paper in enumerate(self.loan.papers) if paper.maker_profile]
        begun = [place for place, paper in enumerate(self.loan.papers) if self._is_begun(paper)]
        return tuple(rungs(self.chains, self.times, self.open, makers, begun))

    def _is_begun(self, paper: WantedPaper) -> bool:
        return any(job.paper == paper and job.step != "charts" for job in self.jobs)
