"""What a file gives twice: the better one counts, and a difference between the two is said."""

import numpy as np

from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.colorimetry.spectra import xyz_from_spectra
from evaluation.readings.given_colours import given_colour_remarks
from evaluation.readings.run import Stated

NM = np.arange(380.0, 731, 10)
SPECTRA = np.linspace(0.1, 0.8, 3)[:, None] * np.linspace(0.8, 1.2, len(NM))
XYZ = xyz_from_spectra(NM, SPECTRA)
LAB = lab_from_xyz(XYZ)
D50 = Stated(illuminant="D50", observer="2")


def test_colours_that_agree_with_their_spectra_are_not_spoken_of() -> None:
    assert given_colour_remarks(D50, NM, SPECTRA, LAB + 0.3, None) == []
    assert given_colour_remarks(D50, NM, SPECTRA, None, XYZ) == []


def test_colours_that_differ_from_their_spectra_are() -> None:
    (said,) = given_colour_remarks(D50, NM, SPECTRA, LAB + np.array([3, 0, 0]), None)
    assert said.startswith("CIELAB and spectra of the file differ by a median of 3.0 dE*ab")


def test_colours_of_another_light_are_worked_out_anew_and_that_is_said() -> None:
    (said,) = given_colour_remarks(Stated(illuminant="D65", observer="10"), NM, SPECTRA, LAB, None)
    assert said == "CIELAB given for D65 and 10 degrees: not used; recalculated from the spectra"


def test_two_kinds_of_colours_that_differ() -> None:
    (said,) = given_colour_remarks(D50, None, None, LAB + np.array([0, 4, 0]), XYZ)
    assert "CIELAB and XYZ of the file differ by a median of 4.0" in said


def test_a_lightest_patch_that_reflects_all_light_is_no_papers() -> None:
    """As in colours relative to the paper, and in lists of patches with the colours that are expected."""
    white = np.array([[100.0, 0, 0], [50, 0, 0]])
    for given in ((white, None), (None, np.array([[95.1, 100.0, 108.8], [20, 20, 20]]))):
        (said,) = given_colour_remarks(D50, None, None, *given)
        assert said.startswith("the lightest patch has L* 100, which no paper has")
    assert given_colour_remarks(D50, None, None, white - np.array([0.01, 0, 0]), None) == []
