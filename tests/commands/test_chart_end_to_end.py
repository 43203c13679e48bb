"""The whole path by the command line, on published data: the 24-patch chart of ISO 17321-1.

Source of readings and aims: reflectances of ISO 17321-1:2012 as held in colour-science 0.4.7; CIELAB by
ASTM E308 weights (COMPUTED with colour-science 0.4.7; see the passport in chart-24.toml).
"""

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

DATA = Path(__file__).parents[1] / "sheet" / "data"
MAP = DATA / "chart-24.toml"

CONDITION = """
[condition]
printer = "a spectrophotometer's chart"
paper = "chart"
made_for = "general"
driver_mode = "none"
printed_at = 2026-01-05T09:00:00+00:00

[readiness]
dry = "done"
"""

GRADES = """
[viewing]
observer = "observer 1"
[neutral]
overall = 5
[skin]
overall = 5
[saturation]
overall = 4
faults = ["dull"]
remark = "a chart, not a picture"
"""


@pytest.fixture
def begun(drydown: Callable[..., Any], tmp_path: Path) -> str:
    """A session on the chart, its number."""
    condition = tmp_path / "condition.toml"
    condition.write_text(CONDITION, "utf-8")
    ran = drydown("new", "--from", condition, "--sheet", MAP)
    assert ran.code == 0, ran.err
    return str(ran.out.strip())


@pytest.fixture
def graded(drydown: Callable[..., Any], tmp_path: Path, begun: str) -> str:
    """The same after a viewing typed in from paper."""
    grades = tmp_path / "grades.toml"
    grades.write_text(GRADES, "utf-8")
    ran = drydown("grade", begun, "--from", grades)
    assert ran.code == 0, ran.err
    return begun


def weighed(drydown: Callable[..., Any], session: str, *words: str) -> dict[str, Any]:
    ran = drydown("weigh", session, "--json", *words)
    assert ran.code == 0, ran.err
    return {region["id"]: region for region in ran.json["regions"]}


def raised(tmp_path: Path, name: str, by: float) -> Path:
    """Readings as CIELAB, one patch lightened."""
    rows = []
    for patch in tomllib.loads(MAP.read_text("utf-8"))["patch"]:
        lightness, a, b = patch["aim_lab"]
        lightness += by if patch["name"] == name else 0
        rows.append(f"{patch['id']} {lightness:.4f} {a:.4f} {b:.4f}")
    text = "ISO28178\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n"
    path = tmp_path / "raised.txt"
    path.write_text(text + "\n".join(rows) + "\nEND_DATA\n", "utf-8")
    return path


def test_published_reflectances_are_graded_five_in_every_region(
    drydown: Callable[..., Any], graded: str
) -> None:
    ran = drydown("read", graded, DATA / "chart-24.txt", "--managed", "--condition", "M0")
    assert ran.code == 0, ran.err
    regions = weighed(drydown, graded)
    assert {name: region["instrument"]["grade"] for name, region in regions.items()} == {
        "neutral": 5,
        "skin": 5,
        "saturation": 5,
    }
    assert regions["neutral"]["agreement"] == "agree"
    assert regions["saturation"]["eye"]["grade"] == 4


@pytest.mark.parametrize("name", ["patch 20", "patch 21", "patch 22", "patch 23"])
def test_one_neutral_made_lighter_by_three_is_found_and_named(
    drydown: Callable[..., Any], graded: str, tmp_path: Path, name: str
) -> None:
    """Only the neutral region falls, by its evenness, to 4.5-4.8, and the sentence names the patch."""
    assert drydown("read", graded, raised(tmp_path, name, 3.0), "--managed").code == 0
    regions = weighed(drydown, graded)
    assert regions["skin"]["instrument"]["grade"] == 5
    assert regions["saturation"]["instrument"]["grade"] == 5
    assert 4.5 <= regions["neutral"]["instrument"]["grade"] <= 4.8
    assert name in regions["neutral"]["why"]


def test_four_regions_cover_too_little_for_a_verdict(drydown: Callable[..., Any], graded: str) -> None:
    drydown("read", graded, DATA / "chart-24.txt", "--managed")
    ran = drydown("weigh", graded, "--json")
    assert {verdict["verdict"] for verdict in ran.json["verdicts"].values()} == {"incomplete"}


def test_no_number_of_an_ungraded_region_is_told(drydown: Callable[..., Any], begun: str) -> None:
    drydown("read", begun, DATA / "chart-24.txt", "--managed")
    for region in weighed(drydown, begun).values():
        assert region["agreement"] == "not graded yet"
        assert region["eye"] is region["instrument"] is region["combined"] is None


def test_reveal_shows_records_and_marks_later_grades(
    drydown: Callable[..., Any], begun: str, tmp_path: Path
) -> None:
    drydown("read", begun, DATA / "chart-24.txt", "--managed")
    assert weighed(drydown, begun, "--reveal")["skin"]["agreement"] == "instrument only"
    assert weighed(drydown, begun)["skin"]["instrument"]["grade"] == 5  # what was seen stays seen
    grades = tmp_path / "late.toml"
    grades.write_text("[skin]\noverall = 2\n", "utf-8")
    drydown("grade", begun, "--from", grades)
    ran = drydown("weigh", begun, "--json")
    assert "Answered after the readings were shown: Skin tones." in ran.json["caveats"]


@pytest.mark.long
def test_the_appendix_tells_what_was_found(drydown: Callable[..., Any], graded: str, tmp_path: Path) -> None:
    drydown("read", graded, DATA / "chart-24.txt", "--managed")
    page = tmp_path / "review.md"
    ran = drydown("appendix", graded, "-o", page, "--parts", "whole")
    assert ran.code == 0, ran.err
    text = page.read_text("utf-8")
    assert "a chart, not a picture" in text  # a remark stays as it was written
    assert "project's own choice" in text
    (row,) = drydown("list", "--json").json["sessions"]
    assert (row["state"], row["verdict"]) == ("written up", "incomplete")
