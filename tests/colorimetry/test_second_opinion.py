"""Our colorimetry and colour-science's on the same random spectra, on every grid that instruments have."""

import numpy as np
import pytest

from evaluation.colorimetry import second_opinion
from evaluation.colorimetry.density import visual_density
from evaluation.colorimetry.difference import delta_e_76, delta_e_2000
from evaluation.colorimetry.illuminants import illuminants
from evaluation.colorimetry.inconstancy import Reflectances, adapted_lab
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.colorimetry.spectra import xyz_from_spectra

GRIDS = {
    "10 nm": np.arange(380.0, 731.0, 10),
    "10 nm short": np.arange(400.0, 701.0, 10),
    "10 nm long": np.arange(340.0, 781.0, 10),
    "20 nm": np.arange(380.0, 741.0, 20),
    "5 nm": np.arange(380.0, 731.0, 5),
    "1 nm": np.arange(380.0, 731.0),
}
ODD = {
    "3.33 nm": np.arange(380.0, 731.0, 10 / 3),
    "odd start": np.arange(385.0, 731.0, 10),
    "uneven": np.sort(np.r_[np.arange(380.0, 731.0, 10), 383.0, 517.5, 644.0]),
}


def spectra(nm):
    """200 curves of 12 random knots, smooth enough for prints."""
    knots = np.linspace(nm[0], nm[-1], 12)
    return np.array(
        [np.interp(nm, knots, one) for one in np.random.default_rng(1).uniform(0.02, 0.9, (200, 12))]
    )


def apart(nm):
    ours = lab_from_xyz(xyz_from_spectra(nm, spectra(nm)))
    theirs = second_opinion.lab_from_xyz(second_opinion.xyz_from_spectra(nm, spectra(nm)))
    return float(delta_e_76(ours, theirs).max())


@pytest.mark.parametrize("nm", GRIDS.values(), ids=GRIDS)
def test_cielab_of_spectra(nm):
    """ASTM E2022 has weights for these."""
    assert apart(nm) < 1e-4


@pytest.mark.parametrize(("name", "within"), [("3.33 nm", 0.01), ("odd start", 0.06), ("uneven", 1.0)])
def test_grids_without_standard_weights_agree_as_far_as_two_rules_do(name, within):
    assert 1e-4 < apart(ODD[name]) < within
    assert second_opinion.is_even(ODD[name]) == (name != "uneven")
    assert second_opinion.is_even(np.round(ODD["3.33 nm"], 2))


def test_visual_density():
    nm = GRIDS["10 nm"]
    found = np.abs(visual_density(nm, spectra(nm)) - second_opinion.visual_density(nm, spectra(nm)))
    assert found.max() < 1e-6


def test_ciede2000():
    reference, sample = np.random.default_rng(2).uniform((0, -90, -90), (100, 90, 90), (2, 500, 3))
    found = np.abs(delta_e_2000(reference, sample) - second_opinion.delta_e_2000(reference, sample))
    assert found.max() < 1e-9


@pytest.mark.parametrize(
    ("name", "within"), [("A", 1e-4), ("LED-B2", 0.05), ("LED-B3", 0.05), ("FL11", 0.15)]
)
def test_colours_under_lamps(name, within):
    """Between the 5 nm of a lamp cubics here, Sprague's polynomials there: apart at narrow lines."""
    nm = GRIDS["10 nm"]
    measured = Reflectances(nm, spectra(nm), spectra(nm)[0])
    ours, theirs = adapted_lab(measured, illuminants()[name]), second_opinion.adapted_lab(measured, name)
    assert float(delta_e_76(ours, theirs).max()) < within
    own = second_opinion.adapted_lab(measured, illuminants()[name])
    np.testing.assert_allclose(own, ours, atol=1e-4)
