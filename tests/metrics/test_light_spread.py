"""How sure a shift under another light is. CAT02 and its matrix: CIE 159:2004; CAT16: CIE 248:2022."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from evaluation.colorimetry.adaptation import CAT02, TRANSFORMS
from evaluation.metrics import grey_metrics
from evaluation.metrics.evidence import Evidence
from evaluation.metrics.light_spread import spread_of


def under_a(evidence: Evidence, *apart: float) -> Evidence:
    """Two greys whose shifts under A lie so far apart by CAT16, CAT02 and linear Bradford."""
    shifts = np.array([[[0.0, 0.0], [0.0, each]] for each in apart])
    return replace(evidence, shifts={"A": shifts[0]}, shifts_otherwise={"A": shifts[1:]})


def test_three_transforms_of_one_toned_print(wedge: Callable[..., Evidence]) -> None:
    """1.33, 1.44 and 1.18 dCh by CAT16, CAT02 and Bradford: sd 0.131 (COMPUTED, n - 1)."""
    still = under_a(wedge([40.0, 60.0]), 1.33, 1.44, 1.18)
    found = spread_of(still, "A", np.ones(2, bool), grey_metrics.shifted_apart)
    assert found.choice == pytest.approx(0.131, abs=0.001)
    assert found.reading == pytest.approx(0.0, abs=1e-5)
    drawn = under_a(wedge([40.0, 60.0], draws=101), 1.33, 1.44, 1.18)
    outcome = grey_metrics.light_shift_differential(drawn)
    assert outcome is not None and outcome.values[0] == 1.33
    assert outcome.values[1:].std() == pytest.approx(0.131, abs=0.002)


def test_reading_both_legs_again_counts(wedge: Callable[..., Evidence]) -> None:
    """Two greys far apart, noise 0.1 on each axis and leg: the distance of two spreads by 0.1 x sqrt(4)."""
    noisy = under_a(wedge([40.0, 60.0], noise=0.1), 3.0, 3.0, 3.0)
    found = spread_of(noisy, "A", np.ones(2, bool), grey_metrics.shifted_apart)
    assert found.choice == 0.0 and found.reading == pytest.approx(0.2, abs=0.04)


def test_cat02_is_that_of_colour_science() -> None:
    from evaluation.published.colour_science import colour_science

    with colour_science() as colour:
        assert np.abs(np.asarray(colour.adaptation.CAT_CAT02) - CAT02).max() < 1e-12
    assert next(iter(TRANSFORMS)) == "CAT16"
