"""The one table of keys: nothing stands for two things, nothing is swallowed, everything fits."""

from collections import Counter
from collections.abc import Iterator

import pytest

from tui import footers, keys
from tui.footers import FOOTERS
from tui.keys import KEYS, SCREENS, Key

# What terminals and multiplexers keep for themselves or send as something else: backspace, tab, line feeds,
# escape prefixes, the prefixes of two multiplexers, flow control.
SWALLOWED = {f"ctrl+{letter}" for letter in "abhijms"} | {"ctrl+left_square_bracket"}
BRACKETS = {"left_square_bracket", "right_square_bracket", "left_curly_bracket", "right_curly_bracket"}
UNSURE = {"ctrl+p", "ctrl+q"}  # an editor's built-in terminal keeps these


def names() -> Iterator[tuple[Key, str]]:
    return ((key, name) for key in KEYS for name in key.names)


@pytest.mark.parametrize("screen", list(SCREENS))
def test_a_key_stands_for_one_thing_on_a_screen(screen: str) -> None:
    counted = Counter(name for key in keys.keys_of(screen) for name in key.names)
    assert [name for name, count in counted.items() if count > 1] == []


def test_no_key_is_one_that_terminals_swallow() -> None:
    assert [(key.id, name) for key, name in names() if name in SWALLOWED or name in BRACKETS] == []
    assert [(key.id, name) for key, name in names() if name.startswith(("alt+", "ctrl+shift+"))] == []


@pytest.mark.parametrize("screen", [screen for screen, scopes in SCREENS.items() if "all" in scopes])
def test_a_function_key_or_an_unsure_key_has_a_second_route(screen: str) -> None:
    for key in keys.keys_of(screen):
        doubtful = [name for name in key.names if name in UNSURE or (name[0] == "f" and name[1:].isdigit())]
        if doubtful and key.id != "leave":
            assert len(key.names) > len(doubtful), key.id
    assert any(key.names == ("q",) for key in keys.keys_of("home")), "leaving has its second route on Home"


def test_ids_are_told_apart() -> None:
    assert [id for id, count in Counter(key.id for key in KEYS).items() if count > 1] == []


@pytest.mark.parametrize("state", list(FOOTERS))
def test_a_footer_has_six_keys_at_most_and_fits_80_columns(state: str) -> None:
    pairs = footers.footer(state, {})
    assert len(pairs) <= 6
    line = "   ".join(f"{key} {label}".strip() for key, label in pairs)
    assert len(line) <= 78, "one cell at either side"


def test_digits_do_nothing_but_answer() -> None:
    for key, name in names():
        if name.isdigit():
            assert key.fixed and key.id.endswith("digit")


def test_the_table_that_is_printed_names_every_binding() -> None:
    assert [row[1] for row in keys.table()] == [key.tooltip for key in KEYS]


def test_a_changed_key_is_shown_as_changed() -> None:
    assert ("b", "look again") in footers.footer("look.grade", {"look.again": "b"})
