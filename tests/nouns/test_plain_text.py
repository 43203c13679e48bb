"""Text from outside stays text: no control, no line break, no reordering; scripts stay themselves."""

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from evaluation.errors import FileProblem
from evaluation.plain_text import shortened, visible


@given(st.text())
def test_nothing_that_controls_a_terminal_is_left(text: str) -> None:
    shown = visible(text)
    assert len(shown) == len(text)
    assert not any(unicodedata.category(char) in ("Cc", "Cs", "Zl", "Zp") for char in shown)


@given(st.text(alphabet=st.characters(categories=("L", "N", "P", "Zs"))))
def test_letters_of_every_script_stay(text: str) -> None:
    assert visible(text) == text


def test_markup_is_not_markup_here() -> None:
    assert visible("[/a] <b> {x}") == "[/a] <b> {x}"


def test_a_quoted_find_is_cut() -> None:
    assert shortened("x" * 100, 10) == "x" * 9 + "…"


def test_a_problem_is_one_sentence_in_reading_order() -> None:
    problem = FileProblem(
        "Nothing was taken in.",
        where="strip.txt, line 41",
        expected="36 values",
        found="35",
        remedy="Export it again.",
    )
    assert str(problem) == (
        "strip.txt, line 41. Expected: 36 values. Found: 35. Nothing was taken in. Export it again."
    )


def test_a_problem_without_a_place_still_reads_as_a_sentence() -> None:
    assert str(FileProblem("Nothing was kept.", found="none")) == "Found: none. Nothing was kept."
    assert str(FileProblem("Nothing was kept.", where="a.txt")) == "a.txt: Nothing was kept."


def test_a_clause_that_ends_a_sentence_gets_no_second_full_stop() -> None:
    problem = FileProblem("Nothing was saved.", where="Shadows: the darkest figure?", expected="0 to 16, ...")
    assert str(problem) == "Shadows: the darkest figure? Expected: 0 to 16, ... Nothing was saved."
    assert problem.brief == "Expected: 0 to 16, ... Nothing was saved."
