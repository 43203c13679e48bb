"""The rule on a realistic loan, its latest starts, its open hours and what is left out first.

A loan of 24 days, seven hours on five days a week, twelve papers in three settings: 94 hours of work in 126.
The times of the steps, and so these days, are the project's own choice; that the rule ends by day 18.5 was
worked out beforehand by a program that shares no code with it, and so were the two rules it is held against.
"""

from collections.abc import Callable
from datetime import date, datetime, time

import pytest

from evaluation.planning.drops import ROOM, rungs
from evaluation.planning.hours import Hours, hours
from evaluation.planning.rule import Rule, dry_first, finished, laid, latest
from evaluation.planning.steps import DAY, USUAL, Chain, Step, work

ALL: tuple[Step, ...] = ("charts", "profile", "sheet", "look")
MONDAY = date(2026, 3, 2)


def loan(papers: int, settings: int) -> list[Chain]:
    return [Chain(paper, setting, ALL) for paper in range(papers) for setting in range(settings)]


@pytest.fixture
def open_hours() -> Hours:
    return hours(MONDAY, date(2026, 3, 25), time(9), time(16), range(5))


def finish_first(waits: bool, changed: bool, of_paper: int, of_chain: int, place: int) -> tuple[float, ...]:
    return (waits, of_paper, of_chain, place)


def longest_chain_first(*given: float) -> tuple[float, ...]:
    _, _, of_paper, of_chain, place = given
    return (-of_paper, -of_chain, place)


def whole_papers(chains: list[Chain], open_hours: Hours, rule: Rule) -> tuple[int, float]:
    ends = finished(laid(chains, open_hours.windows, USUAL, rule=rule), chains)
    papers = [
        paper
        for paper in {chain.paper for chain in chains}
        if all(place in ends for place, chain in enumerate(chains) if chain.paper == paper)
    ]
    return len(papers), max(ends.values()) / DAY


def test_the_realistic_loan_is_94_hours_of_work_in_126(open_hours: Hours) -> None:
    assert work(loan(12, 3), USUAL) == 94 * 60
    assert open_hours.left(0) == 126 * 60
    assert open_hours.left(open_hours.minute(datetime(2026, 3, 25, 12))) == 4 * 60
    assert open_hours.moment(DAY + 600) == datetime(2026, 3, 3, 10)


@pytest.mark.parametrize(
    ("rule", "papers", "day"),
    [(dry_first, 12, 18.5), (finish_first, 12, 21.5), (longest_chain_first, 3, 23.5)],
)
def test_drying_first_ends_three_days_before_finishing_first_and_longest_first_ends_three_papers(
    open_hours: Hours, rule: Callable[..., tuple[float, ...]], papers: int, day: float
) -> None:
    assert whole_papers(loan(12, 3), open_hours, rule) == (papers, pytest.approx(day, abs=0.05))


def test_no_step_leaves_the_open_hours_comes_wet_or_is_a_fourth_viewing(open_hours: Hours) -> None:
    chains = loan(5, 2)
    acts = laid(chains, open_hours.windows, USUAL)
    assert len(acts) == 40
    ends: dict[tuple[int, Step], float] = {}
    for before, act in zip((None, *acts), acts, strict=False):
        assert any(since <= act.start and act.end <= to for since, to in open_hours.windows)
        assert before is None or before.end <= act.start
        ends[act.chain, act.step] = act.end
        for dried, waits in (("charts", "profile"), ("sheet", "look")):
            if act.step == waits:
                assert act.start >= ends[act.chain, dried] + USUAL.dry
    looks = [act.start // DAY for act in acts if act.step == "look"]
    assert max(map(looks.count, looks)) <= 3
    # The paper stays in for both settings: one change for its charts, one for its sheets.
    assert sum(act.changed for act in acts) == 10


def test_papers_of_which_nothing_is_done_follow_in_their_order(open_hours: Hours) -> None:
    chains = [*loan(2, 3), Chain(2, 0, ALL), Chain(3, 0, ("sheet", "look")), Chain(3, 1, ALL)]
    acts = laid(chains, open_hours.windows, USUAL)
    charts = [act.chain for act in acts if act.step == "charts"]
    assert charts == [
        8,
        0,
        1,
        2,
        3,
        4,
        5,
        6,
    ]  # the paper that is begun already, then all others as they stand


def test_what_is_begun_at_its_latest_start_is_still_done(open_hours: Hours) -> None:
    chains = loan(6, 2)
    acts = laid(chains, open_hours.windows, USUAL)
    last = latest(chains, open_hours.windows, USUAL, acts)
    first = {act.chain: act.start for act in reversed(acts)}
    assert last.keys() == first.keys()
    assert all(last[act.chain][chains[act.chain].steps.index(act.step)] >= act.start for act in acts)
    assert all(list(each) == sorted(each) and len(each) == len(chains[0].steps) for each in last.values())
    assert all(last[place][0] >= first[place] for place in first)
    # From the earliest of them on nothing may be put off any more, and nothing has to be left out yet.
    begin = min(each[0] for each in last.values())
    assert begin > 8 * DAY
    late = [Chain(one.paper, one.setting, one.steps, begin) for one in chains]
    rest = [(max(since, begin), to) for since, to in open_hours.windows if to > begin]
    assert len(finished(laid(late, rest, USUAL), late)) >= 11
    # What the rule cannot finish has no latest start.
    many = loan(30, 3)
    acts = laid(many, open_hours.windows, USUAL)
    assert latest(many, open_hours.windows, USUAL, acts).keys() == finished(acts, many).keys()
    assert len(finished(acts, many)) < 60


def test_what_is_left_out_comes_in_its_order_and_never_touches_the_first_paper() -> None:
    whole: tuple[Step, ...] = (*ALL, "second")
    chains = [Chain(paper, setting, whole) for paper in range(8) for setting in range(3)]
    found = list(rungs(chains, USUAL, 30 * 60, makers=[1], begun=[7]))
    assert [rung.drop for rung in found] == [
        "second viewings",
        "full list",
        "third setting",
        "own charts",
        "papers",
    ]
    assert all(rung.papers == () for rung in found[:-1])
    assert 0 not in found[-1].papers and found[-1].papers[:2] != (7,)
    assert work(found[-1].chains, USUAL) <= ROOM * 30 * 60
    hours_left = [work(rung.chains, USUAL) for rung in found]
    assert hours_left == sorted(hours_left, reverse=True)
    assert list(rungs([Chain(0, 0, ("profile",))], USUAL, 10, [], [])) == []
    # What is begun goes last.
    assert 7 not in list(rungs(chains, USUAL, 50 * 60, makers=[1], begun=[7]))[-1].papers
