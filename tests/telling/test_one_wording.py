"""Answers, numbers, tables and figures: one wording, one rounding, one noun, whoever shows them."""

import doctest
import importlib
import math
from pathlib import Path

import numpy as np
import pytest

from evaluation.session import Cast, Count, Grade, Pick, Place, Value, YesNo
from evaluation.telling.answers import answer_words
from evaluation.telling.figure import at_zero, line
from evaluation.telling.numbers import measured, minus, plain, signed
from evaluation.telling.table import Table, typeset

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (Grade(4), "4"),
        (Count(0), "none"),
        (Count(12), "figure 12"),
        (Pick((21,)), "field 21"),
        (Pick((21, 34)), "fields 21 and 34"),
        (Pick((), outside="red"), "outside the ring towards red"),
        (Pick(()), "none"),
        (Place(()), "none"),
        (Place((("left", 3), ("right", None))), "left from step 3, right"),
        (Cast((("dark", "none", None), ("light", "none", None))), "none"),
        (YesNo(True), "yes"),
    ],
)
def test_every_kind_of_answer_has_one_wording(value: Value, words: str) -> None:
    assert answer_words(value) == words
    assert answer_words(value, in_full=True).startswith(words)


def test_what_a_grade_means_is_that_of_the_impairment_scale() -> None:
    """Recommendation ITU-R BT.500, five-grade impairment scale."""
    assert answer_words(Grade(2), in_full=True) == "2, annoying"


def test_a_number_without_a_value_is_a_dash_and_nothing_has_no_minus() -> None:
    assert (plain(math.nan, 1), signed(math.inf, 1), minus("-")) == ("-", "-", "–")
    assert (plain(-0.04, 1), signed(-0.04, 1)) == ("0.0", "+0.0")


def test_a_value_is_shown_to_two_figures_of_its_spread() -> None:
    """JCGM 100:2008, 7.2.6, from memory: an uncertainty has two figures at most, its value as many places."""
    assert measured(2.5167, 0.0231) == "2.517 ± 0.023"
    assert measured(25.167, 2.31) == "25.2 ± 2.3"


def test_a_page_sets_numbers_and_text_and_leaves_the_rest() -> None:
    made = typeset(Table("t", ("name", "a*", ""), (("grey -\n 1", "-0.3", "-"),), (1,), "note"))
    assert made.rows == (("grey - 1", "−0.3", "–"),)
    assert (made.title, made.note) == ("t", "note")


def test_a_line_leaves_out_what_was_not_read_and_is_dotted_without_a_mark() -> None:
    read = line("read", [1, 2, 3], [0.5, np.nan, 0.7], "o")
    assert (read.points, read.mark, read.drawn) == (((1.0, 0.5), (3.0, 0.7)), "o", "read")
    aim = at_zero([5, 1, 3])
    assert (aim.points, aim.mark, aim.drawn) == (((1.0, 0.0), (5.0, 0.0)), "", "aim")


@pytest.mark.parametrize(
    "path", sorted((ROOT / "evaluation" / "telling").rglob("*.py")), ids=lambda path: path.stem
)
def test_its_examples_hold(path: Path) -> None:
    name = ".".join(path.relative_to(ROOT).with_suffix("").parts)
    assert doctest.testmod(importlib.import_module(name)).failed == 0
