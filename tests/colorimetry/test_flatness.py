"""Spectral flatness with the noise taken out."""

import numpy as np
import pytest

from evaluation.colorimetry.flatness import Flatness, spectral_flatness
from evaluation.errors import FileProblem

NM = np.arange(380.0, 731.0, 10)
INSIDE = (NM >= 430) & (NM <= 680)
RIPPLE = np.where(INSIDE, np.where(np.arange(NM.size) % 2 == 0, 1.0, -1.0), 0.0)  # 26 bands, rms exactly 1


def readings(level, departure, noise, n=5, seed=0):
    """n readings of a black or grey of that level and rms departure, noise alike in every band."""
    rng = np.random.default_rng(seed)
    return level * (1 + departure * RIPPLE) + rng.normal(0, noise, (n, NM.size))


def test_without_noise_it_is_the_rms_departure_from_flat():
    assert spectral_flatness(NM, readings(0.2, 0.1, 0.0)).value == pytest.approx(0.1, abs=1e-12)
    assert spectral_flatness(NM, readings(0.2, 0.0, 0.0)).value == pytest.approx(0.0, abs=1e-9)


def test_noise_is_taken_out_at_a_deep_black():
    """D 2.6, noise 0.0002 a band, five readings: a true 0 comes out below 0.02, a true 0.205 as 0.205."""
    black = 10**-2.6
    flat = [spectral_flatness(NM, readings(black, 0.0, 0.0002, seed=s)).value for s in range(200)]
    rippled = [spectral_flatness(NM, readings(black, 0.205, 0.0002, seed=s)).value for s in range(200)]
    assert np.mean(flat) < 0.02
    assert np.mean(rippled) == pytest.approx(0.205, abs=0.005)


def test_largest_minus_smallest_would_call_a_perfectly_flat_black_uneven():
    """0.32 at D 2.6 with the same noise: why (max - min) / mean is not used."""
    one = readings(10**-2.6, 0.0, 0.0002, n=300)[:, INSIDE]
    assert np.mean(np.ptp(one, axis=1) / one.mean(axis=1)) == pytest.approx(0.32, abs=0.02)


def test_the_papers_own_spectrum_does_not_count_for_a_grey():
    paper = np.linspace(0.6, 0.95, NM.size)
    grey = 0.2 * paper * np.ones((3, 1))
    assert spectral_flatness(NM, grey, paper).value == pytest.approx(0.0, abs=1e-9)
    assert spectral_flatness(NM, grey).value > 0.05


def test_flat_cannot_be_told_from_noise():
    assert not spectral_flatness(NM, readings(0.0025, 0.0, 0.0005)).is_clear
    assert spectral_flatness(NM, readings(0.2, 0.1, 0.0005)).is_clear


def test_the_floor_must_not_exceed_half_the_value():
    assert Flatness(value=0.10, floor=0.05, readings=3).is_clear
    assert not Flatness(value=0.10, floor=0.06, readings=3).is_clear


def test_one_or_two_readings_cannot_tell():
    single = spectral_flatness(NM, readings(0.2, 0.1, 0.0)[0])
    assert single.value == pytest.approx(0.1, abs=1e-12)
    assert single.floor != single.floor  # nan
    assert not single.is_clear
    assert not spectral_flatness(NM, readings(0.2, 0.1, 0.0005, n=2)).is_clear


def test_the_floor_falls_with_the_root_of_the_readings():
    few, many = (
        np.mean([spectral_flatness(NM, readings(0.01, 0.3, 0.0005, n, s)).floor for s in range(30)])
        for n in (4, 100)
    )
    assert few / many == pytest.approx(5.0, rel=0.03)


def test_other_grids_are_brought_to_10_nm():
    fine = np.arange(400.0, 701.0, 5)
    slope = 0.2 + 0.0002 * (fine - 555)
    coarse = np.arange(400.0, 701.0, 10)
    expected = spectral_flatness(coarse, 0.2 + 0.0002 * (coarse - 555)).value
    assert spectral_flatness(fine, slope).value == pytest.approx(expected, abs=1e-12)


def test_spectra_that_are_too_short_are_refused():
    with pytest.raises(FileProblem, match=r"430 to 680 nm or beyond\. Found: 450 to 700 nm"):
        spectral_flatness(np.arange(450.0, 701.0, 10), np.ones(26))
