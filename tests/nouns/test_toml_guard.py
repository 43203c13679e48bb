"""What the parser of TOML would choke on: one sentence, at once."""

import tomllib

import pytest

from evaluation import keyed
from evaluation.errors import SheetProblem
from evaluation.toml_guard import DEEPEST, LONGEST

TRAPS = {
    "lists in lists": ("a = " + "[" * 3000 + "]" * 3000, "nested in at most 32 levels"),
    "tables in tables": ("a = " + "{b = " * 2000 + "1" + "}" * 2000, "nested in at most 32 levels"),
    "a little too deep": ("a = " + "[" * (DEEPEST + 1) + "]" * (DEEPEST + 1), "nested in at most 32 levels"),
    "a number of 4,400 digits": (
        "[ok]\na = " + "9" * 4400,
        r"mine\.toml, line 2. Expected: whole numbers of at most",
    ),
    "a number of 5,000 hexadecimal digits": (
        "a = 0x" + "f" * 5000,
        "line 1. Expected: whole numbers of at most 64",
    ),
    "a number of 65 bits": (f"a = {2**64}", "line 1. Expected: whole numbers of at most 64 bits"),
    "a key of 100,000 parts": (
        "\n\na" + ".a" * 100_000 + " = 1",
        "line 3. Expected: keys of at most 32 parts",
    ),
    "a table of 50,000 parts": (
        '[a."b"' + " . 'c'" * 50_000 + "]",
        "line 1. Expected: keys of at most 32 parts",
    ),
    "a million characters": ("#" * (LONGEST + 1), "Expected: at most 1,048,576 characters. Found: 1,048,577"),
}


@pytest.mark.parametrize("trap", TRAPS)
def test_a_trap_is_refused_in_one_sentence(trap: str) -> None:
    text, told = TRAPS[trap]
    with pytest.raises(SheetProblem, match=told):
        keyed.parsed(text, "mine.toml", what="Nothing was kept.")


@pytest.mark.parametrize("trap", [trap for trap, (_, told) in TRAPS.items() if "keys of at most" in told])
def test_the_parser_is_not_asked_for_what_takes_it_hours(trap: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """It takes the square of a key's parts in time."""
    monkeypatch.setattr(tomllib, "loads", lambda text: pytest.fail("the parser was asked"))
    text, told = TRAPS[trap]
    with pytest.raises(SheetProblem, match=told):
        keyed.parsed(text, "mine.toml", what="Nothing was kept.")


def test_what_people_write_stays_within_the_limits() -> None:
    deep = "a = " + "[" * (DEEPEST - 1) + "]" * (DEEPEST - 1)
    dots = 'dots = "' + ". " * 5000 + 'x.y"'
    text = f"{deep}\n{dots}\nword = '{'x' * 500_000}'\nlargest = {2**63 - 1}\n"
    assert set(keyed.parsed(text, "mine.toml", what="Nothing was kept.").names()) >= {"dots", "largest"}


@pytest.mark.parametrize(
    "value", ["nan", "-inf", "1e400", "1979-05-27T07:32:00Z", "1979-05-27", "07:32:00", "true", "[]", "{}"]
)
def test_other_kinds_of_value_in_place_of_a_number_or_text(value: str) -> None:
    top = keyed.parsed(f"number = {value}\ntext = {value}\nnames = 3", "mine.toml", what="Nothing was kept.")
    top.number("number", low=-1e6, high=1e6)
    top.text("text")
    top.texts("names")
    with pytest.raises(
        SheetProblem, match=r"number: expected a number.*text: expected text.*names: expected a list"
    ):
        top.finish()
