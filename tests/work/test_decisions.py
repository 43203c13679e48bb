"""Limits of a verdict from a person's own decisions."""

from datetime import date
from pathlib import Path

import numpy as np
import pytest

from evaluation.archive.connection import open_archive
from evaluation.errors import UsageProblem
from evaluation.judgement.tables import load_tables
from evaluation.work import decisions
from evaluation.work.bench import Bench
from evaluation.work.decisions import DECISIONS, LIMITS, Decision

TABLES = load_tables()


def decided(
    limits: tuple[float, float, float, float], count: int, seed: int
) -> tuple[np.ndarray, list[Decision]]:
    """Prints drawn even over key region and mean, and what someone with these limits says of them."""
    rng = np.random.default_rng(seed)
    key = rng.uniform(1.5, 4.8, count)
    points = np.column_stack([key, np.clip(key + rng.uniform(0, 1.2, count), 1, 5)])
    refused = (points < limits[2:]).any(axis=1)
    accepted = ~refused & (points >= limits[:2]).all(axis=1)
    return points, [DECISIONS[2 if r else 0 if a else 1] for r, a in zip(refused, accepted, strict=True)]


def test_a_stricter_person_is_found_again() -> None:
    wanted = (4.0, 4.25, 3.0, 3.5)
    points, words = decided(wanted, 300, 3)
    found = decisions.fit(points, words, TABLES)
    assert [found.limits[name] for name in LIMITS] == pytest.approx(wanted, abs=0.36)
    assert found.given_back >= 290 and found.decisions == 300
    few = decisions.fit(points[:20], words[:20], TABLES)
    assert sum(few.spreads.values()) > sum(found.spreads.values()), "fewer decisions are less sure"
    own = load_tables(found.toml("mine.txt", date(2026, 3, 9)))
    assert [own[name] for name in LIMITS] == [found.limits[name] for name in LIMITS]


def test_whoever_decides_by_the_shipped_limits_gets_them_back() -> None:
    wanted = tuple(TABLES[name] for name in LIMITS)
    points, words = decided(wanted, 150, 5)  # type: ignore[arg-type]
    found = decisions.fit(points, words, TABLES)
    assert [found.limits[name] for name in LIMITS] == pytest.approx(wanted, abs=0.3)


def test_lines_are_read_and_a_wrong_one_is_named() -> None:
    lines = ["# March", "12, accepted", "13, With remarks  # almost", "", "14, refused"]
    assert decisions.stated(lines, "mine.txt") == [
        ("12", "accepted"),
        ("13", "with remarks"),
        ("14", "refused"),
    ]
    with pytest.raises(UsageProblem, match="fitted") as told:
        decisions.stated(["12, accepted", "13, fine"], "mine.txt")
    assert "mine.txt, line 2" in str(told.value.where)


def test_few_decisions_draw_no_limit(finished: Path) -> None:
    with open_archive(finished) as archive, pytest.raises(UsageProblem, match="do not draw a limit"):
        decisions.fitted(Bench(archive), [(1, "accepted"), (2, "refused"), (3, "accepted")])


def test_a_print_decided_on_twice_is_not_two_prints(finished: Path) -> None:
    with open_archive(finished) as archive:
        for words, found in ((("accepted", "accepted"), "accepted, twice"),
                             (("accepted", "refused"), "accepted and refused")):  # fmt: skip
            with pytest.raises(UsageProblem, match="fitted") as told:
                decisions.fitted(Bench(archive), [(2, "refused"), *((1, word) for word in words)])
            assert (told.value.where, told.value.found) == ("session 1", found)
