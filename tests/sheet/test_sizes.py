"""Sheet sizes and rolls."""

import pytest

from evaluation.errors import UsageProblem
from evaluation.sheet.sizes import NAMED, on_roll, roll_mm, size_mm, size_name


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("A4", (210.0, 297.0)),
        ("a3+", (330.2, 482.6)),
        ("13x19in", (330.2, 482.6)),
        ("17 x 22 in", (431.8, 558.8)),
        ("400x600mm", (400.0, 600.0)),
        ("40×60cm", (400.0, 600.0)),
        ("Letter", (215.9, 279.4)),
        ("8.5x11in", (215.9, 279.4)),
        ("8,5x11in", (215.9, 279.4)),
        ("42 × 59,4 cm", (420.0, 594.0)),
    ],
)
def test_sizes_are_understood(text: str, size: tuple[float, float]) -> None:
    assert size_mm(text) == pytest.approx(size)


@pytest.mark.parametrize(
    "text", ["", "13x19", "big", "13x19furlong", "-1x2in", "9999x2in", "1e3x2mm", "8,5,1x11in", "8,x11in"]
)
def test_others_are_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(UsageProblem) as caught:
        size_mm(text)
    assert "size" in caught.value.sentence


def test_every_named_size_has_a_name_again() -> None:
    for name, size in NAMED.items():
        assert f"{size[0]:.0f} x {size[1]:.0f} mm" in size_name(size_mm(name))


@pytest.mark.parametrize(
    ("size", "roll", "told"),
    [
        ("13x19in", "16in", "Fits lengthwise (483 mm of the roll) on the 16 in roll."),  # common practice
        ("17x22in", "24in", "Fits lengthwise (559 mm of the roll) and across (432 mm of the roll)"),
        ("22x17in", "17in", "Fits lengthwise (559 mm of the roll) on the 17 in roll."),
        ("A2", "300mm", "Does not fit on the 300 mm roll: its shorter side is 420 mm."),
    ],
)
def test_how_a_sheet_lies_on_a_roll(size: str, roll: str, told: str) -> None:
    assert told in on_roll(size_mm(size), roll_mm(roll))


def test_a_roll_without_a_unit_is_refused() -> None:
    with pytest.raises(UsageProblem, match="roll"):
        roll_mm("17")
