"""Files of ISO 28178 text that a spreadsheet has written again: commas or semicolons between all cells."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from evaluation.readings.detect import read_readings

Write = Callable[..., Path]


@pytest.mark.parametrize(("mark", "point"), [(",", "."), (";", "."), (";", ",")])
@pytest.mark.parametrize("filled", [False, True], ids=["bare", "every line filled with empty cells"])
def test_marks_between_all_cells(write: Write, mark: str, point: str, filled: bool) -> None:
    lines = [
        ["CGATS.17"],
        ["MEASUREMENT_CONDITION", '"M1"'],
        ["NUMBER_OF_FIELDS", "4"],
        ["BEGIN_DATA_FORMAT"],
        ["SAMPLE_ID", "LAB_L", "LAB_A", "LAB_B"],
        ["END_DATA_FORMAT"],
        ["NUMBER_OF_SETS", "2"],
        ["BEGIN_DATA"],
        ["1", "95.5", "0.25", "-2.5"],
        ["2", "50.0", "1.5", "2.25"],
        ["END_DATA"],
    ]
    if filled:
        lines = [[*line, *[""] * (5 - len(line))] for line in lines]
    text = "\n".join(mark.join(cell.replace(".", point) for cell in line) for line in lines)
    (run,) = read_readings(write(text.replace(f"CGATS{point}17", "CGATS.17")))
    np.testing.assert_allclose(run.lab, [[95.5, 0.25, -2.5], [50.0, 1.5, 2.25]])  # type: ignore[arg-type]
    assert run.stated.condition == "M1" and not any("NUMBER_OF" in remark for remark in run.remarks)


def test_a_row_on_the_line_of_begin_data_is_not_lost(write: Write) -> None:
    text = "BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA 1 50 0 0\n2 60 0 0\n"
    (run,) = read_readings(write(text + "END_DATA\n"))
    assert [ref.id for ref in run.patches] == ["1", "2"]


def test_an_empty_name_in_the_middle_over_no_cell_beside_a_tab_at_the_end(write: Write) -> None:
    names = "SAMPLE_ID\tLAB_L\t\tLAB_A\tLAB_B\t"
    text = f"BEGIN_DATA_FORMAT\n{names}\nEND_DATA_FORMAT\nBEGIN_DATA\n1\t50\t1\t2\t\nEND_DATA\n"
    (run,) = read_readings(write(text))
    np.testing.assert_allclose(run.lab, [[50, 1, 2]])  # type: ignore[arg-type]
