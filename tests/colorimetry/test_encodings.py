"""RGB encodings against colour-science and coloraide, and against the digits their standards print."""

from typing import get_args

import numpy as np
import pytest
from coloraide import Color

from evaluation.colorimetry.encodings import ENCODINGS, rgb_from_xyz, xyz_from_rgb
from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz
from evaluation.sheet.layout import Encoding

NAMES = get_args(Encoding)
CUBE = np.stack(np.meshgrid(*[np.linspace(0, 1, 6)] * 3, indexing="ij"), axis=-1).reshape(-1, 3)


def test_each_encoding_of_a_sheet_is_known_and_no_other():
    assert set(ENCODINGS) == set(NAMES)
    with pytest.raises(KeyError):
        xyz_from_rgb([0, 0, 0], "cmyk")


@pytest.mark.parametrize("encoding", NAMES)
def test_neutral_rgb_is_neutral_for_d50(encoding):
    grey = np.linspace(0, 1, 52)[:, None] * np.ones(3)
    lab = lab_from_xyz(xyz_from_rgb(grey, encoding))
    np.testing.assert_allclose(lab[:, 1:], 0.0, atol=1e-9)
    np.testing.assert_allclose(lab[[0, -1], 0], [0, 100], atol=1e-9)


@pytest.mark.parametrize("encoding", NAMES)
def test_back_again_outside_the_encoding_too(encoding):
    rgb = np.random.default_rng(2).uniform(-0.2, 1.2, (200, 3))
    np.testing.assert_allclose(rgb_from_xyz(xyz_from_rgb(rgb, encoding), encoding), rgb, atol=1e-9)


@pytest.mark.parametrize(
    ("encoding", "theirs", "decimals"),
    [("srgb", "sRGB", 4), ("ecirgb-v2", "ECI RGB v2", 2), ("romm-rgb", "ROMM RGB", 4)],
)
def test_colour_science_agrees(colour_science, encoding, theirs, decimals):
    """Primaries and curves of its spaces; the white of those for D50 is the ICC's, 96.422, 100, 82.521.

    Its chromaticities of eciRGB v2 come from the rounded colorants of a profile; the nominal ones, which
    B. Lindbloom lists too, have two decimals.
    """
    space = colour_science.RGB_COLOURSPACES[theirs]
    is_d50 = ENCODINGS[encoding].white is None
    white = colour_science.XYZ_to_xy(D50_WHITE) if is_d50 else space.whitepoint
    primaries = np.round(space.primaries, decimals)
    native = space.cctf_decoding(CUBE) @ colour_science.normalised_primary_matrix(primaries, white).T
    expected = 100 * colour_science.adaptation.chromatic_adaptation_VonKries(
        native, colour_science.xy_to_XYZ(white), D50_WHITE / 100, transform="Bradford"
    )
    np.testing.assert_allclose(xyz_from_rgb(CUBE, encoding), expected, atol=1e-6)


@pytest.mark.parametrize(("encoding", "theirs"), [("srgb", "srgb"), ("oprgb", "a98-rgb")])
def test_coloraide_agrees(encoding, theirs):
    """Its spaces are those of CSS Color 4; its D50 differs from ours in the third decimal."""
    for rgb in CUBE[::5]:
        lab = Color(theirs, list(map(float, rgb))).convert("lab").coords()
        np.testing.assert_allclose(lab_from_xyz(xyz_from_rgb(rgb, encoding)), lab, atol=0.06)


def test_lstar_is_the_code_value_of_ecirgb():
    """ISO 22028-4 (eciRGB v2): a grey of code value 50 % has L* 50."""
    lab = lab_from_xyz(xyz_from_rgb(np.full((2, 3), [[0.5], [0.05]]), "ecirgb-v2"))
    np.testing.assert_allclose(lab[:, 0], [50.0, 5.0], atol=1e-9)


def test_srgb_primaries_for_d50():
    """The sRGB matrix adapted to D50 by Bradford, as B. Lindbloom publishes it."""
    expected = np.array(
        [[43.60747, 38.50649, 14.30804], [22.25045, 71.68786, 6.06169], [1.39322, 9.71045, 71.41733]]
    )
    np.testing.assert_allclose(ENCODINGS["srgb"].matrix, expected, atol=0.02)
