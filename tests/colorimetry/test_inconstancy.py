"""Shifts under other lights."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from evaluation.colorimetry.difference import delta_ch, delta_e_76, delta_e_2000
from evaluation.colorimetry.illuminants import illuminants
from evaluation.colorimetry.inconstancy import (
    DEFAULT_LIGHTS,
    STRESS_LIGHTS,
    Reflectances,
    adapted_lab,
    chart_skin_shift,
    differential_shift,
    light_shift,
    paper_shift,
)
from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz
from evaluation.colorimetry.spectra import tristimulus_weights, xyz_from_spectra
from evaluation.published.passport import load_table, read_toml
from tests.cases import some_now

PUBLISHED = Path(__file__).parents[1] / "published"
_, INCONSTANCY = read_toml((PUBLISHED / "inconstancy.toml").read_text(encoding="utf-8"), "inconstancy.toml")
FIVES = np.arange(380.0, 781.0, 5)
TENS = np.arange(380.0, 731.0, 10)
D50 = illuminants()["D50"]
ALL = pytest.mark.parametrize("name", sorted(illuminants()))
LIT = pytest.mark.parametrize("name", sorted(INCONSTANCY["composed_grey"]["shift"]))


def on_white(wavelengths, samples):
    """Samples seen against the perfect diffuser."""
    return Reflectances(wavelengths, np.asarray(samples), np.ones(wavelengths.size))


def bell(peak, width):
    return np.exp(-0.5 * ((FIVES - peak) / width) ** 2)


# Invented papers: a cream one that falls towards blue, and a whitened one that glows around 440 nm.
CREAM = 0.90 - 0.18 / (1 + np.exp((FIVES - 470) / 25))
WHITENED_M2 = np.clip(0.90 - 0.7 * bell(380, 12), 0.05, None)
WHITENED_M1 = WHITENED_M2 + 0.13 * bell(440, 16)


@pytest.mark.parametrize("name", sorted(INCONSTANCY["whites"]))
def test_whites_of_the_illuminants(name):
    """CIE 015:2018 illuminants, sums at 5 nm by numpy."""
    white = xyz_from_spectra(FIVES, np.ones(FIVES.size), illuminants()[name])
    np.testing.assert_allclose(white, INCONSTANCY["whites"][name], atol=0.01)


def adapted_by(colour_science, transform, spectrum, light):
    """CIELAB against the perfect white at 5 nm, adapted by colour-science."""
    weights = tristimulus_weights(FIVES, light)
    return lab_from_xyz(
        colour_science.adaptation.chromatic_adaptation_VonKries(
            spectrum @ weights, weights.sum(axis=0), D50_WHITE, transform=transform
        )
    )


@cache
def chart_patch(colour_science, patch):
    """An ISO 17321-1 reflectance at 5 nm, of "patch 1" to "patch 24"."""
    number = int(patch.removeprefix("patch "))
    published = list(colour_science.SDS_COLOURCHECKERS["ISO 17321-1"].values())[number - 1]
    return np.array([published[nm] for nm in FIVES])


@LIT
@pytest.mark.parametrize("patch", sorted(INCONSTANCY["chart"]))
def test_chart_patches_shift_as_computed_with_cat02(colour_science, name, patch):
    """The path from spectra to a shift, with the transform that the source took."""
    spectrum = chart_patch(colour_science, patch)
    d50, seen = (adapted_by(colour_science, "CAT02", spectrum, light) for light in (D50, illuminants()[name]))
    assert delta_e_2000(d50, seen) == pytest.approx(INCONSTANCY["chart"][patch][name], abs=0.01)


@LIT
@pytest.mark.parametrize("patch", ["patch 21", "patch 22", "patch 23"])
def test_neutral_chart_patches_shift_alike_with_cat16(colour_science, name, patch):
    """For greys the two transforms agree within 0.05; for skins they differ by up to 0.6."""
    measured = on_white(FIVES, chart_patch(colour_science, patch))
    shift = delta_e_2000(adapted_lab(measured, D50), adapted_lab(measured, illuminants()[name]))
    assert shift == pytest.approx(INCONSTANCY["chart"][patch][name], abs=0.05)


@LIT
def test_a_grey_composed_of_three_dyes(name):
    """A flat 20 % reflector matched by three Gaussian dyes; the source took CAT02, alike for greys."""
    example = INCONSTANCY["composed_grey"]
    dyes = zip(example["dye_densities"], example["peaks"], example["sigmas"], strict=True)
    grey = 10.0 ** -sum(density * bell(peak, sigma) for density, peak, sigma in dyes)
    measured = on_white(FIVES, grey)
    seen, d50 = adapted_lab(measured, illuminants()[name]), adapted_lab(measured, D50)
    np.testing.assert_allclose(d50, [51.8372, 0.0, 0.0], atol=0.03)
    de00, dch = example["shift"][name]
    assert delta_e_2000(d50, seen) == pytest.approx(de00, abs=0.04)
    assert delta_ch(d50, seen) == pytest.approx(dch, abs=0.04)
    np.testing.assert_allclose(seen, example["lab"][name], atol=0.1)


@LIT
def test_a_match_that_holds_under_d50_only(name):
    """Special metamerism of that grey and the flat one by change of illuminant (CIE 015:2018)."""
    example, light = INCONSTANCY["composed_grey"], illuminants()[name]
    dyes = zip(example["dye_densities"], example["peaks"], example["sigmas"], strict=True)
    grey = 10.0 ** -sum(density * bell(peak, sigma) for density, peak, sigma in dyes)
    weights = tristimulus_weights(FIVES, light)
    white = np.ones(FIVES.size) @ weights
    composed, flat = (lab_from_xyz(sample @ weights, white) for sample in (grey, np.full(FIVES.size, 0.2)))
    assert delta_e_76(flat, composed) == pytest.approx(example["metamerism"][name], abs=0.04)


@pytest.mark.parametrize("name", some_now(sorted(INCONSTANCY["lamps"]), "LED-B4", "LED-V2"))
def test_lamps_have_the_colour_and_the_rendering_that_are_known_of_them(colour_science, name):
    """x, y of our spectra; their temperature and rendering by colour-science (Ohno 2013, CIE 13.3)."""
    x, y, kelvin, duv, rendering = INCONSTANCY["lamps"][name]
    light = illuminants()[name]
    white = xyz_from_spectra(FIVES, np.ones(FIVES.size), light)
    np.testing.assert_allclose(white[:2] / white.sum(), [x, y], atol=2e-4)
    ucs = colour_science.UCS_to_uv(colour_science.XYZ_to_UCS(white / 100))
    found = colour_science.temperature.uv_to_CCT_Ohno2013(ucs)
    np.testing.assert_allclose(found, [kelvin, duv], rtol=4e-3, atol=3e-4)
    spectrum = colour_science.SpectralDistribution(dict(zip(range(360, 781), light.power, strict=True)))
    assert colour_science.colour_rendering_index(spectrum) == pytest.approx(rendering, abs=0.3)


def test_colour_science_agrees(colour_science):
    """Its CAT16 on the tristimulus values of a random print, paper as white, D50 to A."""
    spectra = np.random.default_rng(9).uniform(0.05, 0.8, (20, FIVES.size))
    light = illuminants()["A"]
    weights = tristimulus_weights(FIVES, light)
    expected = colour_science.adaptation.chromatic_adaptation_VonKries(
        spectra @ weights, CREAM @ weights, D50_WHITE, transform="CAT16"
    )
    seen = adapted_lab(Reflectances(FIVES, spectra, CREAM), light)
    np.testing.assert_allclose(seen, lab_from_xyz(expected), atol=1e-5)


@ALL
@pytest.mark.parametrize("paper", [CREAM, WHITENED_M1, WHITENED_M2], ids=["cream", "M1", "M2"])
def test_a_grey_that_is_a_constant_share_of_its_paper_does_not_shift(name, paper):
    measured = Reflectances(FIVES, np.array([[0.9], [0.2], [0.02]]) * paper, paper)
    assert np.abs(light_shift(measured, measured, illuminants()[name])).max() < 0.01


@ALL
def test_a_flat_grey_on_the_perfect_diffuser_does_not_shift(name):
    measured = on_white(FIVES, np.full((2, FIVES.size), [[0.2], [0.02]]))
    assert np.abs(light_shift(measured, measured, illuminants()[name])).max() < 0.01


def test_a_flat_grey_on_a_paper_that_is_not_flat_does_shift():
    """So a naive check for zero would blame real papers: some 0.4 to 0.8 on cream, 0.3 to 0.9 on whitened."""
    grey = np.full(FIVES.size, 0.2)
    for paper in (CREAM, WHITENED_M1):
        measured = Reflectances(FIVES, grey, paper)
        for name in ("A", "FL11", "LED-RGB1"):
            shift = light_shift(measured, measured, illuminants()[name])
            assert 0.3 < np.hypot(shift[1], shift[2]) < 1.2


def test_an_m1_spectrum_claims_a_glow_that_a_lamp_without_ultraviolet_does_not_cause():
    lamp = illuminants()["LED-B2"]
    m1, m2 = (Reflectances(FIVES, paper, paper) for paper in (WHITENED_M1, WHITENED_M2))
    naive = paper_shift(m1, m1, lamp)
    honest = paper_shift(m1, m2, lamp)
    assert abs(naive[2]) < 1.5
    assert honest[2] > 4  # the paper turns visibly yellower when the ultraviolet is gone


def test_the_two_legs_may_differ_in_their_wavelengths():
    lamp = Reflectances(TENS, np.full(TENS.size, 0.2), np.ones(TENS.size))
    shift = light_shift(on_white(FIVES, np.full(FIVES.size, 0.2)), lamp, illuminants()["A"])
    assert np.abs(shift).max() < 0.01


def test_a_scale_that_shifts_as_one_has_no_differential_shift():
    largest, mean = differential_shift(np.tile([0.1, 1.0, -2.0], (7, 1)))
    assert (largest, mean) == (0.0, 0.0)


def test_the_differential_shift_is_the_largest_and_mean_distance_of_two_steps():
    shifts = np.array([[0.0, 0.0, 0.0], [5.0, 3.0, 0.0], [0.0, 0.0, 4.0]])  # lightness does not count
    largest, mean = differential_shift(shifts)
    assert largest == 5.0
    assert mean == 4.0
    assert differential_shift(np.stack([shifts, shifts]))[0].shape == (2,)


@LIT
def test_the_charts_skins_move_by_themselves(colour_science, name):
    """Against colour-science's CAT16."""
    light = illuminants()[name]
    skins = chart_skin_shift(light)
    assert list(skins) == ["dark skin", "light skin"]
    for patch, shift in zip(("patch 1", "patch 2"), skins.values(), strict=True):
        spectrum = chart_patch(colour_science, patch)
        d50, seen = (adapted_by(colour_science, "CAT16", spectrum, other) for other in (D50, light))
        np.testing.assert_allclose(shift, seen - d50, atol=1e-5)
        assert np.linalg.norm(shift) > 0.4


def test_the_shipped_skin_reflectances_are_the_published_ones(colour_science):
    table = load_table("evaluation.published", "chart-skins.csv")
    published = list(colour_science.SDS_COLOURCHECKERS["ISO 17321-1"].values())
    for name, patch in zip(("dark skin", "light skin"), published[:2], strict=True):
        np.testing.assert_allclose(table.numbers(name), [patch[nm] for nm in table.numbers("nm")], atol=1e-12)


@ALL
def test_no_light_has_power_below_0(name):
    """Interpolation overshoots beside the narrow lines of a lamp."""
    assert illuminants()[name].power.min() >= 0.0


def test_the_named_lights_are_there_and_daylight_has_ultraviolet():
    assert set(DEFAULT_LIGHTS + STRESS_LIGHTS) <= set(illuminants())
    assert [name for name, light in illuminants().items() if light.has_ultraviolet] == ["D50", "D65"]
