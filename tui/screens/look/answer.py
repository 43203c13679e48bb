"""What every answer in the making is: digits in, Enter takes it, lines to show. Shared by all its kinds.

`digit` and `enter` give back a value (the answer is whole), a sentence (it was refused), `LEAVE` (nothing
said, go on) or None (more to come).
"""

from typing import Final, Protocol

from evaluation.session import CAST_WORDS, Value
from tui.widgets.lines import Line, Span, cell

LEAVE: Final = "leave"
Given = Value | None
Result = Value | str | None


class Asking(Protocol):
    """What Look needs of an answer in the making."""

    @property
    def foot(self) -> str:
        """The state of the footer."""
        ...

    def digit(self, digit: int) -> Result: ...
    def enter(self) -> Result: ...
    @property
    def begun(self) -> str:
        """How to end what was begun and is not saved; "" when nothing was begun."""
        ...

    def clear(self) -> bool:
        """Forget what was begun; False when nothing was."""
        ...

    def keep(self, value: Value) -> None:
        """Stand as before the last key: the answer it made whole was not taken."""
        ...

    def lines(self, width: int, room: int) -> list[Line]: ...


class Typed:
    """Digits of a number, at most two of them."""

    def __init__(self) -> None:
        self.digits = ""
        self.refused = False  # they stand there to be seen; the next digit begins anew

    def add(self, digit: int) -> str | None:
        if self.refused:
            self.digits, self.refused = "", False
        if len(self.digits) == 2:
            return f"Enter takes {self.digits}; Esc forgets it."
        self.digits = f"{self.digits}{digit}"
        return None

    def take(self) -> int | None:
        number, self.digits = (int(self.digits) if self.digits else None), ""
        self.refused = False
        return number

    def keep(self, number: int) -> None:
        """A number that was not taken."""
        self.digits, self.refused = str(number), True

    @property
    def begun(self) -> str:
        return f"Enter takes {self.digits}; Esc forgets it." if self.digits else ""

    @property
    def shown(self) -> str:
        return f"{self.digits or '  '}_" if len(self.digits) < 2 else self.digits


def cast_words(first: int) -> list[Line]:
    """The six words of a cast in two columns, as a keypad has them."""
    rows: list[Line] = []
    for place in range(first, len(CAST_WORDS), 2):
        pair: list[Span] = [(f"{place} {cell(CAST_WORDS[place], 11)}", "")]
        if place + 1 < len(CAST_WORDS):
            pair.append((f"{place + 1} {CAST_WORDS[place + 1]}", ""))
        rows.append(tuple(pair))
    return rows
