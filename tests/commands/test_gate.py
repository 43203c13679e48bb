"""No number of an ungraded region leaves the program: every command, as text and as JSON, before any grade.

What a command prints with readings taken in is held against what it printed without them: a new number that
is a lightness, a*, b*, density or luminance of one of the readings would be a leak.
"""

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from evaluation.colorimetry.density import visual_density
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.colorimetry.media import media_relative
from evaluation.colorimetry.spectra import xyz_from_spectra
from evaluation.readings.detect import read_readings
from evaluation.readings.supplied import Supplied
from evaluation.sheet.load import map_text, read_map

Drydown = Callable[..., Any]
READINGS = Path(__file__).parents[2] / "fixtures" / "readings" / "lustre-fine.txt"
CONDITION = """
[condition]
printer = "Merrowby 24"
paper = "Sallowfell Lustre 247"
made_for = "general"
driver_mode = "through the profile"
intent = "relative colorimetric"
printed_at = 2026-03-02T13:10:00+00:00
"""
WAYS = [
    ("weigh", "1"),
    ("weigh", "1", "--json"),
    ("neutrality", "1"),
    ("neutrality", "1", "--json"),
    ("compare", "1", "2"),
    ("compare", "1", "2", "--json"),
    ("list",),
    ("list", "--json"),
    ("check",),
    ("export", "tables"),
    ("appendix", "1", "2", "-o", "review.md", "--replace", "--data", "--figures", "figures"),
]


def numbers(text: str) -> set[str]:
    """Numbers with a decimal point, without their sign. The milliseconds of a time are no reading."""
    text = re.sub(r"\d\d:\d\d:\d\d\.\d+", "", text)
    return set(re.findall(r"(?<![\w.])\d+\.\d+(?![\w.])", text))


def printed(drydown: Drydown, words: tuple[str, ...], folder: Path) -> set[str]:
    """The numbers that a command printed or wrote; a refusal counts too."""
    ran = drydown(
        *(str(folder / word) if word in ("review.md", "figures", "tables") else word for word in words)
    )
    text = ran.out + ran.err
    for file in folder.rglob("*"):
        if file.name in ("readings.csv", "readings.json"):  # a table: only those of patches of no region
            rows = file.read_text("utf-8").splitlines(keepends=True)
            text += "".join(row for row in rows if not re.search(r"\bT[1-5]\b", row))
        elif file.suffix in (".md", ".csv", ".json"):
            text += file.read_text("utf-8")
        elif file.name.endswith(".txt"):  # exported readings: only those of patches of no region
            rows = file.read_text("utf-8").splitlines(keepends=True)
            text += "".join(row for row in rows if not re.search('"T[1-5]"', row))
    return numbers(text)


@cache
def told_by_readings() -> set[str]:
    """Every way a reading of a region could show: CIELAB absolute and media-relative, density.

    Patches of no region, such as the five of the picture's way, teach the eye nothing and may be shown.
    """
    sheet = read_map(map_text("colour-9"), "colour-9")
    hidden = {patch.id for patch in sheet.patches if patch.region}
    told: set[str] = set()
    for run in read_readings(READINGS, Supplied(printed_as="managed")):
        assert run.wavelengths is not None and run.spectra is not None
        xyz = xyz_from_spectra(run.wavelengths, run.spectra)
        relative = lab_from_xyz(media_relative(xyz, xyz[xyz[:, 1].argmax()]))
        density = visual_density(run.wavelengths, run.spectra)
        rows = [row for row, ref in enumerate(run.patches) if ref.id in hidden]
        absolute = lab_from_xyz(xyz)[rows]
        values = np.concatenate([absolute.ravel(), relative[rows].ravel(), density[rows]])
        # Only what no number of another meaning is likely to be: the spread of repeats is a fact of the file.
        told |= {f"{abs(value):.3f}" for value in values}
        told |= {f"{abs(value):.2f}" for value in values if abs(value) >= 1}
        told |= {f"{value:.1f}" for value in absolute[:, 0] if value > 60}
    return told


@pytest.mark.parametrize(
    "ways", [WAYS, *(pytest.param([way], marks=pytest.mark.long, id=" ".join(way)) for way in WAYS)]
)
def test_no_reading_shows_before_its_region_is_graded(
    drydown: Drydown, tmp_path: Path, ways: list[tuple[str, ...]]
) -> None:
    """All one after the other, and each as the first that is asked."""
    condition = tmp_path / "archive-condition.toml"
    condition.write_text(CONDITION, "utf-8")
    for number in ("1", "2"):
        begun = drydown(
            "new", "--from", condition, "--sheet-code", "YACH-2P57"
        )  # the sheet of these readings
        assert begun.out.strip() == number

    def printed_by_each() -> list[set[str]]:
        return [printed(drydown, words, tmp_path / f"out {place}") for place, words in enumerate(ways)]

    for place in range(len(ways)):
        (tmp_path / f"out {place}").mkdir()
    before = printed_by_each()
    for number in ("1", "2"):
        ran = drydown("read", number, READINGS, "--managed")
        assert ran.code == 0, ran.err
        assert not (numbers(ran.out) - set().union(*before)) & told_by_readings()
    for words, without, now in zip(ways, before, printed_by_each(), strict=True):
        assert (now - without) & told_by_readings() == set(), words


def test_the_check_itself_sees_a_leak(drydown: Drydown, tmp_path: Path) -> None:
    """With --reveal the same numbers do appear, so the test above can fail."""
    condition = tmp_path / "archive-condition.toml"
    condition.write_text(CONDITION, "utf-8")
    drydown("new", "--from", condition)
    drydown("read", "1", READINGS, "--managed")
    (tmp_path / "out").mkdir()
    assert printed(drydown, ("neutrality", "1", "--reveal", "--json"), tmp_path / "out") & told_by_readings()
