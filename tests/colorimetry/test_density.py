"""Visual density, and what glare leaves of it."""

from pathlib import Path

import numpy as np
import pytest

from evaluation.colorimetry.density import (
    density_from_y,
    effective_density,
    visual_density,
    visual_weights,
    y_from_density,
)
from evaluation.colorimetry.illuminants import illuminants
from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz
from evaluation.colorimetry.weights import observer
from evaluation.errors import FileProblem
from evaluation.published.passport import read_table

PUBLISHED = Path(__file__).parents[1] / "published"
TENS = np.arange(380.0, 731.0, 10)


def table(name):
    return read_table((PUBLISHED / name).read_text(encoding="utf-8"), name)


def test_lightness_of_known_densities():
    """ISO 5-1 with ISO/CIE 11664-4: D 2.64 is L* 2.07, D 2.0 is 8.99."""
    lightness = lab_from_xyz(D50_WHITE * y_from_density([[2.64], [2.0]]) / 100)[:, 0]
    np.testing.assert_allclose(lightness, [2.07, 8.99], atol=0.005)


def test_density_luminance_and_lightness_belong_together():
    known = table("density-of-lightness.csv")
    density, lightness, y = (np.array(known.numbers(name)) for name in ("density", "L", "Y"))
    np.testing.assert_allclose(density_from_y(y), density, atol=2e-4)
    np.testing.assert_allclose(y_from_density(density), y, rtol=2e-4)
    np.testing.assert_allclose(lab_from_xyz(D50_WHITE * y[:, None] / 100)[:, 0], lightness, atol=2e-4)


def test_chart_patches_have_their_visual_density():
    """24 patches of ISO 17321-1 against 1 nm sums of illuminant A times V(lambda)."""
    chart, expected = table("chart-reflectances.csv"), table("visual-density.csv")
    spectra = np.column_stack([np.array(chart.numbers(f"R{nm:.0f}")) for nm in TENS])
    assert chart.column("patch") == expected.column("patch")
    np.testing.assert_allclose(visual_density(TENS, spectra), expected.numbers("visual"), atol=0.001)


def test_the_products_are_the_iso_visual_ones():
    """Within 0.21 of 100 of the table that the library colormath holds."""
    known = table("visual-products.csv")
    nm = np.array(known.numbers("nm"), int)
    products = illuminants()["A"].power * observer()[:, 1]
    scaled = 100 * products[nm - 360] / products[570 - 360]
    assert np.abs(scaled - known.numbers("product")).max() <= 0.215


def test_d50_would_be_wrong_for_colours_and_right_for_greys():
    """Up to 0.11 for red: the reason why density has weights of its own."""
    expected = table("visual-density.csv")
    apart = np.array(expected.numbers("visual")) - np.array(expected.numbers("from_y"))
    by_patch = dict(zip(expected.column("patch"), apart, strict=True))
    assert abs(by_patch["patch 15"]) > 0.1
    assert abs(by_patch["patch 22"]) < 0.002


def test_weights_sum_to_1_on_any_grid():
    for grid in (TENS, np.arange(400.0, 701.0, 20), np.arange(380.0, 731.0, 10 / 3)):
        assert visual_weights(tuple(grid)).sum() == pytest.approx(1.0, abs=1e-12)


def test_a_reading_at_or_below_zero_has_an_infinite_density():
    dark = np.array([[0.0] * 36, [-0.0001] * 36])
    np.testing.assert_array_equal(visual_density(TENS, dark), [np.inf, np.inf])
    assert density_from_y(0.0) == np.inf


def test_spectra_that_are_too_short_are_refused():
    with pytest.raises(FileProblem, match="400 to 660 nm"):
        visual_density(np.arange(400.0, 661.0, 10), np.ones(27))


def test_flare_takes_density():
    """A veil as a share of white on print and white alike: at 1 % a black of D 2.6 is seen as D 1.9."""
    known = table("viewing-flare.csv")
    columns = ("density", "flare", "seen_density", "seen_L")
    for density, flare, seen, lightness in zip(*map(known.numbers, columns), strict=True):
        found = effective_density(density, flare)
        assert found == pytest.approx(seen, abs=0.0006)
        assert lab_from_xyz(D50_WHITE * y_from_density(found) / 100)[0] == pytest.approx(lightness, abs=0.01)
