"""Whiteness and tint of paper."""

import numpy as np
import pytest

from evaluation.colorimetry.illuminants import illuminants
from evaluation.colorimetry.weights import weights
from evaluation.colorimetry.whiteness import whiteness
from evaluation.errors import FileProblem

TENS = np.arange(380.0, 731.0, 10)
FIVES = np.arange(380.0, 781.0, 5)
PAPERS = ((0.0, 0.0), (0.1, 0.0), (0.0, 0.6), (0.05, 1.0))
GLOW = np.exp(-0.5 * ((FIVES - 440) / 16) ** 2)


def test_the_perfect_diffuser_is_100_without_a_tint():
    """By definition of CIE 015 and ISO 11475."""
    found = whiteness(TENS, np.ones(TENS.size))
    assert (found.whiteness, found.tint) == (pytest.approx(100, abs=1e-9), pytest.approx(0, abs=1e-9))
    assert found.is_white


@pytest.mark.parametrize("glow", [0.0, 0.05, 0.13])
def test_it_is_the_formula_of_cie_015(colour_science, glow):
    """W10 = Y + 800 (xn - x) + 1700 (yn - y), T10 = 900 (xn - x) - 650 (yn - y); 5 nm sums by numpy,
    xn 0.3138, yn 0.3310 as ISO 11475 prints them."""
    paper = 0.88 + 0.02 * (FIVES - 380) / 400 + glow * GLOW
    matching = colour_science.MSDS_CMFS["CIE 1964 10 Degree Standard Observer"]
    products = illuminants()["D65"].power[20::5, None] * np.array([matching[nm] for nm in FIVES])
    X, Y, Z = paper @ products * (100 / products[:, 1].sum())
    x, y = X / (X + Y + Z), Y / (X + Y + Z)
    found = whiteness(FIVES, paper)
    assert found.whiteness == pytest.approx(Y + 800 * (0.3138 - x) + 1700 * (0.3310 - y), abs=0.1)
    assert found.tint == pytest.approx(900 * (0.3138 - x) - 650 * (0.3310 - y), abs=0.1)


def test_it_is_what_the_library_gives(colour_science):
    """colour.colorimetry.whiteness_CIE2004 of colour-science 0.4.7, 10 degree observer, of the same XYZ."""
    observer = "CIE 1964 10 Degree Standard Observer"
    matching = np.array([colour_science.MSDS_CMFS[observer][nm] for nm in range(360, 781)])
    products = illuminants()["D65"].power[:, None] * matching
    table = weights(products * (100 / products[:, 1].sum()), FIVES)
    papers = np.array([0.9 + glow * GLOW - 0.1 * (FIVES < 470) * cream for glow, cream in PAPERS])
    xyz, white = papers @ table, table.sum(axis=0)
    theirs = colour_science.colorimetry.whiteness_CIE2004(
        xyz[:, :2] / xyz.sum(axis=1, keepdims=True), xyz[:, 1], white[:2] / white.sum(), observer
    )
    found = whiteness(FIVES, papers)
    np.testing.assert_allclose(np.column_stack([found.whiteness, found.tint]), theirs, atol=1e-9)


def test_whitener_makes_it_whiter_and_cream_is_below_100():
    papers = np.array(
        [0.90 - 0.18 / (1 + np.exp((FIVES - 470) / 25)), np.full(FIVES.size, 0.9), 0.9 + 0.13 * GLOW]
    )
    found = whiteness(FIVES, papers)
    assert found.whiteness.shape == (3,)
    assert found.whiteness[0] < 70 < found.whiteness[1] < 100 < found.whiteness[2]


def test_what_is_no_white_is_said():
    """CIE 015: W10 above 40 and below 5 Y10 - 280, T10 above -4 and below 2."""
    blue = np.where(FIVES < 480, 0.8, 0.2)
    green = 0.85 + 0.13 * np.exp(-0.5 * ((FIVES - 530) / 20) ** 2)
    grey = np.full(FIVES.size, 0.3)
    glowing_grey = 0.7 + 0.1 * GLOW  # W10 of 80, which a paper of Y 70 cannot have and be white
    assert not whiteness(FIVES, np.array([blue, green, grey, glowing_grey])).is_white.any()


def test_wavelengths_that_cannot_carry_a_colour_are_refused():
    with pytest.raises(FileProblem):
        whiteness(np.arange(450.0, 700.0, 10), np.ones(25))
