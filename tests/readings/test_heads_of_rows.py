"""The first cells of a row, split off in one go, are those that splitting all of it gives."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluation.readings.cgats.lines import headed, words
from evaluation.readings.detect import read_readings

PIECES = ('"', '""', " ", "  ", "\t", "a", "1.5", "b c", '"A 1"')


@pytest.mark.parametrize(
    ("row", "head", "cells"),
    [
        ('1  "A 1"  0.5 0.6', 2, ["1", "A 1", "0.5 0.6"]),
        ('"A 1" 7\t0.5 0.6', 2, ["A 1", "7", "0.5 0.6"]),
        ('1 "A ""1""" 0.5', 2, ["1", 'A "1"', "0.5"]),
        ('1 " 0.5 0.6', 2, []),  # never an empty name
        ("1 A1 0.5 0.6", 2, ["1", "A1", "0.5 0.6"]),
    ],
)
def test_heads_as_files_write_them(row: str, head: int, cells: list[str]) -> None:
    assert headed(row, None, head) == cells


@given(row=st.lists(st.sampled_from(PIECES), max_size=9).map("".join), head=st.integers(1, 3))
def test_a_head_is_that_of_all_cells(row: str, head: int) -> None:
    found = headed(row, None, head)
    if len(found) == head + 1:
        assert [*found[:head], *words(found[head])] == words(row)


def test_quotes_inside_names_stay(tmp_path: Path) -> None:
    rows = "".join(f'{n}\t"a ""{n}"""\t50\t0\t0\n' for n in range(1, 4))
    names = "SAMPLE_ID\tSAMPLE_NAME\tLAB_L\tLAB_A\tLAB_B"
    path = tmp_path / "names.txt"
    path.write_text(f"BEGIN_DATA_FORMAT\n{names}\nEND_DATA_FORMAT\nBEGIN_DATA\n{rows}END_DATA\n")
    (run,) = read_readings(path)
    assert [ref.name for ref in run.patches] == ['a "1"', 'a "2"', 'a "3"']
