"""The rule of the next step: start a drying wait if one can be started, else the paper nearest its end.

Papers of which nothing is done follow in their order. A paper stays in the printer as long as it has
something to print. A greedy rule of our own in place of a solver: on twelve papers in three settings it ends
within a day of what a solver finds, at once.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from evaluation.planning.steps import DAY, PRINTED, UNBEGUN, VIEWED, Chain, Step, Times, unbegun

Windows = Sequence[tuple[float, float]]  # open from, to, in order
# What a step is chosen by, the least first, from: whether a wait starts after it, whether another paper has
# to go in, how many steps its paper and its chain have left, the place of its chain.
Rule = Callable[[bool, bool, int, int, int], tuple[float, ...]]


@dataclass(frozen=True, slots=True)
class Act:
    """A step as the rule lays it: place of its chain, from, to; `changed`: another paper goes in first."""

    chain: int
    step: Step
    start: float
    end: float
    changed: bool


def dry_first(waits: bool, changed: bool, of_paper: int, of_chain: int, place: int) -> tuple[float, ...]:
    """The rule that is used."""
    return (not waits, changed, of_paper, of_chain, place)


def laid(
    chains: Sequence[Chain],
    windows: Windows,
    times: Times,
    *,
    loaded: int | None = None,
    seen: int = 0,
    rule: Rule = dry_first,
    backwards: bool = False,
) -> tuple[Act, ...]:
    """The steps in the order of a rule, as far as the windows reach.

    No step begins that cannot end the same day.

    windows    from now on
    loaded     the paper that is in the printer
    seen       full viewings that the day of the first window has had
    backwards  the steps of each chain stand last first, and time runs back: what is printed dries before
    """
    steps = [_steps(chain, times, backwards=backwards) for chain in chains]
    papers = [chain.paper for chain in chains]
    at = [0] * len(chains)
    ready = [chain.ready for chain in chains]
    of_paper: dict[int, int] = dict.fromkeys(papers, 0)
    for paper, own in zip(papers, steps, strict=True):
        of_paper[paper] += len(own)
    fresh = set() if backwards else unbegun(chains)
    waiting = [place for place, own in enumerate(steps) if own]
    acts: list[Act] = []
    day = windows[0][0] // DAY if windows else 0.0
    for since, to in windows:
        if since // DAY != day:
            day, seen = since // DAY, 0
        now = since
        while waiting:
            best: tuple[float, ...] | None = None
            here = -1
            soonest = to
            for place in waiting:
                if ready[place] > now:
                    soonest = min(soonest, ready[place])
                    continue
                takes, prints, viewed, dries = steps[place][at[place]]
                changed = prints and papers[place] != loaded
                if now + takes + changed * times.change > to or (viewed and seen >= times.viewings_a_day):
                    continue
                left = UNBEGUN if papers[place] in fresh else of_paper[papers[place]]
                key = rule(dries, changed, left, len(steps[place]) - at[place], place)
                if best is None or key < best:
                    best, here = key, place
            if best is None:
                if soonest >= to:
                    break
                now = soonest
                continue
            takes, prints, viewed, dries = steps[here][at[here]]
            changed = prints and papers[here] != loaded
            end = now + takes + changed * times.change
            acts.append(Act(here, chains[here].steps[at[here]], now, end, changed))
            now = end
            at[here] += 1
            of_paper[papers[here]] -= 1
            fresh.discard(papers[here])
            ready[here] = now + dries * times.dry
            seen += viewed
            if prints:
                loaded = papers[here]
            if at[here] == len(steps[here]):
                waiting.remove(here)
    return tuple(acts)


def _steps(chain: Chain, times: Times, *, backwards: bool) -> list[tuple[float, bool, bool, bool]]:
    """Of each step its minutes, whether it prints, whether it is a viewing, whether a wait follows it."""
    after = chain.steps[1:] if backwards else chain.steps
    dries = [step in PRINTED for step in after]
    if backwards:
        dries.append(False)
    return [
        (chain.takes(step, times), step in PRINTED, step in VIEWED, wait)
        for step, wait in zip(chain.steps, dries, strict=False)
    ]


def finished(acts: Sequence[Act], chains: Sequence[Chain]) -> dict[int, float]:
    """By place of each chain all of whose steps are laid: when the last of them ends."""
    done: dict[int, list[float]] = {}
    for act in acts:
        done.setdefault(act.chain, []).append(act.end)
    return {place: max(ends) for place, ends in done.items() if len(ends) == len(chains[place].steps)}


def latest(
    chains: Sequence[Chain], windows: Windows, times: Times, acts: Sequence[Act]
) -> dict[int, tuple[float, ...]]:
    """By place of each chain that the rule finishes: the latest minute at which each of its steps may begin.

    All that the rule finishes is laid once more, from the end of the last window backwards. What finds no
    place that late begins when the rule begins it.
    """
    first = {(act.chain, act.step): act.start for act in acts}
    kept = list(finished(acts, chains))[::-1]
    turned = [replace(chains[place], steps=chains[place].steps[::-1], ready=float("-inf")) for place in kept]
    mirrored = [(-to, -since) for since, to in reversed(windows)]
    back = laid(turned, mirrored, times, backwards=True)
    whole = finished(back, turned)
    last = {(kept[act.chain], act.step): -act.end for act in back if act.chain in whole}
    return {
        place: tuple(
            max(first[place, step], last.get((place, step), first[place, step]))
            for step in chains[place].steps
        )
        for place in kept
    }
