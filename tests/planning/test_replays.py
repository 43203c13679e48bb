"""Shares of replays, against those of a study made apart, by a program that shares no code with this one.

By how much all takes longer than thought was chosen here so that the four shares agree: it is no finding.
"""

import math

import pytest

from evaluation.planning.replays import TIMES, Upsets, share_done
from evaluation.planning.rule import finished, laid
from evaluation.planning.steps import USUAL, Chain, Step

ALL: tuple[Step, ...] = ("charts", "profile", "sheet", "look")
WINDOWS = [(day * 1440 + 540.0, day * 1440 + 960.0) for day in range(24) if day % 7 < 5]
CALM = Upsets(lost_days=0, longer=0, common=0, each=0)


def loan(papers: int, settings: int) -> list[Chain]:
    return [Chain(paper, setting, ALL) for paper in range(papers) for setting in range(settings)]


@pytest.mark.parametrize(
    ("papers", "settings", "share"), [(12, 3, 0.385), (12, 2, 0.99), (10, 3, 0.775), (9, 3, 0.945)]
)
def test_shares_agree_with_those_worked_out_apart_within_their_error(
    papers: int, settings: int, share: float
) -> None:
    found = share_done(loan(papers, settings), WINDOWS, USUAL)
    error = math.sqrt(2 * share * (1 - share) / TIMES)
    assert abs(found - share) <= 2 * error


def test_a_replay_without_upsets_is_the_rule_itself() -> None:
    chains = [*loan(3, 3), Chain(3, 0, ALL), Chain(4, 0, ("sheet", "look")), Chain(4, 1, ALL)]
    acts = laid(chains, WINDOWS, USUAL)
    assert len(finished(acts, chains)) == len(chains)
    windows = [(since, min(to, acts[-1].end + 0.5)) for since, to in WINDOWS if since < acts[-1].end]
    assert share_done(chains, windows, USUAL, upsets=CALM, replays=2) == 1
    windows[-1] = windows[-1][0], acts[-1].end - 0.5
    assert share_done(chains, windows, USUAL, upsets=CALM, replays=2) == 0


def test_begun_loans_start_from_where_they_are() -> None:
    one = [Chain(0, 0, ("look",), ready=2000.0)]
    assert share_done(one, [(540.0, 960.0)], USUAL, upsets=CALM) == 0  # it is not dry before the end
    assert share_done(one, [(1980.0, 2100.0)], USUAL, upsets=CALM) == 1
    assert (
        share_done(one, [(1980.0, 2100.0)], USUAL, seen=3, upsets=CALM) == 0
    )  # eyes have had enough that day
    printed = [Chain(0, 0, ("sheet",))]
    assert share_done(printed, [(540.0, 556.0)], USUAL, upsets=CALM) == 0  # ten minutes for the paper
    assert share_done(printed, [(540.0, 556.0)], USUAL, loaded=0, upsets=CALM) == 1
    assert share_done([Chain(0, 0, ())], [], USUAL) == 1
    assert share_done(one, [], USUAL) == 0
