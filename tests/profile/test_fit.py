"""How well a profile follows its readings, relative to the paper of each."""

from pathlib import Path

import numpy as np
import pytest

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.errors import ProfileProblem
from evaluation.profile.engine import lab_from_device, open_profile
from evaluation.profile.fit import profile_fit
from fixtures.printer import icc

ROOM = Path(icc.__file__).parents[1] / "profiles"
LUSTRE = open_profile((ROOM / "sallowfell-lustre-finest.icc").read_bytes(), "lustre.icc")
STEPS = np.linspace(0, 1, 5)
DEVICE = np.stack(np.meshgrid(STEPS, STEPS, STEPS, indexing="ij"), axis=-1).reshape(-1, 3)
OWN = lab_from_device(LUSTRE, DEVICE, absolute=True)


def test_a_profile_fits_its_own_predictions() -> None:
    fit = profile_fit(LUSTRE, DEVICE, OWN)
    assert fit is not None and fit.p95 < 0.01 and fit.patches == 125


def test_another_paper_alone_is_no_lack_of_fit() -> None:
    yellower = lab_from_xyz(xyz_from_lab(OWN) * [0.98, 0.97, 0.9])
    fit = profile_fit(LUSTRE, DEVICE, yellower)
    assert fit is not None and fit.p95 < 0.01


def test_readings_without_bare_paper_are_taken_on_the_profiles_own() -> None:
    inked = ~(DEVICE == 1).all(axis=1)
    fit = profile_fit(LUSTRE, DEVICE[inked], OWN[inked])
    assert fit is not None and fit.p95 < 0.01 and fit.patches == 124


def test_the_part_that_is_off_is_named() -> None:
    off = OWN.copy()
    green = (DEVICE[:, 1] > DEVICE[:, 0] + 0.3) & (DEVICE[:, 1] > DEVICE[:, 2] + 0.3)
    off[green, 0] += 6
    fit = profile_fit(LUSTRE, DEVICE, off)
    assert fit is not None
    parts = {part.part: part for part in fit.parts}
    assert parts["green"].median > 3 and parts["red"].median < 0.01
    assert fit.median < 0.01 < fit.p95
    expected = delta_e_2000(lab_from_device(LUSTRE, DEVICE, absolute=True), off)
    assert fit.p95 == pytest.approx(np.percentile(expected, 95), rel=0.1)


def test_rows_without_a_reading_take_no_part() -> None:
    some = OWN.copy()
    some[:100] = np.nan
    fit = profile_fit(LUSTRE, DEVICE, some)
    assert fit is not None and fit.patches == 25
    assert profile_fit(LUSTRE, DEVICE, np.full_like(OWN, np.nan)) is None


def test_values_of_another_space_are_refused() -> None:
    with pytest.raises(ProfileProblem, match="3 channels"):
        profile_fit(LUSTRE, np.zeros((4, 4)), np.zeros((4, 3)))
