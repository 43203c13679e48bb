"""The line above the keys: what was said is seen, what it was about gives way."""

import pytest
from rich.cells import cell_len

from tui.widgets import foot
from tui.widgets.lines import text_of


def line(text: str, width: int = 80) -> str:
    return text_of(foot.saved(text, width)).strip()


def test_what_fits_stands_as_it_is() -> None:
    assert line("Saved 14:31. Skin tones, strength: 4.") == "Saved 14:31. Skin tones, strength: 4."


def test_a_long_line_keeps_its_value_whole() -> None:
    said = "Saved 14:31. Neutral greyscale, cast by thirds: dark none, middle yellow (just), light red."
    assert line(said).startswith("Saved 14:31. Neutral")
    assert line(said).endswith("…: dark none, middle yellow (just), light red.")


def test_what_was_undone_keeps_its_value_too() -> None:
    told = line(
        "Undone: fine detail and registration, the smallest figure that can be read at all: number 12."
    )
    assert told.startswith("Undone: fine detail") and told.endswith("…: number 12.")


def test_a_value_longer_than_the_line_is_cut_at_its_end() -> None:
    ramps = ", ".join(f"ramp {ramp} from step {ramp}" for ramp in range(1, 12))
    told = line(f"Saved 14:31. Saturation, early stops: {ramps}.")
    assert told.startswith("Saved 14:31. Saturation, early stops: ramp 1 from step 1")
    assert told.endswith("…")


@pytest.mark.parametrize(
    "text", ["日本語の用紙" * 9 + ": " + "用紙" * 12, "x" * 200, "a: " * 60, "\x1b[31m" * 20 + ": 4"]
)
def test_the_line_never_leaves_its_row(text: str) -> None:
    assert cell_len(text_of(foot.saved(text, 80))) == 79
    assert "\x1b" not in line(text)
