"""Facts of a profiling chart: paper, black, the row of equal device values, whitener; one against another."""

import numpy as np
import pytest

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.readings.chart import chart_facts, grey_row
from evaluation.readings.run import Array, Condition, PatchRef, Run, Stated
from evaluation.readings.run_comparison import most_by_chance

NM = np.arange(380.0, 731.0, 10.0)
GREYS = np.linspace(0, 1, 21)
PAPER = np.array([95.0, 0.5, -4.0])


def run_of(device: Array, *, lab: Array | None = None, spectra: Array | None = None, **said: object) -> Run:
    refs = tuple(PatchRef(str(row), f"P{row}", row) for row in range(1, len(device) + 1))
    space = {1: "GREY", 3: "RGB", 4: "CMYK"}[device.shape[1]]
    nm = NM if spectra is not None else None
    return Run(
        refs,
        Stated(**said),  # type: ignore[arg-type]
        printed_as="unmanaged",
        lab=lab,
        spectra=spectra,
        wavelengths=nm,
        device=device,
        device_space=space,
    )


def of_paper(Y: Array) -> Array:
    """CIELAB of greys that are the paper, darkened: their tint is the paper's."""
    return np.asarray(lab_from_xyz(np.asarray(Y)[:, None] * xyz_from_lab(PAPER)))


def rgb(levels: Array) -> Array:
    return np.repeat(levels[:, None], 3, axis=1)


def test_greys_that_are_the_paper_darkened_have_its_tint() -> None:
    found = grey_row(run_of(rgb(GREYS), lab=of_paper(np.linspace(0.005, 1, 21))))
    assert found is not None and found.falls == 0
    np.testing.assert_allclose(found.level, GREYS)
    np.testing.assert_allclose(found.from_paper, 0, atol=1e-9)


def test_how_far_greys_leave_the_tint_of_the_paper_and_where() -> None:
    lab = of_paper(np.linspace(0.005, 1, 21))
    lab[10, 1:] += (3.0, 4.0)
    found = grey_row(run_of(rgb(GREYS), lab=lab))
    assert found is not None
    assert found.from_paper[10] == pytest.approx(5.0) and found.from_paper.argmax() == 10


def test_readings_of_one_step_are_averaged_and_colours_are_no_greys() -> None:
    device = np.vstack([rgb(GREYS), rgb(GREYS), [[1.0, 0.0, 0.0]]])
    light = np.linspace(0.005, 1, 21)
    lab = np.vstack([of_paper(light), of_paper(light), [[50.0, 60.0, 40.0]]])
    lab[:21, 0] += 1.0
    found = grey_row(run_of(device, lab=lab))
    assert found is not None and len(found.level) == 21
    assert found.lab[10, 0] == pytest.approx(of_paper(light)[10, 0] + 0.5, abs=0.05)


def test_a_step_that_is_darker_than_the_one_before_is_counted() -> None:
    lab = of_paper(np.linspace(0.005, 1, 21))
    lab[[12, 13]] = lab[[13, 12]]
    found = grey_row(run_of(rgb(GREYS), lab=lab))
    assert found is not None and found.falls == 1


def test_of_inks_the_row_is_that_of_black_alone() -> None:
    black = np.column_stack((np.zeros((11, 3)), np.linspace(0, 1, 11)))
    device = np.vstack([black, [[1.0, 1.0, 0.0, 0.0]]])
    lab = np.column_stack((np.append(np.linspace(95, 15, 11), 30.0), np.zeros((12, 2))))
    found = grey_row(run_of(device, lab=lab))
    assert found is not None and len(found.level) == 11
    assert (found.lab[0, 0], found.lab[-1, 0]) == (pytest.approx(15), pytest.approx(95))


def test_two_greys_are_no_row() -> None:
    lab = np.array([[95.0, 0, 0], [5.0, 0, 0]])
    assert grey_row(run_of(rgb(np.array([1.0, 0.0])), lab=lab)) is None


def chart(condition: Condition, glow: float = 0.0) -> Run:
    """Paper three times, black three times, some greys; the paper glows at 440 nm."""
    device = rgb(np.array([1, 1, 1, 0, 0, 0, 0.25, 0.5, 0.75], float))
    level = np.array([0.9, 0.9, 0.9, 0.0049, 0.005, 0.0051, 0.1, 0.3, 0.6])
    spectra = np.repeat(level[:, None], len(NM), axis=1)
    spectra[:3, NM == 440] += glow
    return run_of(device, spectra=spectra, condition=condition, backing="white")


def test_facts_of_a_chart_under_two_conditions() -> None:
    found = chart_facts([chart("M2"), chart("M1", glow=0.12)])
    assert (found.run.stated.condition, found.conditions) == ("M1", ("M2", "M1"))
    assert found.patches == 5
    assert found.depth.d_max == pytest.approx(-np.log10(0.005), abs=1e-3)
    assert found.depth.d_min is not None and found.depth.darkest_is_black
    assert found.black is not None and abs(found.black[1]) < 0.1
    assert found.whitener is not None and found.whitener.db > 1
    assert (found.whitener.glow, found.whitener.glow_at) == (pytest.approx(0.12), 440)
    assert found.repeats.patches == 2


def test_flatness_is_that_of_the_black_without_ultraviolet() -> None:
    found = chart_facts([chart("M1"), chart("M2")]).flatness
    assert found is not None and found.readings == 3 and found.value < 1e-6


def test_without_a_second_condition_nothing_is_said_of_whitener() -> None:
    assert chart_facts([chart("M1")]).whitener is None


def test_m0_stands_in_where_m1_is_missing_and_is_named() -> None:
    """ISO 13655: both excite whitener, M0 as its lamp happens to; M2 cuts ultraviolet out."""
    found = chart_facts([chart("M2"), chart("M0", glow=0.08)])
    assert found.lit_by == "M0" and found.whitener is not None
    assert found.whitener.glow == pytest.approx(0.08)
    every = chart_facts([chart("M2"), chart("M0", glow=0.08), chart("M1", glow=0.12)])
    assert every.lit_by == "M1" and every.whitener is not None
    assert every.whitener.glow == pytest.approx(0.12)


@pytest.mark.parametrize(("patches", "most"), [(1, 0), (20, 3), (100, 9), (1000, 62), (3000, 170)])
def test_how_many_lie_above_their_limit_by_chance(patches: int, most: int) -> None:
    """95th percentile of a binomial distribution with 5 in 100, from its tables and by draws."""
    assert most_by_chance(patches) == most
    drawn = np.random.default_rng(4).binomial(patches, 0.05, 40_000)
    assert (drawn <= most).mean() >= 0.945
