"""Shares of a verdict come true: drawn prints and observers, said against true."""

import numpy as np
import pytest

from tests.validation import calibration
from tests.validation.calibration import DOCUMENT, OBSERVERS, PRINTS, REPORTED, SESSIONS, TUNING


@pytest.mark.long
def test_a_few_sessions_come_true_on_the_whole() -> None:
    rows = list(calibration.drawn(TUNING + 7, 8))
    calibrated = list(calibration.drawn(TUNING + 7, 2, "the same"))
    assert len(rows) == 8 * len(OBSERVERS) * len(PRINTS)
    assert abs(calibration.off(rows)) < 0.15
    page = calibration.document(rows, calibrated, calibrated)
    assert "| lean 0.5, three viewings |" in page and "A verdict stood in" in page


@pytest.mark.long
def test_the_table_of_shares() -> None:
    """Writes CALIBRATION.md, then holds it to what is promised of the shares."""
    rows = list(calibration.drawn(REPORTED, SESSIONS))
    same = list(calibration.drawn(REPORTED, SESSIONS, "the same"))
    good = list(calibration.drawn(REPORTED, SESSIONS, "mostly good"))
    DOCUMENT.write_text(calibration.document(rows, same, good), encoding="utf-8")
    assert calibration.apart(same) < 0.75 * calibration.apart(rows), "what a calibration is for"
    assert abs(calibration.off(rows)) <= 0.03
    for prints in PRINTS[:2]:
        cells = [
            calibration.off([row for row in rows if (row.kind, row.prints) == (kind.name, prints)])
            for kind in OBSERVERS
        ]
        assert np.mean(np.abs(cells)) <= 0.05, prints
    stood = [row for row in rows if row.stands]
    assert np.mean([row.true for row in stood]) >= 0.9
