"""One rule for every CSV: what a spreadsheet would work out is text, numbers stay numbers."""

import ast
import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluation.csv_text import cell, csv_text

ROOT = Path(__file__).parents[2]
# Characters that begin a formula, after common advice of web security (MEMORY).
STARTS = ("=", "+", "-", "@", "\t", "\r")
FORMULAS = (
    "=1+1",
    "+cmd",
    "@sum(A1)",
    "-2+3+cmd|' /C calc'!A0",
    "-x",
    "\t=1",
    "\r=1",
    "\n=1",
    " =1",
    "＝1+1",
)


@pytest.mark.parametrize("text", FORMULAS)
def test_no_text_becomes_a_formula(text: str) -> None:
    assert cell(text).startswith("'")


@pytest.mark.parametrize("number", [-0.3, 12, "-0.3", "+4", "-1e-5", "-.5"])
def test_numbers_stay_numbers(number: object) -> None:
    assert cell(number) == number


@given(st.lists(st.lists(st.text(), min_size=2, max_size=2), max_size=5))
def test_whatever_is_written_is_read_back_as_text_of_one_line(rows: list[list[str]]) -> None:
    back = list(csv.reader(io.StringIO(csv_text(("=a", "b"), rows), newline="")))
    assert back[0] == ["'=a", "b"] and len(back) == len(rows) + 1
    for given_row, found in zip(rows, back[1:], strict=True):
        assert found == [cell(value) for value in given_row]
        for value in found:
            assert "\n" not in value and "\r" not in value
            assert not value.startswith(STARTS) or float(value) is not None


def test_nothing_else_writes_a_csv() -> None:
    names = ("writer", "DictWriter", "to_csv", "savetxt")
    writers = {
        str(path.relative_to(ROOT))
        for folder in ("evaluation", "tui", "fixtures")
        for path in (ROOT / folder).rglob("*.py")
        if any(name in (text := path.read_text("utf-8")) for name in names)  # to parse all takes seconds
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Attribute) and node.attr in names
    }
    assert writers == {"evaluation/csv_text.py"}
