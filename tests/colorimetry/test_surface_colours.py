"""Pointer's surface colours."""

import numpy as np
import pytest

from evaluation.colorimetry.adaptation import cat16
from evaluation.colorimetry.difference import delta_e_2000
from evaluation.colorimetry.encodings import rgb_from_xyz
from evaluation.colorimetry.lab import D50_WHITE, chroma, hue, lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.surface_colours import HUES, LEVELS, surface_colours

C_WHITE = np.array([98.074, 100.0, 118.232])  # illuminant C, 2 degree observer (ASTM E308)


def under_c():
    """As they were published: CIELAB for illuminant C."""
    return lab_from_xyz(cat16(xyz_from_lab(surface_colours()), D50_WHITE, C_WHITE), C_WHITE)


def test_they_are_the_maxima_that_pointer_published():
    """Color Research and Application 5(3), 1980: L* 15 at hues 0, 10 and 20, L* 90 at hue 340."""
    found = under_c()
    assert found.shape == (LEVELS, HUES, 3)
    np.testing.assert_allclose(found[..., 0], np.arange(15, 91, 5)[:, None] * np.ones(HUES), atol=0.01)
    np.testing.assert_allclose(chroma(found)[0, :3], [10, 15, 14], atol=0.01)
    np.testing.assert_allclose(chroma(found)[-1, -2], 4, atol=0.02)
    strong = chroma(found) > 5
    apart = np.mod(hue(found) - np.arange(0, 360, 10) + 180, 360) - 180
    assert np.abs(apart[strong]).max() < 0.1


def test_taken_as_d50_they_would_be_wrong():
    """Worked with colour-science 0.4.7: 2.1 dE00 on average, 9.6 at worst."""
    apart = delta_e_2000(under_c(), surface_colours())
    assert (apart.mean(), apart.max()) == (pytest.approx(2.08, abs=0.02), pytest.approx(9.63, abs=0.05))


def test_the_encoding_made_for_surface_colours_holds_all_of_them():
    """ROMM RGB was made to hold them (Spaulding, Woolfe and Giorgianni 2000); sRGB half, opRGB more."""
    shares = []
    for encoding in ("srgb", "oprgb", "romm-rgb"):
        rgb = rgb_from_xyz(xyz_from_lab(surface_colours()), encoding)
        shares.append(float(((rgb >= 0) & (rgb <= 1)).all(axis=-1).mean()))
    assert shares == [pytest.approx(0.49, abs=0.01), pytest.approx(0.70, abs=0.01), 1.0]


def test_nobody_changes_them_by_accident():
    with pytest.raises(ValueError, match="read-only"):
        surface_colours()[0, 0, 0] = 1
