"""One answer of the grades form: in words, as a number, or in the codes of the paper form (0 none, 21).

What is left blank is no answer, and so is a dash where nothing can be “none”. A sign after a grade (4-) does
not count. What cannot be meant, or may mean two things, is noted at its key path with what to write.
"""

import re
from collections.abc import Mapping, Sequence
from typing import Any, Final

from evaluation.keyed import Keyed
from evaluation.session import (
    CAST_WORDS,
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

NONE: Final = ("none", "0")
_YES: Final = {"yes": True, "y": True, "true": True, "no": False, "n": False, "false": False}
_APART: Final = re.compile(r" *[,;+&/] *(?:and )?| and ")  # as hands write several things after each other
_COLOURS: Final[Mapping[str, CastWord]] = {word: word for word in CAST_WORDS if word != "none"}
_BY_DIGIT: Final = {str(digit): word for digit, word in enumerate(CAST_WORDS) if digit}
_STRENGTHS: Final[Mapping[str, Strength]] = {word: word for word in STRENGTHS}
_DASHES: Final = ("-", "--", "–", "—", "−", "/")  # as hands cross a box out
_NUMBERED: Final = re.compile(r"(?:no\.?|nos\.?|nr\.?|n°|nº|№|#) ?(?=\d)")  # “no. 7” for 7
_SIGNED: Final = re.compile(r"([1-5]) ?[-+–−]")  # “4-”
_BETWEEN: Final = re.compile(r"([1-5])(?: ?[.,] ?[1-9]\d*| ?½| 1/2| ?[-–/] ?[1-5]| to [1-5]| or [1-5])")
Part = tuple[str, CastWord, Strength | None]


def read_answer(table: Keyed, question: Question, names: Sequence[str]) -> Value | None:
    """The answer at the question's key; None where it is blank, or a mistake was noted.

    `names` are those a question of place may name.
    """
    key = question.id
    if not table.has(key):
        return None
    written = table.any(key)
    if isinstance(written, dict) and question.answer == "cast":
        return _cast_by_parts(table.table(key), question)
    if isinstance(written, dict) and question.answer == "place":
        return _places_by_name(table.table(key))
    if dash(written):
        if question.answer not in ("grade", "yesno"):
            table.wrong(key, f"{expected(question)}; blank where it was not judged", written)
        return None
    try:
        match question.answer:
            case "grade":
                return Grade(_graded(written))
            case "count":
                return Count(0 if _text(written) == "none" else _whole(written))
            case "yesno":
                return YesNo(_YES[_text(written)])
            case "cast":
                return _cast(_text(written), question.parts)
            case "pick":
                return _pick(written)
            case "place":
                return _places(_text(written), names)
    except (KeyError, TypeError, ValueError):
        wanted = expected(question)
        if question.answer == "grade" and _BETWEEN.fullmatch(str(written).strip().casefold()):
            wanted = "a whole grade, 5 to 1: the nearer of the two, and the doubt as a remark"
        table.wrong(key, wanted, written)
    return None


def dash(written: Any) -> bool:
    """Whether a box was crossed out, which says “none” in some hands and “not judged” in others."""
    return isinstance(written, str) and written.strip() in _DASHES


def expected(question: Question) -> str:
    """What an answer to the question looks like."""
    parts = ", ".join(question.parts)
    return {
        "grade": "a grade from 5 to 1",
        "count": "the number that is printed there, 0 for none",
        "yesno": "yes or no",
        "cast": "none, or a colour and just, clear or strong (yellow, just)"
        + (f" for each of {parts}" if len(question.parts) > 1 else ""),
        "pick": "a number, two that tie (21, 34), none, or outside: blue",
        "place": "none, or which and from which step (blue 7, rose)",
    }[question.answer]


def _text(written: Any) -> str:
    """Words of one line in small letters: 4 and "4" are one answer, true and "yes" another."""
    if isinstance(written, bool):
        return "yes" if written else "no"
    if not isinstance(written, str | int):
        raise TypeError
    return " ".join(str(written).casefold().split())


def several(text: str) -> list[str]:
    """What one answer names, one by one: numbers may also stand with blanks between them.

    >>> several("1 3"), several("blue 7 & light grey"), several("21/34")
    (['1', '3'], ['blue 7', 'light grey'], ['21', '34'])
    """
    return text.split() if re.fullmatch(r"\d+(?: \d+)+", text) else _APART.split(text)


def number_alone(text: str) -> str:
    """The number without what is written before it; other text as it is.

    >>> number_alone("no. 7"), number_alone("#12"), number_alone("blue 7")
    ('7', '12', 'blue 7')
    """
    return _NUMBERED.sub("", text, count=1) if _NUMBERED.match(text) else text


def _whole(written: Any) -> int:
    if isinstance(written, bool) or not re.fullmatch(r"\d{1,6}", text := number_alone(_text(written))):
        raise ValueError
    return int(text)


def _graded(written: Any) -> int:
    signed = _SIGNED.fullmatch(_text(written))
    return int(signed[1]) if signed else _whole(written)


def _cast_by_parts(table: Keyed, question: Question) -> Cast | None:
    """A cast part by part: all of them, since no part speaks for another."""
    parts: list[Part] = []
    for part in question.parts:
        if table.has(part):
            written = table.any(part)
            try:
                parts.append((part, *_lean(_text(written))))
            except (KeyError, TypeError, ValueError):
                table.wrong(part, "none, or a colour and just, clear or strong (yellow, just)", written)
                return None
    table.only()
    said = {part for part, _, _ in parts}
    for part in question.parts if parts else ():
        if part not in said:
            table.note(part, "missing; write none where there is no cast")
    return Cast(tuple(parts)) if len(parts) == len(question.parts) else None


def _cast(text: str, parts: Sequence[str]) -> Cast:
    if text in NONE:
        return Cast(tuple((part, "none", None) for part in parts))
    if len(parts) != 1:
        raise ValueError
    return Cast(((parts[0], *_lean(text)),))


def _lean(text: str) -> tuple[CastWord, Strength | None]:
    """A colour and how strong, as words (yellow, just) or as the digits of the paper form (21)."""
    if text in NONE:
        return "none", None
    if code := re.fullmatch(r"([1-6])[ ,]*([1-3])", text):
        return CAST_WORDS[int(code[1])], STRENGTHS[int(code[2]) - 1]
    colour, strength = re.split(r"[ ,]+", text)
    return _COLOURS[colour], _STRENGTHS[strength]


def _pick(written: Any) -> Pick:
    if isinstance(written, list):
        numbers = written
    else:
        text = _text(written)
        if text in NONE:
            return Pick(())
        if outside := re.fullmatch(r"outside[:, ]+(\w+)", text):
            return Pick((), _COLOURS[_BY_DIGIT.get(outside[1], outside[1])])
        numbers = several(text)
    if not 1 <= len(numbers) <= 2:
        raise ValueError
    return Pick(tuple(_whole(number) for number in numbers))


def _places_by_name(table: Keyed) -> Place | None:
    """Ramps, each with its first step; true where no step can be named."""
    places: list[tuple[str, int | None]] = []
    for name in table.names():
        if not table.has(name):
            continue
        step = table.any(name)
        try:
            places.append((name, None if _text(step) in ("yes", "true") else _step(_text(step))))
        except (TypeError, ValueError):
            table.wrong(name, "the first step concerned, or true where none can be named", step)
            return None
    return Place(tuple(places)) if places else None


def _places(text: str, names: Sequence[str]) -> Place:
    if text in NONE:
        return Place(())
    known = {name.casefold(): name for name in names}
    places: list[tuple[str, int | None]] = []
    for part in [text] if text in known else several(text):
        named = re.fullmatch(r"(.+?)(?: from)?(?: step)?(?: no\.?| #)? ?(?<=[ #.])(\d{1,6})", part)
        if part in known:
            places.append((known[part], None))
        elif named and named[1] in known:
            places.append((known[named[1]], _step(named[2])))
        else:
            raise ValueError
    if len(dict(places)) < len(places):
        raise ValueError
    return Place(tuple(places))


def _step(text: str) -> int:
    if not re.fullmatch(r"[1-9]\d{0,5}", text):
        raise ValueError
    return int(text)
