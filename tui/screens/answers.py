"""An answer being given, digit by digit. One grammar: a digit says it, Enter takes it or leaves it open.

Each kind of question has its own small state; none knows the screen or the archive. `digit` and `enter` give
back a value (the answer is whole), a sentence (it was refused), `LEAVE` (nothing said, go on) or None (more
to come).
"""

from collections.abc import Sequence
from typing import Final, Protocol

from evaluation.session import (
    CAST_WORDS,
    GRADE_WORDS,
    STRENGTHS,
    Cast,
    CastWord,
    Count,
    Grade,
    Pick,
    Place,
    Strength,
    Value,
    YesNo,
)
from evaluation.sheet.layout import Question
from tui.widgets.lines import Line, Span, cell, wrapped

LEAVE: Final = "leave"
Given = Value | None
Result = Value | str | None


class Asking(Protocol):
    """What Look needs of an answer in the making."""

    foot: str  # the state of the footer

    def digit(self, digit: int) -> Result: ...
    def enter(self) -> Result: ...
    def clear(self) -> bool:
        """Forget what was begun; False when nothing was."""
        ...

    def lines(self, width: int, room: int) -> list[Line]: ...


def asking(question: Question, given: Given, names: Sequence[str]) -> Asking:
    """The answer in the making for a question; `given` is what was said before, `names` its places."""
    match question.answer:
        case "grade":
            return GradeAsking(question, given)
        case "count":
            return CountAsking(given)
        case "cast":
            return CastAsking(question.parts, given)
        case "pick":
            return PickAsking(given)
        case "place":
            return PlaceAsking(names, given)
        case "yesno":
            return YesNoAsking(given)


class GradeAsking:
    """5 to 1; the words of the scale, and under 5, 3 and 1 what they look like here."""

    foot = "look.grade"

    def __init__(self, question: Question, given: Given) -> None:
        self.here = dict(question.grades)
        self.given = given.value if isinstance(given, Grade) else None

    def digit(self, digit: int) -> Result:
        if digit not in GRADE_WORDS:
            return "Grades run from 5 to 1. Enter leaves the question open."
        return Grade(digit)

    def enter(self) -> Result:
        return LEAVE

    def clear(self) -> bool:
        return False

    def lines(self, width: int, room: int) -> list[Line]:
        lines: list[Line] = []
        airy = room >= 14
        rows = 5 + sum(len(wrapped(words, width - 5, 2)) for words in self.here.values())
        most = 2 if rows <= room else 1
        for grade, word in GRADE_WORDS.items():
            sign = "▸" if grade == self.given else " "
            lines.append(((f"{sign}{grade}   {word}", "strong" if grade == self.given else ""),))
            if grade in self.here:
                lines += [((f"     {row}", "quiet"),) for row in wrapped(self.here[grade], width - 5, most)]
            if airy and grade > 1:
                lines.append("")
        return lines


class YesNoAsking:
    foot = "look.digit"

    def __init__(self, given: Given) -> None:
        self.given = given.yes if isinstance(given, YesNo) else None

    def digit(self, digit: int) -> Result:
        return YesNo(digit == 1) if digit in (0, 1) else "1 is yes, 0 is no. Enter leaves the question open."

    def enter(self) -> Result:
        return LEAVE

    def clear(self) -> bool:
        return False

    def lines(self, width: int, room: int) -> list[Line]:
        said = {True: 1, False: 0}.get(self.given) if self.given is not None else None
        return [
            ((f"{'▸' if said == digit else ' '}{digit}   {word}", "strong" if said == digit else ""),)
            for digit, word in ((1, "yes"), (0, "no"))
        ]


class Typed:
    """Digits of a number, at most two of them."""

    def __init__(self) -> None:
        self.digits = ""

    def add(self, digit: int) -> str | None:
        if len(self.digits) == 2:
            return f"Enter takes {self.digits}; Esc forgets it."
        self.digits = f"{self.digits}{digit}"
        return None

    def take(self) -> int | None:
        number, self.digits = (int(self.digits) if self.digits else None), ""
        return number

    @property
    def shown(self) -> str:
        return f"{self.digits or '  '}_" if len(self.digits) < 2 else self.digits


class CountAsking:
    """The number of a figure, a step or a group of lines; 0 is none."""

    foot = "look.number"

    def __init__(self, given: Given) -> None:
        self.typed = Typed()
        self.given = given if isinstance(given, Count) else None

    def digit(self, digit: int) -> Result:
        return self.typed.add(digit)

    def enter(self) -> Result:
        number = self.typed.take()
        return LEAVE if number is None else Count(number)

    def clear(self) -> bool:
        return self.typed.take() is not None

    def lines(self, width: int, room: int) -> list[Line]:
        lines: list[Line] = [(("number   ", "quiet"), (self.typed.shown, "strong"))]
        if self.given is not None:
            lines += ["", f"▸answered: {self.given.number or 'none'}"]
        return [
            *lines,
            "",
            (("0 is none. Enter takes the number;", "quiet"),),
            (("alone it leaves it open.", "quiet"),),
        ]


