"""The effect of optical whitener."""

import numpy as np
import pytest

from evaluation.colorimetry.brightener import Brightener, brightener, print_turns_yellower

NM = np.arange(380.0, 731.0, 10)


def test_m2_minus_m1_in_lab():
    """Brightener makes b*(M1) lower than b*(M2), so the difference is above 0."""
    found = brightener(np.array([95.0, 1.5, -6.0]), np.array([94.2, 0.3, 0.5]))
    assert (found.dl, found.da, found.db) == pytest.approx((-0.8, -1.2, 6.5))
    assert found.glow is None


def test_the_glow_is_sought_between_420_and_460_nm_only():
    m2 = np.full(NM.size, 0.8)
    m1 = m2.copy()
    m1[NM == 440] += 0.15
    m1[NM == 400] += 0.5
    found = brightener(np.zeros(3), np.zeros(3), NM, m1, m2)
    assert found == Brightener(0.0, 0.0, 0.0, glow=pytest.approx(0.15), glow_at=440.0)


@pytest.mark.parametrize(
    ("db", "condition", "ultraviolet", "expected"),
    [
        (6.5, "M1", False, True),
        (6.5, "M0", False, True),
        (6.5, "M2", False, False),
        (6.5, "M1", True, False),
        (3.0, "M1", False, False),
        (6.5, "not stated", False, False),
    ],
)
def test_the_caution_takes_all_three(db, condition, ultraviolet, expected):
    assert (
        print_turns_yellower(db, profile_condition=condition, light_has_ultraviolet=ultraviolet, limit=3.0)
        is expected
    )
