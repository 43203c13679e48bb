"""Facts as a person types them: “inks 10, step 2 ml, used 41 ml”; every mistake in one sentence."""

import re
from collections.abc import Mapping
from datetime import datetime
from typing import Any, Final

from evaluation.errors import UsageProblem
from evaluation.facts.kinds import FactValue, Kind
from evaluation.plain_text import listed, quoted

NOT_SAVED: Final = "Nothing was saved."
_NUMBER: Final = re.compile(r"[-+−]?\d+(?:\.\d+)?|[-+−]?\.\d+")
CORNERS: Final = 4


def typed(kind: Kind, text: str) -> dict[str, Any]:
    """The values of a fact. Raises UsageProblem naming the first part that cannot be what it should be."""
    if kind.id == "time":
        return checked(kind, {"minutes": _numbers(kind.parts[0], text.replace(",", " "))})
    found: dict[str, Any] = {}
    for said in filter(None, (part.strip() for part in re.split(r",(?!\d)|;", text))):
        part = next((one for one in _longest_first(kind) if said.casefold().startswith(one.name)), None)
        rest = "" if part is None else said[len(part.name) :].strip()
        if part is None or not rest or part.name in found:
            raise UsageProblem(
                NOT_SAVED,
                expected="a name once and its value, as in “" + kind.example.split(", ")[0] + "”",
                found=quoted(said),
                remedy=f"Names are {listed([one.name for one in kind.parts])}.",
            )
        found[part.name] = _numbers(part, rest) if part.is_number else rest
    return checked(kind, found)


def checked(kind: Kind, values: Mapping[str, Any]) -> dict[str, Any]:
    """The values of a fact, numbers within their ranges, nothing needed left out. Raises UsageProblem."""
    made: dict[str, Any] = {}
    for part in kind.parts:
        if part.name in values:
            made[part.name] = _value(kind, part, values[part.name])
    lacking = [part.name for part in kind.parts if part.needed and part.name not in made]
    if lacking:
        raise UsageProblem(
            NOT_SAVED,
            where=kind.title,
            expected=f"also {listed(lacking)}",
            found="none",
            remedy=f"As in “{kind.example}”.",
        )
    if kind.id == "noise" and made["printing"] < made["quiet"]:
        raise UsageProblem(
            NOT_SAVED, expected="the printer louder than the quiet room", found="a quieter one"
        )
    if kind.id == "cost" and made["printed"] > made["taken"]:
        raise UsageProblem(
            NOT_SAVED, expected="no more printed than paper taken", found=f"{made['printed']:g} m2 printed"
        )
    if ("ink price" in made) != ("ink volume" in made):
        raise UsageProblem(NOT_SAVED, expected="ink price and ink volume together", found="one of them")
    return made


def sound(kind: Kind, values: Any) -> bool:
    """Whether values that were kept can be a fact: those from another archive may be anything."""
    try:
        if kind.id == "time":  # may be of a print that is still being timed
            started, minutes = values.get("started"), values.get("minutes", [])
            if started is not None and datetime.fromisoformat(started).tzinfo is None:
                return False
            return minutes == [] or bool(checked(kind, {"minutes": minutes}))
        made = checked(kind, values)
        return all(values[name] == value for name, value in made.items())
    except (UsageProblem, TypeError, ValueError, AttributeError):
        return False


def shown(kind: Kind, values: Mapping[str, Any]) -> str:
    """A fact as it is typed.

    >>> from evaluation.facts.kinds import BY_ID
    >>> shown(BY_ID["noise"], {"printing": 57.0, "quiet": 38.0})
    'printing 57 dB, quiet 38 dB'
    """
    if kind.id == "time":
        return ", ".join(f"{one:g}" for one in values.get("minutes", ()))
    parts = []
    for part in kind.parts:
        value = values.get(part.name)
        if value is None:
            continue
        text = " ".join(f"{one:g}" for one in value) if isinstance(value, list) else _plain(value)
        unit = f" {part.unit}" if part.unit not in ("", "money", part.name) else ""
        parts.append(f"{part.name} {text}{unit}")
    return ", ".join(parts)


def _longest_first(kind: Kind) -> list[FactValue]:
    return sorted(kind.parts, key=lambda part: -len(part.name))


def _numbers(part: FactValue, text: str) -> list[float]:
    rest = text.strip().casefold().removesuffix(part.unit.casefold()).removesuffix("%").strip()
    words = rest.split()
    if not words or not all(_NUMBER.fullmatch(word.replace(",", ".")) for word in words):
        raise UsageProblem(NOT_SAVED, expected=f"a number for {part.name}", found=quoted(text))
    return [float(word.replace(",", ".").replace("−", "-")) for word in words]


def _value(kind: Kind, part: FactValue, value: Any) -> Any:
    """One value of a part: a number, four of them for corners, or text."""
    if not part.is_number:
        return str(value)
    numbers = value if isinstance(value, list) else [value]
    several = (kind.id, part.name) in (("time", "minutes"), ("curl", "corners"))
    wanted = CORNERS if part.name == "corners" else 1
    if not numbers or ((part.name == "corners" or not several) and len(numbers) != wanted):
        raise UsageProblem(
            NOT_SAVED, expected=f"{wanted} for {part.name}", found=f"{len(numbers)}", where=kind.title
        )
    for number in numbers:
        if not part.low <= number <= part.high:
            raise UsageProblem(
                NOT_SAVED,
                expected=f"{part.name} from {part.low:g} to {part.high:g} {part.unit}",
                found=f"{number:g}",
            )
    return [float(number) for number in numbers] if several else float(numbers[0])


def _plain(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)