class PickAsking:
    """Printed two-digit numbers of fields: one, two that tie, none, or a way out of the ring."""

    foot = "look.number"

    def __init__(self, given: Given) -> None:
        self.typed = Typed()
        self.first: int | None = None
        self.none = False
        self.given = given if isinstance(given, Pick) else None

    def digit(self, digit: int) -> Result:
        if self.none:
            if 1 <= digit < len(CAST_WORDS):
                return Pick((), CAST_WORDS[digit])
            return "1 to 6 name the way out; Enter: none at all."
        if not self.typed.digits and digit == 0 and self.first is None:
            self.none = True
            return None
        if len(self.typed.digits) == 2 and self.first is None:
            self.first = self.typed.take()
        return self.typed.add(digit)

    def enter(self) -> Result:
        if self.none:
            return Pick(())
        if len(self.typed.digits) == 1:
            return "Fields have two digits; Esc forgets the one typed."
        last = self.typed.take()
        numbers = tuple(number for number in (self.first, last) if number is not None)
        self.first = None
        return Pick(numbers) if numbers else LEAVE

    def clear(self) -> bool:
        began = self.none or self.first is not None or bool(self.typed.digits)
        self.none, self.first, self.typed = False, None, Typed()
        return began

    def lines(self, width: int, room: int) -> list[Line]:
        if self.none:
            return [
                "None looks grey: all lean ... and grey",
                "would lie outside the ring, towards",
                "",
                *_words(1),
                "",
                (("Enter: none, and no way out to name.", "quiet"),),
            ]
        tie = f"{self.first} and " if self.first is not None else ""
        lines: list[Line] = [(("field    ", "quiet"), (tie + self.typed.shown, "strong"))]
        if self.given is not None:
            said = " and ".join(map(str, self.given.numbers)) or (self.given.outside or "none")
            lines += ["", f"▸answered: {said}"]
        notes = ("The two digits printed beside the field.", "Two that tie: type both. 0: none of them.")
        return [*lines, "", *((((note, "quiet"),)) for note in notes), "", (("Enter takes it.", "quiet"),)]


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
                return "0 none, 1 to 6 the way it leans. Enter leaves the question open."
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
        if self.said or self.word:
            return "Say the rest of the parts, or Esc to begin again."
        return LEAVE

    def clear(self) -> bool:
        began = bool(self.said) or self.word is not None
        self.said, self.word = [], None
        return began

    def lines(self, width: int, room: int) -> list[Line]:
        lines: list[Line] = []
        before = {part: (word, strength) for part, word, strength in self.given.parts} if self.given else {}
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
            lines.append(((f"{'▸' if here else ' '}{cell(part, 9)}{said}", "strong" if here else ""),))
        lines.append("")
        if self.word is None:
            return [*lines, "0 none", *_words(1)]
        return [*lines, *(f"{place} {word}" for place, word in enumerate(STRENGTHS, 1))]


class PlaceAsking:
    """Names from a list, each with the first step concerned, if one can be named."""

    foot = "look.list"

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

    def clear(self) -> bool:
        began = bool(self.places) or self.name is not None or bool(self.typed.digits)
        self.places, self.name, self.typed = {}, None, Typed()
        return began

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
        elif self.places:
            lines += [(("Enter: that is all of them.", "quiet"),)]
        return lines


class FaultAsking:
    """The faults of a region by number; each digit takes or leaves one, and is saved at once."""

    foot = "look.list"

    def __init__(self, names: Sequence[str], seen: frozenset[str]) -> None:
        self.names = tuple(names)[:9]
        self.seen = seen

    def toggled(self, digit: int) -> tuple[str, bool] | str:
        """The fault a digit names and whether it is there now, or why not."""
        if not 1 <= digit <= len(self.names):
            return f"Faults run from 1 to {len(self.names)}; 0 is none, Enter is done."
        name = self.names[digit - 1]
        return name, name not in self.seen

    def clear(self) -> bool:
        return False

    def lines(self, width: int, room: int) -> list[Line]:
        lines: list[Line] = [" 0 none"]
        for place, name in enumerate(self.names, 1):
            there = name in self.seen
            lines.append(((f"{'*' if there else ' '}{place} {name}", "strong" if there else ""),))
        return lines


def _words(first: int) -> list[Line]:
    """The six words of a cast in two columns, as a keypad has them."""
    rows: list[Line] = []
    for place in range(first, len(CAST_WORDS), 2):
        pair: list[Span] = [(f"{place} {cell(CAST_WORDS[place], 11)}", "")]
        if place + 1 < len(CAST_WORDS):
            pair.append((f"{place + 1} {CAST_WORDS[place + 1]}", ""))
        rows.append(tuple(pair))
    return rows


def _cast(word: str, strength: str | None) -> str:
    return f"{word}, {strength}" if strength else word


def _place(name: str, places: dict[str, int | None]) -> str:
    if name not in places:
        return name
    step = places[name]
    return f"{name}: {step}" if step else f"{name}: yes"
