"""Lines of text: cut and padded by cells, whatever the text is."""

import pytest
from rich.cells import cell_len

from tui.widgets.lines import PLAIN_SIGNS, cell, text_of, texts, wrapped

HOSTILE = [
    "[/a]",
    "[/",
    "\x1b[31mred\x1b[0m",
    "日本語の紙",
    "אור נייר",
    "a\u202eb",
    "e\u0301" * 30,
    "\x07\x00",
    "👩\u200d👩\u200d👧 x",
]


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("width", [1, 2, 5, 12, 40])
def test_a_cell_has_exactly_its_width(text: str, width: int) -> None:
    assert cell_len(cell(text, width)) == width


@pytest.mark.parametrize("text", HOSTILE)
def test_no_control_character_is_left(text: str) -> None:
    assert all(char.isprintable() or char == "\u200d" for char in cell(text, 40))


@pytest.mark.parametrize("text", [*HOSTILE, "日本語" * 30, "x" * 200, ""])
def test_wrapped_lines_stay_within_their_width(text: str) -> None:
    assert all(cell_len(row) <= 20 for row in wrapped(text, 20))
    assert len(wrapped(text, 20, 3)) <= 3


def test_a_line_keeps_its_meaning_without_weights() -> None:
    line = (("≠2 shadow detail  ", ""), ("DISAGREE", "strong"))
    assert text_of(line) == "≠2 shadow detail  DISAGREE"
    assert texts([line, "plain   "]) == ["≠2 shadow detail  DISAGREE", "plain"]


def test_plain_signs_are_ascii() -> None:
    signs = "▸≠━─│┃┼·░…±┌┐└┘┏┓┗┛⠁⣿"
    assert signs.translate(PLAIN_SIGNS).isascii()
