"""What `drydown weigh` tells beside grades and verdict: paper, profile and black, and the steps between."""

import re
from collections.abc import Callable
from typing import Any

import pytest

Drydown = Callable[..., Any]


def test_the_paper_is_told_before_the_steps_and_the_black_after(demo_room: Drydown) -> None:
    told = demo_room("weigh", 1).out
    facts = (
        "Not graded:",
        "Paper since profiling:",
        "Profile fit not known",
        "Print, the whole sheet",
        "Black: D",
    )
    assert sorted(facts, key=told.index) == list(facts)
    assert re.search(r"Whitener: b\* of the paper \+4\.\d without ultraviolet \(M2 less M1\)\.", told)


def test_the_region_graded_worst_is_told_step_by_step(demo_room: Drydown) -> None:
    """The two first vectors add up to the whole one, each rounded to a tenth."""
    told = demo_room("weigh", 1).out
    assert "\nSaturation, from the file to the print" in told
    rows = {
        name: [float(value) for value in re.findall(r"[-+]?\d+\.\d", line)[:3]]
        for line in told.splitlines()
        if (name := line.split("  ")[0].strip()) in ("intent and gamut", "print", "whole")
    }
    for first, second, whole in zip(rows["intent and gamut"], rows["print"], rows["whole"], strict=True):
        assert whole == pytest.approx(first + second, abs=0.11)


def test_without_a_profile_the_black_alone_is_told(demo_room: Drydown) -> None:
    told = demo_room("weigh", 3).out
    assert "Black: D 2.39" in told and "Paper since" not in told and "intent and gamut" not in told


def test_json_carries_the_same_facts(demo_room: Drydown) -> None:
    told, found = demo_room("weigh", 1).out, demo_room("weigh", 1, "--json").json
    black = found["black"]
    assert f"D {black['dmax']:.2f}, {black['range']:.2f} above the paper ({black['condition']}" in told
    assert f"{found['paper']['de00']:.1f} dE00" in told and found["profile_fit"] is None


def test_no_step_of_a_region_that_waits_for_its_grade_is_told(demo_room: Drydown) -> None:
    """Session 5 of the demo is half looked at."""
    found = demo_room("weigh", 5, "--json").json
    hidden = [region for region in found["regions"] if region["agreement"] == "not graded yet"]
    assert hidden and all(region["steps"] == [] for region in hidden)
    told = demo_room("weigh", 5).out
    assert not any(f"{region['title']}, from the file" in told for region in hidden)
