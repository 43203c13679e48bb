"""An answer being given, digit by digit. One grammar: a digit says it, Enter takes it or leaves it open.

Each kind of question has its own small state; none knows the screen or the archive.
"""

from collections.abc import Sequence

from evaluation.session import (
    CAST_WORDS,
    GRADE_WORDS,
    Count,
    Grade,
    Pick,
    Value,
    YesNo,
)
from evaluation.sheet.layout import Question
from tui.screens.look.answer import LEAVE, Asking, Given, Result, Typed, cast_words
from tui.screens.look.answer_parts import CastAsking, PlaceAsking
from tui.widgets.lines import Line, wrapped


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

    @property
    def begun(self) -> str:
        return ""

    def clear(self) -> bool:
        return False

    def keep(self, value: Value) -> None:
        """One key says it whole."""

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

    @property
    def begun(self) -> str:
        return ""

    def clear(self) -> bool:
        return False

    def keep(self, value: Value) -> None:
        """One key says it whole."""

    def lines(self, width: int, room: int) -> list[Line]:
        said = {True: 1, False: 0}.get(self.given) if self.given is not None else None
        return [
            ((f"{'▸' if said == digit else ' '}{digit}   {word}", "strong" if said == digit else ""),)
            for digit, word in ((1, "yes"), (0, "no"))
        ]


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

    @property
    def begun(self) -> str:
        return self.typed.begun

    def clear(self) -> bool:
        return self.typed.take() is not None

    def keep(self, value: Value) -> None:
        if isinstance(value, Count):
            self.typed.keep(value.number)

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

    @property
    def begun(self) -> str:
        if self.none:
            return "1 to 6 name the way out, Enter: none; Esc forgets it."
        if self.first is not None:
            both = " and ".join(filter(None, (str(self.first), self.typed.digits)))
            return f"Enter takes {both}; Esc forgets them."
        return self.typed.begun

    def clear(self) -> bool:
        began = bool(self.begun)
        self.none, self.first, self.typed = False, None, Typed()
        return began

    def keep(self, value: Value) -> None:
        if isinstance(value, Pick) and value.numbers:
            *first, last = value.numbers
            self.first = first[0] if first else None
            self.typed.keep(last)

    def lines(self, width: int, room: int) -> list[Line]:
        if self.none:
            return [
                "None looks grey: all lean ... and grey",
                "would lie outside the ring, towards",
                "",
                *cast_words(1),
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
