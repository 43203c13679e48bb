"""How much of a file is of a sheet, and what share makes it another chart."""

import numpy as np
import pytest

from evaluation.readings.fitting import Fitting, fits_better, fitting
from evaluation.readings.match import match
from evaluation.readings.run import PatchRef, Run, Stated
from evaluation.sheet import load

SHEET = load.read_map(load.map_text("colour-4"), "colour-4")
OWN = [patch for patch in SHEET.patches if patch.source is not None]


def run_of(own: int, strays: int, times: int = 1) -> Run:
    """A file with patches of the sheet and others, every one read `times` times."""
    device = [patch.source or () for patch in OWN[:own]]
    device += [(0.011 + k / 997, 0.013, 0.017) for k in range(strays)]
    ids = [patch.id for patch in OWN[:own]] + [f"other {k}" for k in range(strays)]
    rows = list(zip(ids, device, strict=True)) * times
    patches = tuple(PatchRef(identity, "", row) for row, (identity, _) in enumerate(rows, 1))
    values = np.array([values for _, values in rows])
    return Run(patches, Stated(), device=values, device_space="RGB", lab=np.full((len(rows), 3), 50.0))


@pytest.mark.parametrize("times", [1, 3])
def test_patches_are_counted_once_however_often_they_were_read(times: int) -> None:
    found = fitting(match(run_of(20, 5, times), SHEET))
    distinct = len({patch.source for patch in OWN[:20]})
    assert (found.placed, found.patches) == (distinct, distinct + 5)


@pytest.mark.parametrize(
    ("own", "strays", "another"),
    [(30, 0, False), (30, 5, False), (30, 30, True), (3, 2, False), (2, 2, True), (len(OWN), 900, False)],
)
def test_too_many_strays_make_another_chart_unless_the_sheet_is_there_too(
    own: int, strays: int, another: bool
) -> None:
    assert fitting(match(run_of(own, strays), SHEET)).is_another_chart == another


def test_another_sheet_fits_better_only_wholly_and_by_its_own_ids() -> None:
    here = Fitting(80, 100, 0.3, "source values")
    assert fits_better(Fitting(100, 100, 1.0, "id"), here)
    assert not fits_better(Fitting(90, 100, 1.0, "id"), here)
    assert not fits_better(Fitting(100, 100, 1.0, "source values"), here)
    assert not fits_better(Fitting(100, 100, 1.0, "id"), Fitting(96, 100, 0.3, "id"))
