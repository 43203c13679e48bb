"""Bradford and CAT16 against two libraries."""

import numpy as np
import pytest
from coloraide.cat import CAT16, Bradford

from evaluation.colorimetry.adaptation import bradford, cat16
from evaluation.colorimetry.lab import D50_WHITE

A_WHITE = np.array([109.849, 100.0, 35.582])
XYZ = np.random.default_rng(1).uniform(1, 90, (60, 3))
BOTH = pytest.mark.parametrize(
    ("ours", "theirs", "coloraide"), [(bradford, "Bradford", Bradford), (cat16, "CAT16", CAT16)]
)


@BOTH
def test_the_white_goes_to_the_white_and_back(ours, theirs, coloraide):
    np.testing.assert_allclose(ours(A_WHITE, A_WHITE, D50_WHITE), D50_WHITE, atol=1e-10)
    np.testing.assert_allclose(ours(ours(XYZ, A_WHITE, D50_WHITE), D50_WHITE, A_WHITE), XYZ, atol=1e-10)


@BOTH
def test_colour_science_agrees(colour_science, ours, theirs, coloraide):
    expected = colour_science.adaptation.chromatic_adaptation_VonKries(
        XYZ, A_WHITE, D50_WHITE, transform=theirs
    )
    np.testing.assert_allclose(ours(XYZ, A_WHITE, D50_WHITE), expected, atol=1e-6)


@BOTH
def test_coloraide_agrees(ours, theirs, coloraide):
    """It takes whites as chromaticities."""
    whites = [tuple(white[:2] / white.sum()) for white in (A_WHITE, D50_WHITE)]
    for xyz in XYZ[:10]:
        expected = 100 * np.array(coloraide().adapt(*whites, list(map(float, xyz / 100))))
        np.testing.assert_allclose(ours(xyz, A_WHITE, D50_WHITE), expected, atol=1e-4)


def test_each_draw_may_have_its_own_white():
    whites = A_WHITE * np.linspace(0.9, 1, 4)[:, None, None]
    adapted = cat16(np.ones((4, 5, 3)), whites, D50_WHITE)
    assert adapted.shape == (4, 5, 3)
    np.testing.assert_allclose(adapted[2, 1], cat16([1.0, 1.0, 1.0], whites[2, 0], D50_WHITE))
