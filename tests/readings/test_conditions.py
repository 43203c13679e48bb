"""One table with several measurement conditions in its columns is a run for each of them."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from evaluation.readings.cgats.conditions import of_conditions
from evaluation.readings.detect import read_readings
from evaluation.readings.supplied import Supplied

Write = Callable[..., Path]
Text = Callable[..., str]
NM = list(range(380, 731, 10))


@pytest.mark.parametrize("spelled", ["M{m}_LAB_{p}", "LAB_{p}_M{m}", "LAB_{p} (M{m})", "m{m}:Lab_{p}"])
def test_colours_of_two_conditions(write: Write, table: Text, spelled: str) -> None:
    names = [spelled.format(m=m, p=p) for m in (0, 2) for p in "LAB"]
    runs = read_readings(
        write(table(["SAMPLE_ID", *names], [[1, 95, 0, -1, 95, 1, 2], [2, 5, 0, 0, 6, 0, 0]]))
    )
    assert [run.stated.condition for run in runs] == ["M0", "M2"]
    np.testing.assert_allclose(runs[0].lab, [[95, 0, -1], [5, 0, 0]])  # type: ignore[arg-type]
    np.testing.assert_allclose(runs[1].lab, [[95, 1, 2], [6, 0, 0]])  # type: ignore[arg-type]
    assert all([ref.id for ref in run.patches] == ["1", "2"] for run in runs)


def test_spectra_of_three_conditions_beside_the_values_that_were_printed(write: Write) -> None:
    names = ["ID", "RGB_R", "RGB_G", "RGB_B", *(f"M{m} {nm} nm" for m in range(3) for nm in NM)]
    values = [0.2] * 36 + [0.3] * 36 + [0.4] * 36
    text = ";".join(names) + "\n" + ";".join(map(str, ["A1", 255, 0, 0, *values])).replace(".", ",") + "\n"
    runs = read_readings(write(text))
    assert [run.stated.condition for run in runs] == ["M0", "M1", "M2"]
    assert [float(run.spectra[0, 0]) for run in runs if run.spectra is not None] == [0.2, 0.3, 0.4]
    assert all(run.device is not None and run.device.tolist() == [[1, 0, 0]] for run in runs)
    (chosen,) = read_readings(write(text), Supplied(condition="M1"))
    assert chosen.stated.condition == "M1"


def test_the_columns_know_better_than_a_keyword_for_the_whole_table(write: Write, table: Text) -> None:
    names = ["SAMPLE_ID", *(f"M1_LAB_{p}" for p in "LAB")]
    (run,) = read_readings(write(table(names, [[1, 95, 0, -1]], ["MEASUREMENT_CONDITION M0"])))
    assert run.stated.condition == "M1"


def test_two_columns_that_look_marked_are_none() -> None:
    assert of_conditions(("SAMPLE_ID", "NOTE_M1", "NOTE_M2", "LAB_L", "LAB_A", "LAB_B")) == {}
