"""Text from outside stays text: no control, no line break, no reordering; scripts stay themselves."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluation.errors import FileProblem
from evaluation.plain_text import shortened, visible


@given(st.text())
def test_nothing_that_controls_a_terminal_is_left(text: str) -> None:
    shown = visible(text)
    assert len(shown) == len(text)
    assert not any(unicodedata.category(char) in ("Cc", "Cs", "Zl", "Zp") for char in shown)


FILLERS = "\u115f\u1160\u3164\uffa0"  # letters by their category, but empty


@given(st.text(alphabet=st.characters(categories=("L", "N", "P", "Zs"), exclude_characters=FILLERS)))
def test_letters_of_every_script_stay(text: str) -> None:
    assert visible(text) == text


UNSEEN = {
    "zero width space": "\u200b",
    "byte order mark": "\ufeff",
    "soft hyphen": "\u00ad",
    "word joiner": "\u2060",
    "a tag": "\U000e0041",
    "tags in a row": "\U000e0001\U000e0061\U000e007f",
    "a Hangul filler": "\u3164",
    "joiners without a sign to join": "\u200d\u200c",
    "selectors without a sign to select": "\ufe0f\U000e0101",
    "override of direction": "\u202e",
    "half of a pair": "\ud83d",
}


@pytest.mark.parametrize("what", UNSEEN)
def test_two_names_that_look_alike_are_told_apart(what: str) -> None:
    hidden = UNSEEN[what]
    assert visible(f"Lustre{hidden} 247") == f"Lustre{'�' * len(hidden)} 247"
    assert visible(f"{hidden}Lustre") == f"{'�' * len(hidden)}Lustre"


@pytest.mark.parametrize(
    "text",
    [
        "می\u200cخواهم",
        "क्\u200dष",
        "❤\ufe0f\u200d🔥",
        "👩\u200d👩\u200d👧",
        "葛\U000e0100城",
        "Zoe\u0308",
        "שלום",
    ],
)
def test_what_a_script_needs_to_be_written_stays(text: str) -> None:
    """Joiners of Persian and Devanagari, of emoji; the form of an ideograph; combined accents; Hebrew."""
    assert visible(text) == text


def test_many_selectors_after_one_sign_are_shown() -> None:
    """A text can be hidden in them: one sign has one."""
    assert visible("😀" + "\U000e0121" * 40) == "😀\U000e0121" + "�" * 39


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
