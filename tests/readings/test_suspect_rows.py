"""Swapped, shifted and misread rows are pointed out by name; a sound print gives no false alarm."""

from pathlib import Path

import numpy as np
import pytest

from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.readings.colours import colours
from evaluation.readings.detect import read_readings
from evaluation.readings.run import Array, PatchRef, Run, Stated
from evaluation.readings.suspect_rows import suspect_rows

DEMO = Path(__file__).parents[2] / "fixtures" / "readings"


def printed_and_lab(count: int = 120, seed: int = 0, noise: float = 0.3) -> tuple[Array, Array]:
    """A smooth printer: the values printed and CIELAB that squeezes dark and saturated colours."""
    draw = np.random.default_rng(seed)
    rgb = draw.uniform(size=(count, 3))
    light = rgb**2.2
    mix = np.array([[0.44, 0.39, 0.14], [0.22, 0.72, 0.06], [0.01, 0.1, 0.71]])
    xyz = 100 * (0.006 + 0.85 * light @ mix.T)
    lab = lab_from_xyz(xyz)
    lab[:, 1:] *= 45 / (45 + 0.35 * np.linalg.norm(lab[:, 1:], axis=1))[:, None]
    return rgb, lab + draw.standard_normal((count, 3)) * noise


def run_of(lab: Array, rgb: Array) -> Run:
    refs = tuple(PatchRef(str(row), f"P{row}", row + 1) for row in range(len(lab)))
    return Run(refs, Stated(), lab=lab, device=rgb, device_space="RGB")


@pytest.mark.parametrize("count", [20, 40, 120, 400])
@pytest.mark.parametrize("seed", range(12))
def test_a_sound_print_has_no_odd_rows(count: int, seed: int) -> None:
    rgb, lab = printed_and_lab(count, seed)
    assert suspect_rows(run_of(lab, rgb), lab, rgb) == ()


def test_two_swapped_rows_are_named() -> None:
    rgb, lab = printed_and_lab()
    # Two rows of clearly different colours.
    one, other = int(lab[:, 0].argmin()), int(lab[:, 0].argmax())
    lab[[one, other]] = lab[[other, one]]
    (found,) = suspect_rows(run_of(lab, rgb), lab, rgb)
    assert found.kind == "swapped" and set(found.rows) == {one, other}
    assert found.sentence == f"P{min(one, other)} and P{max(one, other)} look swapped"


def test_a_misread_row_is_named() -> None:
    rgb, lab = printed_and_lab()
    lab[17] = (95, 0, 0) if lab[17, 0] < 50 else (5, 0, 0)
    (found,) = suspect_rows(run_of(lab, rgb), lab, rgb)
    assert (found.kind, found.rows) == ("misread", (17,))


@pytest.mark.parametrize("shift", [1, -1])
def test_a_strip_read_one_patch_off_looks_shifted(shift: int) -> None:
    rgb, lab = printed_and_lab(200)
    read = lab.copy()
    read[40:60] = lab[40 + shift : 60 + shift]
    found = [odd for odd in suspect_rows(run_of(read, rgb), read, rgb) if odd.kind == "shifted"]
    assert found and set(range(42, 58)) <= {*range(found[0].rows[0], found[-1].rows[-1] + 1)}
    assert ("after" if shift > 0 else "before") in found[0].sentence


def test_too_few_rows_say_nothing() -> None:
    rgb, lab = printed_and_lab(8)
    lab[2] = (50, 50, 50)
    assert suspect_rows(run_of(lab, rgb), lab, rgb) == ()


@pytest.mark.parametrize("path", sorted(DEMO.glob("*.txt")), ids=lambda path: path.stem)
def test_sheets_of_the_demo_are_sound_but_for_the_exchange_its_story_tells(path: Path) -> None:
    """A spectral printer model, sheets of many greys and few strong colours: the hard case for a curve."""
    told = set()
    for run in read_readings(path):
        if len(run) > 100:
            told |= {odd.sentence for odd in suspect_rows(run, colours(run).lab_d50, run.device)}
    assert told == ({"red 5 and green 5 look swapped"} if path.stem == "lustre-finest-strip" else set())
