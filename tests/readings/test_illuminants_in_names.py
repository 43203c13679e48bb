"""Headers of plain tables that name the light of their colours."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from evaluation.errors import FileProblem
from evaluation.readings.colours import colours
from evaluation.readings.detect import read_readings
from evaluation.readings.supplied import OpenQuestions

Write = Callable[..., Path]


@pytest.mark.parametrize(
    "spelled",
    ["{} (D50/2°)", "{} [D50, 2]", "{} D50 2deg", "{}_D50_2", "{}(D50/2)", "CIE {} (d50/2 degree)"],
)
def test_the_light_in_the_names_is_stated(write: Write, spelled: str) -> None:
    header = ";".join(["Sample", *(spelled.format(part) for part in ("L*", "a*", "b*"))])
    (run,) = read_readings(write(f"{header}\nA1;50,5;1;-2\n"))
    np.testing.assert_allclose(run.lab, [[50.5, 1, -2]])  # type: ignore[arg-type]
    assert (run.stated.illuminant, run.stated.observer) == ("D50", "2")


def test_another_light_in_the_names_is_not_taken_for_d50(write: Write) -> None:
    (run,) = read_readings(write("Sample,L*(D65/10),a*(D65/10),b*(D65/10)\nA1,50.5,1,-2\n"))
    assert (run.stated.illuminant, run.stated.observer) == ("D65", "10")
    with pytest.raises(FileProblem, match="D65, 10 degrees"):
        colours(run)


def test_two_lights_in_one_header_are_asked_about(write: Write) -> None:
    header = ["L*(D50)", "a*(D50)", "b*(D50)", "L*(D65)", "a*(D65)", "b*(D65)"]
    with pytest.raises(OpenQuestions):
        read_readings(write(",".join(["ID", *header]) + "\nA1,50,0,0,51,0,0\n"))
