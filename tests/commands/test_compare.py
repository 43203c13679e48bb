"""`drydown compare`: text, JSON, CSV and a picture."""

import csv
import io
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any, get_args

import pytest

from evaluation.judgement.two_prints import Word
from evaluation.plain_text import DIFFERENCES

Drydown = Callable[..., Any]


@pytest.fixture
def archive(compared_archive: Path, tmp_path: Path, drydown: Drydown) -> Path:
    """The archive in use, its colour prints compared."""
    return Path(shutil.copy(compared_archive, tmp_path / "archive.db"))


def test_a_row_a_region_a_column_a_print_and_words(archive: Path, drydown: Drydown) -> None:
    ran = drydown("compare", 1, 6, 4)
    assert ran.code == 0 and ran.err == ""
    heads, first = ran.out.splitlines()[:2]
    assert heads.split() == ["region", "1,", "base", "6", "4"]
    assert first.startswith("Neutral greyscale")
    assert "Compared: Sallowfell Lustre 247, quality fine (session 1)" in ran.out
    assert "Spread from sheet to sheet not known" in ran.out


def test_a_range_has_one_digit_more_than_the_densities_it_is_between(archive: Path, drydown: Drydown) -> None:
    """So that figures which do not subtract, as 2.57 less 0.06 to 2.52, are none that look wrong."""
    told = drydown("compare", 1, 6, 4).out
    rows = re.findall(r"^ +\d +(\d\.\d\d) +(\d\.\d\d) +(\d\.\d\d\d) ", told, re.MULTILINE)
    assert len(rows) == 3
    for most, least, between in rows:
        assert float(between) == pytest.approx(float(most) - float(least), abs=0.0105)
    assert DIFFERENCES in told


def test_json_has_the_promised_keys(archive: Path, drydown: Drydown) -> None:
    found = drydown("compare", 1, 4, "--base", 4, "--for", "portrait", "--json").json
    assert (found["sessions"], found["base"], found["use"]) == ([1, 4], 4, "portrait")
    for region in found["regions"]:
        assert region["values"].keys() == {"1", "4"}
        (one,) = region["differences"]
        assert one.keys() >= {"a", "b", "difference", "exceeds_repeatability", "word"}
        assert (one["a"], one["b"]) == (4, 1)
        assert one["word"] in get_args(Word)


def test_csv_has_a_line_for_each_region_of_each_session(archive: Path, drydown: Drydown) -> None:
    rows = list(csv.DictReader(io.StringIO(drydown("compare", 1, 4, "--csv").out)))
    assert {row["session"] for row in rows} == {"1", "4"}
    assert all(row["word"] == "base" for row in rows if row["session"] == "1")


@pytest.mark.long
def test_a_picture_of_one_region(archive: Path, drydown: Drydown, tmp_path: Path) -> None:
    out = tmp_path / "hues.svg"
    words = ("compare", 1, 4, "--plot", out, "--region", "saturation", "--curve", "hue")
    ran = drydown(*words)
    assert ran.code == 0 and f"Written: {out}" in ran.out
    assert out.read_text("utf-8").startswith("<?xml")
    again = drydown(*words)
    assert again.code == 2 and "Expected: a new file." in again.err
    assert drydown(*words, "--replace").code == 0


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("1",), "Expected: 2 to 30 different sessions. Found: 1."),
        (("1", "99"), "No session goes by 99"),
        (("1", "4", "--base", "5"), "Expected: a base among the sessions compared (1, 4). Found: 5."),
        (("1", "4", "--plot", "x.png"), "Expected: a file ending in .svg. Found: .png."),
        (("1", "4", "--plot", "{tmp}/x.svg", "--region", "hands"), "Found: “hands”"),
        (("1", "4", "--plot", "{tmp}/x.svg", "--curve", "hands"), "Found: hands"),
    ],
)
def test_what_cannot_be_compared_or_drawn_is_one_sentence(
    archive: Path, drydown: Drydown, tmp_path: Path, words: tuple[str, ...], sentence: str
) -> None:
    ran = drydown("compare", *(word.format(tmp=tmp_path) for word in words))
    assert ran.code == 2
    assert sentence in ran.err
    assert "Traceback" not in ran.err and not (tmp_path / "x.svg").exists()


def test_a_reason_that_regions_share_is_said_once(archive: Path, drydown: Drydown) -> None:
    lines = drydown("compare", 1, 2).out.splitlines()
    (against,) = [line for line in lines if line.startswith("2  ")]
    assert against == "2  Sallowfell Baryta 322: every region not comparable (another sheet)"


@pytest.mark.long
def test_what_skins_move_under_other_lights_stands_among_the_facts(archive: Path, drydown: Drydown) -> None:
    prints = {one["id"]: one for one in drydown("compare", 1, 4, 2, "--json").json["prints"]}
    assert prints[2]["skins"] is prints[2]["skins_spread"] is None, (
        "the sheet for black and white has no skins"
    )
    told = drydown("compare", 1, 4, 2).out
    for number in (1, 4):
        value, spread = prints[number]["skins"], prints[number]["skins_spread"]
        assert value > 0 and spread > 0
        shown, error = re.search(rf"^ *{number} .* (\d+\.\d+) ± (\d+\.\d+) ", told, re.MULTILINE).groups()  # type: ignore[union-attr]
        assert abs(float(shown) - value) < 0.006 and len(shown) == len(error)
