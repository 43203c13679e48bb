"""Spectra to XYZ: the weights of ASTM E2022, other grids, what is refused."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from evaluation.colorimetry.illuminants import illuminants
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.colorimetry.spectra import tristimulus_weights, xyz_from_spectra
from evaluation.colorimetry.weights import observer
from evaluation.errors import FileProblem
from evaluation.published.passport import load_table, read_table

CHART = Path(__file__).parents[1] / "published" / "chart-reflectances.csv"
TENS = np.arange(380.0, 731.0, 10)


@pytest.fixture(scope="module")
def chart():
    """24 reflectances of ISO 17321-1 with what two libraries make of them."""
    return read_table(CHART.read_text(encoding="utf-8"), CHART.name)


def columns(table, *names):
    return np.column_stack([np.array(table.numbers(name)) for name in names])


def reflectances(chart):
    return columns(chart, *(f"R{nm:.0f}" for nm in TENS))


def fine_chart(colour_science):
    """The same 24 patches at 5 nm, 380 to 780 nm."""
    patches = colour_science.SDS_COLOURCHECKERS["ISO 17321-1"]
    at = np.arange(380.0, 781.0, 5)
    return at, np.array([[patch[nm] for nm in at] for patch in patches.values()])


@pytest.mark.parametrize("step", [10, 20])
def test_weights_are_those_of_astm_e2022(colour_science, step):
    """Recomputed by colour-science with the same light at 1 nm, and from its own data for D50."""
    shape = colour_science.SpectralShape(360, 780, 1)
    matching = colour_science.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
    for name in ("D50", "A", "FL11"):
        light = colour_science.SpectralDistribution(dict(enumerate(illuminants()[name].power, 360)))
        expected = colour_science.colorimetry.tristimulus_weighting_factors_ASTME2022(
            matching, light, colour_science.SpectralShape(360, 780, step)
        )
        grid = np.arange(360.0, 781.0, step)
        np.testing.assert_allclose(tristimulus_weights(grid, illuminants()[name]), expected, atol=1e-9)
    d50 = colour_science.SDS_ILLUMINANTS["D50"].copy().align(shape)
    np.testing.assert_allclose(illuminants()["D50"].power, d50.values, atol=1e-9)


def test_the_10_nm_table_for_d50():
    """Band by band against a kept table, to its 4 decimals."""
    name = "weights-d50-10nm.csv"
    table = read_table((CHART.parent / name).read_text(encoding="utf-8"), name)
    found = tristimulus_weights(np.array(table.numbers("nm")))
    np.testing.assert_allclose(found, columns(table, "WX", "WY", "WZ"), atol=5.1e-5)


@given(
    st.floats(360, 400),
    st.lists(st.floats(0.5, 20), min_size=30, max_size=600),
    st.floats(0.001, 1.2),
)
def test_an_even_grey_is_its_share_of_white_on_any_grid(start, steps, reflectance):
    grid = start + np.cumsum([0.0, *steps])
    assume(grid[-1] >= 680)
    white = tristimulus_weights(np.arange(360.0, 781.0)).sum(axis=0)
    found = xyz_from_spectra(grid, np.full(grid.size, reflectance))
    np.testing.assert_allclose(found, reflectance * white, rtol=1e-9)


def test_weights_sum_to_the_white_of_d50():
    """colour-science gives 96.424, 100.000, 82.513; the printed table is said to give 96.421, 99.997, 82.524
    (MEMORY)."""
    sums = tristimulus_weights(np.arange(360.0, 781.0, 10)).sum(axis=0)
    np.testing.assert_allclose(sums, [96.424, 100.0, 82.513], atol=0.0006)


def test_unused_outer_weights_go_to_the_first_and_last_band():
    """ASTM E308, 7.3."""
    full = tristimulus_weights(np.arange(360.0, 781.0, 10))
    short = tristimulus_weights(np.arange(400.0, 701.0, 10))
    np.testing.assert_allclose(short[0], full[:5].sum(axis=0), atol=1e-12)
    np.testing.assert_allclose(short[-1], full[34:].sum(axis=0), atol=1e-12)
    np.testing.assert_allclose(short[1:-1], full[5:34], atol=1e-12)


def test_chart_lab_within_0_02_of_colour_science(chart):
    lab = lab_from_xyz(xyz_from_spectra(TENS, reflectances(chart)))
    np.testing.assert_allclose(lab, columns(chart, "L", "a", "b"), atol=0.02)
    np.testing.assert_allclose(
        xyz_from_spectra(TENS, reflectances(chart)), columns(chart, "X", "Y", "Z"), atol=0.002
    )


def test_chart_lab_within_0_03_of_luxpy(chart):
    """luxpy 1.12.5 interpolates to 1 nm and sums there: another way to the same colour."""
    lab = lab_from_xyz(xyz_from_spectra(TENS, reflectances(chart)))
    assert np.abs(lab - columns(chart, "L_luxpy", "a_luxpy", "b_luxpy")).max() < 0.03


def test_400_to_700_nm_alone_is_enough(chart):
    inner = (TENS >= 400) & (TENS <= 700)
    xyz = xyz_from_spectra(TENS[inner], reflectances(chart)[:, inner])
    np.testing.assert_allclose(xyz, columns(chart, "X_400_700", "Y_400_700", "Z_400_700"), atol=0.002)


@pytest.mark.parametrize(
    ("grid", "within"),
    [
        (np.arange(380.0, 731.0, 5), 0.1),
        pytest.param(np.arange(380.0, 731.0, 1), 0.1, marks=pytest.mark.long),
        pytest.param(np.arange(380.0, 731.0, 10 / 3), 0.1, marks=pytest.mark.long),
        pytest.param(np.round(np.arange(380.0, 731.0, 10 / 3), 2), 0.1, marks=pytest.mark.long),
        (np.sort(np.r_[np.arange(380.0, 731.0, 10), 383.0, 517.5, 644.0]), 0.15),
        (np.arange(380.0, 741.0, 20), 1.0),
    ],
    ids=["5 nm", "1 nm", "3.33 nm", "3.33 nm rounded", "uneven", "20 nm"],
)
def test_other_grids_give_the_same_colour(colour_science, grid, within):
    """The 5 nm chart, cut to each grid by straight lines, against its 5 nm values integrated at 1 nm."""
    at, fine = fine_chart(colour_science)
    every_nm = np.arange(380.0, 781.0)
    truth = np.array([np.interp(every_nm, at, patch) for patch in fine])
    cut = np.array([np.interp(grid, at, patch) for patch in fine])
    found = lab_from_xyz(xyz_from_spectra(grid, cut))
    assert np.abs(found - lab_from_xyz(xyz_from_spectra(every_nm, truth))).max() < within


def test_a_plain_sum_would_not_do(chart):
    """The 0.02 above can tell weights from a naive sum at 10 nm, which is off by 0.09 at worst."""
    inside = np.isin(np.arange(360, 781), TENS)
    products = illuminants()["D50"].power[inside, None] * observer()[inside]
    naive = reflectances(chart) @ products * (100 / products[:, 1].sum())
    assert np.abs(lab_from_xyz(naive) - columns(chart, "L", "a", "b")).max() > 0.05


def test_leading_axes_are_kept_and_a_nan_stays_in_its_row():
    spectra = np.full((2, 3, 31), 0.5)
    spectra[1, 2, 7] = np.nan
    xyz = xyz_from_spectra(np.arange(400.0, 701.0, 10), spectra)
    assert xyz.shape == (2, 3, 3)
    assert np.isnan(xyz[1, 2]).all()
    np.testing.assert_allclose(xyz[0, 0, 1], 50.0)


@pytest.mark.parametrize(
    ("wavelengths", "says"),
    [
        (np.arange(420.0, 701.0, 10), "420 to 700 nm"),
        (np.arange(400.0, 671.0, 10), "400 to 670 nm"),
        (np.arange(400.0, 701.0, 25), "a gap of 25 nm"),
        (np.r_[np.arange(400.0, 501, 10), np.arange(540.0, 701.0, 10)], "a gap of 40 nm"),
        (np.arange(700.0, 399.0, -10), "that do not"),
        (np.array([400.0, 700.0]), "2 bands that do not"),
        (np.array(550.0), "1 bands that do not"),
    ],
)
def test_what_cannot_carry_a_colour_is_refused_in_one_sentence(wavelengths, says):
    with pytest.raises(FileProblem, match=says):
        tristimulus_weights(wavelengths)


def test_the_shipped_observer_and_illuminants_are_the_published_ones(colour_science):
    """Every value, against colour-science's copies of CIE 018:2019 and CIE 015:2018."""
    matching = colour_science.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    np.testing.assert_allclose(observer(), [matching[float(nm)] for nm in range(360, 781)], atol=1e-12)
    table = load_table("evaluation.published", "illuminants.csv")
    for name in table.columns[1:]:
        published = colour_science.SDS_ILLUMINANTS[name]
        for nm, value in zip(table.numbers("nm"), table.numbers(name), strict=True):
            inside = published.shape.start <= nm <= published.shape.end
            assert value == pytest.approx(published[nm] if inside else np.nan, abs=1e-9, nan_ok=True)
