"""Stated spreads cover: one standard error about 68 % of readings, two at least 93 %."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import map_black, media_absolute
from evaluation.metrics.catalogue import worked_out
from evaluation.metrics.gather import Gathered, gather
from evaluation.readings.run import Repeats
from evaluation.session import PrintingCondition
from evaluation.sheet.aims import source_lab
from evaluation.sheet.layout import Sheet

NOISE = 0.15
READ = 120  # times
METRICS = (
    ("neutral", "cast_by_third"),
    ("neutral", "evenness"),
    ("neutral", "tone_shift"),
    ("shadow", "shadow_cast"),
    ("skin", "skin_hue"),
    ("skin", "skin_chroma"),
    ("saturation", "over_saturation"),
)


def faulty(sheet: Sheet) -> np.ndarray:
    """A print whose faults stand well above the noise, so that no metric is at its floor."""
    xyz = map_black(xyz_from_lab(source_lab(sheet)), 0.0, 0.3)
    lab = np.asarray(lab_from_xyz(media_absolute(xyz, xyz_from_lab([95.1, 0.4, -5.2]))))
    for k, patch in enumerate(sheet.patches):
        if patch.region == "neutral" and patch.role == "field":
            lab[k] += [3 * np.sin(k * 1.3), 0.0, 3.0]
        lab[k] += {"skin": [0, 4, 0], "shadow": [0, 0, 4]}.get(patch.region, [0, 0, 0])
        if patch.region == "saturation":
            lab[k, 1:] *= 1.1
    return lab


@pytest.fixture
def gathered(room: Any, colour_4: Sheet) -> Any:
    def run(lab: np.ndarray, draws: int) -> Gathered:
        rows = {p.id: tuple(row) for p, row in zip(colour_4.patches, lab.tolist(), strict=True)}
        known = Repeats(np.eye(3) * NOISE**2, 0.2, 0.4, 0.5, 60, 30)
        taken = replace(room.taken(colour_4, rows), repeats=known)
        condition = PrintingCondition(intent="relative colorimetric")
        found = gather(colour_4, [taken], condition, room.tables.limits, draws=draws, earlier_black=0.3)
        assert found is not None
        return found

    return run


def test_one_and_two_standard_errors_cover_what_they_should(gathered: Any, colour_4: Sheet) -> None:
    """Eight hundred metrics of 120 readings of one print; 4 % is three standard errors of such a share."""
    lab = faulty(colour_4)
    true = gathered(lab, 0)
    rng = np.random.default_rng(3)
    off: list[float] = []
    for _ in range(READ):
        read = gathered(lab + rng.standard_normal(lab.shape) * NOISE, 101)
        for region, name in METRICS:
            here, there = (worked_out(name, one.regions[region]) for one in (read, true))
            assert here is not None and there is not None and here.metric.spread
            off.append(abs(here.metric.value - there.metric.value) / here.metric.spread)
    assert np.mean(np.array(off) < 1) == pytest.approx(0.68, abs=0.05)
    assert np.mean(np.array(off) < 2) >= 0.93
