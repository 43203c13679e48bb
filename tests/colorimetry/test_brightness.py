"""Blue reflectance of paper at 457 nm."""

import numpy as np
import pytest

from evaluation.colorimetry.brightness import brightness, weights_at

TENS = np.arange(380.0, 731.0, 10)


def test_the_weights_have_the_effective_wavelength_of_the_standard() -> None:
    """ISO 2470-1: 457 nm, half-width 44 nm. The table itself is recalled and unconfirmed."""
    nm, weights = weights_at()
    assert weights.sum() == pytest.approx(1)
    assert (nm * weights).sum() == pytest.approx(457, abs=0.5)
    above = nm[weights >= weights.max() / 2]
    assert above[-1] - above[0] == pytest.approx(44, abs=5)


def test_a_grey_has_its_reflectance_and_glow_counts_where_the_weights_lie() -> None:
    assert brightness(TENS, np.full(TENS.size, 0.9)) == pytest.approx(90)
    glow = 0.1 * np.exp(-0.5 * ((TENS - 440) / 16) ** 2)
    papers = np.array([np.full(TENS.size, 0.9), 0.9 + glow, np.where(TENS > 520, 0.5, 0.9)])
    found = brightness(TENS, papers)
    assert found is not None and found[2] == pytest.approx(90) and 93 < found[1] < 97


def test_a_spectrum_that_is_too_short_or_too_coarse_gives_none() -> None:
    assert brightness(np.arange(420.0, 701.0, 10), np.ones(29)) is None
    assert brightness(np.arange(380.0, 741.0, 20), np.ones(19)) is None
