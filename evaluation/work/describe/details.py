"""What may be measured with a line of Prepare: its names and limits, as typed and as a file states it."""

import re
from collections.abc import Mapping
from typing import Any, Final

from evaluation.errors import UsageProblem
from evaluation.keyed import Keyed
from evaluation.plain_text import quoted
from evaluation.session import MARKS
from evaluation.work.describe.typed_values import NOT_SAVED

Detail = dict[str, str | float]

_NUMBERS: Final[Mapping[str, tuple[float, float, str]]] = {
    "lux": (1, 20000, "a light of 1 to 20000 lx"),
    "kelvin": (1500, 20000, "a light of 1500 to 20000 K"),
    "mm": (50, 150, "a length near 100 mm"),
    "hours": (0, 100_000, "hours"),
    "celsius": (-30, 60, "a temperature of a room"),
    "humidity": (0, 100, "a relative humidity in percent"),
}
_OF_LINE: Final[Mapping[str, tuple[str, ...]]] = {
    "dry": ("hours", "celsius", "humidity", "how"),
    "flat": ("mm",),
    "viewing_light": ("lux", "kelvin", "class", "second", "uv"),
}
_CLASSES: Final = ("P1", "P2")  # ISO 3664
_UV: Final = {"uv": "yes", "with uv": "yes", "with ultraviolet": "yes", "ultraviolet": "yes",
              "no uv": "no", "without uv": "no", "no ultraviolet": "no"}  # fmt: skip


def typed(item: str, text: str) -> Detail:
    """What was typed for a line, as named values. Raises UsageProblem.

    >>> typed("viewing_light", "2040 lx, 5050 K, P1, second A")
    {'lux': 2040.0, 'kelvin': 5050.0, 'class': 'P1', 'second': 'A'}
    """
    text = " ".join(text.split())
    if not text:
        return {}
    if item == "flat":
        return {"mm": _number("mm", text.casefold().removesuffix("mm"))}
    if item == "viewing_light":
        return _light(text)
    return {"how": text}


def stated(table: Keyed, item: str) -> dict[str, Any] | None:
    """A line of Prepare as a condition file states it: mark and detail; None where it is left blank."""
    if not table.has(item):
        return None
    if isinstance(table.any(item), str):
        return {"mark": table.one_of(item, MARKS), "detail": {}}
    line = table.table(item)
    names = _OF_LINE.get(item, ("how",))
    detail = {name: value for name in names if (value := _stated(line, name)) is not None}
    marked = line.has("mark")
    mark = line.one_of("mark", MARKS) if marked or detail else None
    line.only()
    return {"mark": mark, "detail": detail} if mark else None


def _stated(line: Keyed, name: str) -> str | float | None:
    if not line.has(name):
        return None
    if name in _NUMBERS:
        low, high, _ = _NUMBERS[name]
        return line.number(name, low=low, high=high)
    if name == "class":
        return line.one_of(name, _CLASSES)
    if name == "uv":
        return "yes" if line.yes(name) else "no"
    text = line.text(name)
    if name == "second" and "," in text:  # as typed, a comma ends it
        line.wrong(name, "the name of a light without a comma", text)
    return text


def _light(text: str) -> Detail:
    found: Detail = {}
    for part in filter(None, (part.strip() for part in text.split(","))):
        name, value = _light_part(part)
        if name in found:
            raise UsageProblem(NOT_SAVED, expected=f"{name} once", found=quoted(part))
        found[name] = value
    return found


def _light_part(word: str) -> tuple[str, str | float]:
    folded = word.casefold()
    if measured := re.fullmatch(r"([\d.]+)\s*(lx|lux|k|kelvin)", folded):
        name = "lux" if measured[2].startswith("l") else "kelvin"
        return name, _number(name, measured[1])
    if word.upper() in _CLASSES:
        return "class", word.upper()
    if folded in _UV:
        return "uv", _UV[folded]
    if folded.startswith("second "):
        return "second", word[7:].strip()
    raise UsageProblem(
        NOT_SAVED, expected="details such as 2040 lx, 5050 K, P1, second A", found=quoted(word)
    )


def _number(name: str, text: str) -> float:
    low, high, expected = _NUMBERS[name]
    try:
        value = float(text.strip().replace(",", "."))
    except ValueError:
        value = float("nan")
    if not low <= value <= high:
        raise UsageProblem(NOT_SAVED, expected=expected, found=quoted(text))
    return value
