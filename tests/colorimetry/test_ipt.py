"""IPT and its hue."""

import numpy as np
import pytest
from coloraide import Color
from coloraide.spaces.ipt import IPT

from evaluation.colorimetry.adaptation import bradford
from evaluation.colorimetry.encodings import xyz_from_rgb
from evaluation.colorimetry.ipt import ipt_from_lab, ipt_hue, lab_from_ipt
from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz, xyz_from_lab

LAB = np.random.default_rng(6).uniform((5, -60, -60), (95, 60, 60), (100, 3))


def apart(one, other):
    """Degrees between two hues, the short way."""
    return np.abs((one - other + 180) % 360 - 180)


def test_neutrals_are_neutral():
    grey = np.column_stack([np.linspace(0, 100, 21), np.zeros((21, 2))])
    ipt = ipt_from_lab(grey)
    np.testing.assert_allclose(ipt[:, 1:], 0.0, atol=1e-12)
    np.testing.assert_allclose(ipt[[0, -1], 0], [0, 1], atol=1e-12)


def test_back_again():
    np.testing.assert_allclose(lab_from_ipt(ipt_from_lab(LAB)), LAB, atol=1e-9)


def test_colour_science_agrees(colour_science):
    """Ebner and Fairchild's matrices; the whites differ in the fourth decimal."""
    white = np.array([95.047, 100.0, 108.883])
    expected = colour_science.XYZ_to_IPT(bradford(xyz_from_lab(LAB), D50_WHITE, white) / 100)
    np.testing.assert_allclose(ipt_from_lab(LAB), expected, atol=5e-4)


def test_coloraide_agrees():
    class Space(Color): ...  # coloraide leaves IPT out until it is asked for

    Space.register(IPT())
    expected = [Space("lab", list(row)).convert("ipt").coords() for row in LAB]
    np.testing.assert_allclose(ipt_from_lab(LAB), expected, atol=5e-4)


@pytest.mark.parametrize(
    ("rgb", "drift"),
    [((0, 0, 1), (31, 21, 11)), ((1, 0, 0), (5, None, None))],
    ids=["blue", "red"],
)
def test_a_ramp_of_constant_cielab_hue_is_not_of_constant_hue_in_blue(rgb, drift):
    """Along a ramp to the sRGB cusp, at 25, 50, 75 %: blue drifts 31, 21, 11 degrees, red about 5 at most."""
    cusp = lab_from_xyz(xyz_from_rgb(np.array(rgb, float), "srgb"))
    for share, expected in zip((0.25, 0.5, 0.75), drift, strict=True):
        turned = apart(ipt_hue(cusp * [1, share, share]), ipt_hue(cusp))
        if expected is None:
            assert turned <= 5.5
        else:
            assert turned == pytest.approx(expected, abs=1.0)


def test_hue_runs_from_0_to_360():
    hues = ipt_hue(LAB)
    assert hues.shape == (100,)
    assert ((hues >= 0) & (hues < 360)).all()
