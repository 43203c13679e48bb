"""A row of a page of choices, as a line: name, value, what else there is; the letter that opens it. Pure."""

from collections.abc import Sequence
from typing import Final

from rich.cells import cell_len
from textual.events import Key

from tui.widgets.lines import Line, cell

VALUE_AT: Final = 16  # column of the values


def letter_of(event: Key) -> str:
    """The letter that a key types; "" for any other key."""
    return event.character if event.character and event.character.isalpha() else ""


def choice_row(
    name: str, value: str, options: Sequence[str], *, opened: bool, room: int, values: int = 36
) -> Line:
    """`opened`: the options stand there with their digits, in place of the value. `values`: columns kept
    for a value where there is room."""
    room -= VALUE_AT + 2
    if not options:
        return f" {cell(name, VALUE_AT - 3)}{cell(value, room)}"
    if opened:
        digits = "   ".join(f"{place} {text}" for place, text in enumerate(options, 1))
        return (f" {cell(name, VALUE_AT - 3)}", ""), (cell(digits, room), "")
    wide = max(min(values, room // 2), min(cell_len(value) + 3, room // 2))
    others = ", ".join(text for text in options if text != value)
    return (f" {cell(name, VALUE_AT - 3)}{cell(value, wide)}", ""), (
        cell(f"or {others}" if others else "", room - wide),
        "quiet",
    )
