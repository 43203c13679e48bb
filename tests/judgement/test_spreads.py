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

# Of one reading: lightness is the least steady, and moves b* with it.
COVARIANCE = np.array([[0.04, 0.0, 0.01], [0.0, 0.01, 0.0], [0.01, 0.0, 0.02]])
DUPLICATES = 30  # patches read twice, which is all that the spread is known from
METRICS = (
    ("neutral", "cast_by_third"),
    ("neutral", "evenness"),
    ("neutral", "tone_shift"),
    ("shadow", "shadow_cast"),
    ("skin", "skin_hue"),
    ("skin", "skin_chroma"),
    ("saturation", "colour_strength"),
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
    def run(lab: np.ndarray, draws: int, covariance: np.ndarray = COVARIANCE) -> Gathered:
        rows = {p.id: tuple(row) for p, row in zip(colour_4.patches, lab.tolist(), strict=True)}
        known = Repeats(covariance, 0.2, 0.4, 0.5, 2 * DUPLICATES, DUPLICATES)
        taken = replace(room.taken(colour_4, rows), repeats=known)
        condition = PrintingCondition(intent="relative colorimetric")
        found = gather(colour_4, [taken], condition, room.tables.limits, draws=draws, earlier_black=0.3)
        assert found is not None
        return found

    return run


def off_in_spreads(gathered: Any, sheet: Sheet, times: int) -> np.ndarray:
    """(times, metrics) how far each metric lies off its true value, in its own stated spreads.

    The print is read anew each time, and the spread of a reading estimated anew from its duplicates.
    """
    lab = faulty(sheet)
    true = gathered(lab, 0)
    rng = np.random.default_rng(3)
    root = np.linalg.cholesky(COVARIANCE)
    off = np.zeros((times, len(METRICS)))
    for reading in off:
        apart = rng.standard_normal((DUPLICATES, 3)) @ root.T
        read = gathered(lab + rng.standard_normal(lab.shape) @ root.T, 101, apart.T @ apart / DUPLICATES)
        for column, (region, name) in enumerate(METRICS):
            here, there = (worked_out(name, one.regions[region]) for one in (read, true))
            assert here is not None and there is not None and here.metric.spread
            reading[column] = abs(here.metric.value - there.metric.value) / here.metric.spread
    return off


@pytest.mark.long
def test_one_and_two_standard_errors_cover_what_they_should(gathered: Any, colour_4: Sheet) -> None:
    """All metrics together over 60 readings of one print; the long run holds each to 2,000."""
    off = off_in_spreads(gathered, colour_4, 60)
    assert np.mean(off < 1) == pytest.approx(0.68, abs=0.05)
    assert np.mean(off < 2) >= 0.93


@pytest.mark.long
def test_the_spread_of_each_metric_covers_in_two_thousand_readings(gathered: Any, colour_4: Sheet) -> None:
    """4 % is four standard errors of such a share."""
    off = off_in_spreads(gathered, colour_4, 2_000)
    within = {name: share for (_, name), share in zip(METRICS, (off < 1).mean(axis=0), strict=True)}
    twice = {name: share for (_, name), share in zip(METRICS, (off < 2).mean(axis=0), strict=True)}
    assert within == {name: pytest.approx(0.68, abs=0.04) for _, name in METRICS}
    assert all(share >= 0.93 for share in twice.values()), twice
