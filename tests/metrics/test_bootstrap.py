"""Readings as they might have been, had the sheet been read again."""

import numpy as np
import pytest

from evaluation.colorimetry.lab import xyz_from_lab
from evaluation.metrics.bootstrap import draws_of
from evaluation.metrics.pool import Pool

PAPER = np.array([95.0, 0.5, -3.0])
LAB = np.array([PAPER, [50.0, 20.0, -10.0], [70.0, 0.0, 0.0], [30.0, 5.0, 5.0]])
SPREAD = np.array([[0.04, 0.01, -0.006], [0.01, 0.01, 0.002], [-0.006, 0.002, 0.02]])


def test_draws_spread_as_the_readings_do_and_the_first_is_the_reading() -> None:
    """Covariance of 5,000 draws of one reading and of the mean of four; the paper moves what is bare."""
    xyz = xyz_from_lab(LAB)
    xyz[2] = np.nan  # not read
    pool = Pool(
        xyz=xyz,
        paper=np.tile(xyz[0], (4, 1)),
        counts=np.array([1.0, 1.0, 0.0, 4.0]),
        bare=xyz[0],
        paper_readings=1,
        covariance=np.tile(SPREAD, (4, 1, 1)),
        paper_covariance=SPREAD,
        freedom=None,
        condition="M1",
        runs=(),
    )
    absolute, relative, paper = draws_of(pool, 5_000, absolute_aims=False)
    assert absolute.shape == relative.shape == (5_000, 3, 3)  # of those that were read
    assert absolute[0] == pytest.approx(LAB[[0, 1, 3]], abs=1e-9)
    assert relative[0, 0] == pytest.approx([100, 0, 0], abs=1e-9)
    for row, readings in ((1, 1), (2, 4)):
        assert np.cov(absolute[:, row].T) == pytest.approx(SPREAD / readings, abs=0.003 / readings)
    assert absolute[:, 0] == pytest.approx(paper) and np.cov(paper.T) == pytest.approx(SPREAD, abs=0.003)
    assert relative[:, 0] == pytest.approx(np.tile([100.0, 0.0, 0.0], (5_000, 1)), abs=1e-9)
    again = draws_of(pool, 5_000, absolute_aims=False)
    assert (again[0] == absolute).all() and (again[1] == relative).all()
