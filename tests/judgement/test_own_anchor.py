"""How well the anchors fit one observer's eye takes the default's place after twenty regions."""

from typing import Any

import numpy as np
import pytest

from evaluation.judgement import instrument
from evaluation.judgement.own_anchor import own_anchor, with_own_anchor


def result(*pairs: tuple[float, float]) -> dict[str, Any]:
    """A stored weighing with a region for each pair of eye and instrument."""
    rows = [
        {"eye": {"grade": eye, "spread": 0.5}, "instrument": {"grade": read, "spread": 0.54}}
        for eye, read in pairs
    ]
    return {"regions": [*rows, {"eye": {"grade": 4.0, "spread": 0.5}, "instrument": None}]}


def test_below_twenty_regions_the_default_stands(room: Any) -> None:
    assert own_anchor([result(*[(4.0, 4.0)] * 19)], room.tables) is None
    assert with_own_anchor(room.tables, None) is room.tables


def test_what_eye_and_instruments_spread_by_themselves_is_taken_out(room: Any) -> None:
    """True anchor spread 0.6, eye 0.5, instrument 0.2: two thousand regions give 0.6 back."""
    rng = np.random.default_rng(4)
    apart = rng.standard_normal((2_000, 3)) @ [0.6, 0.5, 0.2]
    found = own_anchor([result(*[(3.0 + gap, 3.0) for gap in apart])], room.tables)
    assert found is not None and found.regions == 2_000
    assert found.spread == pytest.approx(0.6, abs=0.03)


def test_an_anchor_that_is_always_off_does_not_fit(room: Any) -> None:
    found = own_anchor([result(*[(3.0, 4.5)] * 20)], room.tables)
    assert found is not None
    assert found.spread == pytest.approx((1.5**2 - 0.5**2 - 0.2**2) ** 0.5)


def test_an_eye_like_the_anchors_leaves_a_least_spread(room: Any) -> None:
    found = own_anchor([result(*[(4.0, 4.0)] * 10)] * 2, room.tables)
    assert found is not None and found.spread == pytest.approx(0.2)


def test_it_is_what_an_instrument_grade_is_spread_by(room: Any) -> None:
    fitted = with_own_anchor(room.tables, own_anchor([result(*[(3.0, 4.5)] * 20)], room.tables))
    assert instrument.spread(np.full(10, 4.0), fitted) == pytest.approx((1.5**2 - 0.5**2) ** 0.5)
    assert fitted.digest == room.tables.digest
    assert fitted.thresholds["anchor_spread"].mark == "COMPUTED"
