"""Answers of several parts: a cast by thirds or groups, places with their steps, faults by number."""

from collections.abc import Sequence

from evaluation.session import CAST_WORDS, STRENGTHS, Cast, CastWord, Place, Strength, Value, part_words
from tui.screens.look.answer import LEAVE, Given, Result, Typed, cast_words
from tui.widgets.lines import Line, cell


class CastAsking:
    """Part by part: a word, then how strong; 0 is none."""

    foot = "look.digit"

    def __init__(self, parts: Sequence[str], given: Given) -> None:
        self.parts = tuple(parts)
        self.said: list[tuple[str, CastWord, Strength | None]] = []
        self.word: CastWord | None = None
        self.given = given if isinstance(given, Cast) else None

    def digit(self, digit: int) -> Result:
        if self.word is None:
            if digit >= len(CAST_WORDS):
                return "0 none, 1 to 6 the colour of the cast. Enter leaves the question open."
            if digit == 0:
                return self._add("none", None)
            self.word = CAST_WORDS[digit]
            return None
        if not 1 <= digit <= len(STRENGTHS):
            return "1 just, 2 clear, 3 strong."
        return self._add(self.word, STRENGTHS[digit - 1])

    def _add(self, word: CastWord, strength: Strength | None) -> Result:
        self.said.append((self.parts[len(self.said)], word, strength))
        self.word = None
        return Cast(tuple(self.said)) if len(self.said) == len(self.parts) else None

    def enter(self) -> Result:
        return self.begun or LEAVE

    @property
    def begun(self) -> str:
        return "Say the rest of the parts, or Esc to begin again." if self.said or self.word else ""

    def clear(self) -> bool:
        began = bool(self.begun)
        self.said, self.word = [], None
        return began

    def keep(self, value: Value) -> None:
        _, word, strength = self.said.pop()
        self.word = word if strength else None

    def lines(self, width: int, room: int) -> list[Line]:
        lines: list[Line] = []
        before = {part: (word, strength) for part, word, strength in self.given.parts} if self.given else {}
        names = part_words(self.parts)
        for place, part in enumerate(self.parts):
            here = place == len(self.said)
            said = ""
            if place < len(self.said):
                said = _cast(self.said[place][1], self.said[place][2])
            elif here and self.word:
                said = f"{self.word}, how strong?"
            elif part in before and not self.said and not self.word:
                said = _cast(*before[part])
            elif not here:
                said = "."
            row = f"{'▸' if here else ' '}{cell(names[place], 11)}{said}"
            lines.append(((row, "strong" if here else ""),))
        lines.append("")
        if self.word is None:
            return [*lines, "0 none", *cast_words(1)]
        return [*lines, *(f"{place} {word}" for place, word in enumerate(STRENGTHS, 1))]


class PlaceAsking:
    """Names from a list, each with the first step concerned, if one can be named."""

    def __init__(self, names: Sequence[str], given: Given) -> None:
        self.names = tuple(names)
        self.typed = Typed()
        self.name: str | None = None
        self.places: dict[str, int | None] = {}
        self.none = False
        self.given = given if isinstance(given, Place) else None

    def digit(self, digit: int) -> Result:
        if self.name is None and not self.typed.digits and digit == 0:
            self.none = True
            return Place(())
        return self.typed.add(digit)

    def enter(self) -> Result:
        number = self.typed.take()
        if self.name is not None:
            self.places[self.name], self.name = (number or None), None
            return None
        if number is None:
            return Place(tuple(self.places.items())) if self.places else LEAVE
        if not 1 <= number <= len(self.names):
            return f"The list runs from 1 to {len(self.names)}; 0 is none."
        self.name = self.names[number - 1]
        return None

    @property
    def foot(self) -> str:
        return "look.list" if self.begun else "look.choose"

    @property
    def begun(self) -> str:
        if self.name is not None:
            return f"Enter takes {self.name}; Esc forgets it."
        if self.places and not self.typed.digits:
            return "Enter: that is all of them; Esc forgets them."
        return self.typed.begun

    def clear(self) -> bool:
        began = bool(self.begun)
        self.places, self.name, self.typed = {}, None, Typed()
        return began

    def keep(self, value: Value) -> None:
        """The places are still there."""

    def lines(self, width: int, room: int) -> list[Line]:
        if self.name is not None:
            return [
                ((f"{self.name}, from step  ", ""), (self.typed.shown, "strong")),
                "",
                (("Enter alone: no step to name.", "quiet"),),
            ]
        lines: list[Line] = [(("0 none, or which  ", "quiet"), (self.typed.shown, "strong"))]
        cells = [
            f"{place:>2} {cell(_place(name, self.places), 16)}" for place, name in enumerate(self.names, 1)
        ]
        rows = max(1, -(-len(cells) // 2))
        for row in range(rows):
            pair = [cells[row], *([cells[row + rows]] if row + rows < len(cells) else [])]
            lines.append("  ".join(pair))
        if self.given is not None and not self.places:
            said = ", ".join(_place(name, dict(self.given.places)) for name, _ in self.given.places)
            lines += [f"▸answered: {cell(said or 'none', width - 11)}"]
        elif self.typed.digits:
            lines += [(("Enter takes the number.", "quiet"),)]
        elif self.places:
            lines += [(("Enter: that is all of them.", "quiet"),)]
        return lines


class FaultAsking:
    """The faults of a region by number; each digit takes or leaves one, and is saved at once."""

    begun = ""

    def __init__(self, names: Sequence[str], seen: frozenset[str], none: bool = False) -> None:
        self.names = tuple(names)[:9]
        self.seen = seen
        self.none = none  # it was said that there are none

    @property
    def foot(self) -> str:
        return "look.list" if self.answered else "look.choose"

    @property
    def answered(self) -> bool:
        return self.none or bool(self.seen)

    def toggled(self, digit: int) -> tuple[str, bool] | str:
        """The fault a digit names and whether it is there now, or why not."""
        if not 1 <= digit <= len(self.names):
            return f"Faults run from 1 to {len(self.names)}; 0 is none, Enter is done."
        name = self.names[digit - 1]
        return name, name not in self.seen

    def clear(self) -> bool:
        return False

    def lines(self, width: int, room: int) -> list[Line]:
        lines: list[Line] = [(("*0 none", "strong"),) if self.none else " 0 none"]
        for place, name in enumerate(self.names, 1):
            there = name in self.seen
            lines.append(((f"{'*' if there else ' '}{place} {name}", "strong" if there else ""),))
        return lines


def _cast(word: str, strength: str | None) -> str:
    return f"{word}, {strength}" if strength else word


def _place(name: str, places: dict[str, int | None]) -> str:
    if name not in places:
        return name
    step = places[name]
    return f"{name}: {step}" if step else f"{name}: yes"
