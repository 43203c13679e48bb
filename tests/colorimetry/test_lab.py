"""CIELAB and back."""

import numpy as np
import pytest
from coloraide import Color
from hypothesis import given
from hypothesis import strategies as st

from evaluation.colorimetry.lab import D50_WHITE, chroma, hue, lab_from_xyz, luminance_slope, xyz_from_lab


def test_white_is_100_0_0_and_black_is_0_0_0():
    np.testing.assert_allclose(lab_from_xyz(D50_WHITE), [100, 0, 0], atol=1e-12)
    np.testing.assert_allclose(lab_from_xyz([0.0, 0.0, 0.0]), [0, 0, 0], atol=1e-12)


def test_colour_science_agrees_dark_colours_included(colour_science):
    xyz = np.random.default_rng(3).uniform(0, 1, (400, 1)) ** 4 * np.random.default_rng(4).uniform(
        0, 100, (400, 3)
    )
    with colour_science.utilities.domain_range_scale("reference"):
        white = colour_science.XYZ_to_xy(D50_WHITE / 100)
        expected = colour_science.XYZ_to_Lab(xyz / 100, white)
    np.testing.assert_allclose(lab_from_xyz(xyz), expected, atol=1e-9)


def test_coloraide_agrees():
    """A second opinion, with the D50 of coloraide, which differs in the third decimal."""
    white = 100 * np.array(Color("lab", [100.0, 0.0, 0.0]).convert("xyz-d50").coords())
    for lab in np.random.default_rng(5).uniform((2, -60, -60), (98, 60, 60), (30, 3)):
        xyz = 100 * np.array(Color("lab", list(map(float, lab))).convert("xyz-d50").coords())
        np.testing.assert_allclose(lab_from_xyz(xyz, white), lab, atol=1e-6)


@given(st.tuples(st.floats(0, 110), st.floats(-120, 120), st.floats(-120, 120)))
def test_back_again(lab):
    np.testing.assert_allclose(lab_from_xyz(xyz_from_lab(lab)), lab, atol=1e-9)


def test_hue_runs_from_0_to_360_and_chroma_is_the_radius():
    lab = np.array([[50.0, 1.0, 0.0], [50.0, 0.0, 1.0], [50.0, -1.0, 0.0], [50.0, 0.0, -1.0], [50, 3.0, 4.0]])
    np.testing.assert_allclose(hue(lab[:4]), [0, 90, 180, 270])
    assert chroma(lab[4]) == 5.0
    assert hue([50.0, 1.0, -1e-17]) < 360


def test_grey_has_hue_0_not_nan():
    assert hue([50.0, 0.0, 0.0]) == 0.0


def test_shapes_are_kept():
    assert lab_from_xyz(np.ones((2, 5, 3))).shape == (2, 5, 3)
    assert chroma(np.ones((2, 5, 3))).shape == (2, 5)
    with pytest.raises(ValueError, match="read-only"):
        D50_WHITE[0] = 1


def test_luminance_slope_is_the_derivative_of_the_inverse() -> None:
    """ISO/CIE 11664-4: against differences of `xyz_from_lab` itself, in the straight part and above it."""
    L = np.array([0.0, 4.0, 7.9, 8.1, 20.0, 50.0, 95.0])
    step = np.array([1e-4, 0.0, 0.0])
    lab = np.column_stack((L, np.zeros((len(L), 2))))
    rise = (xyz_from_lab(lab + step) - xyz_from_lab(lab - step))[:, 1] / 2e-4 / 100
    np.testing.assert_allclose(luminance_slope(L), rise, rtol=1e-6)
