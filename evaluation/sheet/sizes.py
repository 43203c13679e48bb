"""Sheet sizes: by name, in millimetres or inches, and how they fit on a roll."""

import math
import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from evaluation.errors import UsageProblem
from evaluation.plain_text import quoted

INCH: Final = 25.4
SCALE_MM: Final = 100.0  # length of the scale at the foot of the sheet

# Millimetres, width by height. A sizes: ISO 216. Inch sizes as they are sold; A3+ is 13 x 19 in.
NAMED: Final[Mapping[str, tuple[float, float]]] = MappingProxyType(
    {
        "A4": (210.0, 297.0),
        "A3": (297.0, 420.0),
        "A3+": (13 * INCH, 19 * INCH),
        "A2": (420.0, 594.0),
        "Letter": (8.5 * INCH, 11 * INCH),
        "Tabloid": (11 * INCH, 17 * INCH),
        "13x19in": (13 * INCH, 19 * INCH),
        "17x22in": (17 * INCH, 22 * INCH),
    }
)
SHORTEST: Final = 180.0  # mm of printable width, below which 6 pt captions do not fit
LONGEST: Final = 3000.0  # mm
FITS_MM: Final = 0.05  # by which a sheet may be wider than its roll: rounding of inches

_NUMBER: Final = r"(\d+(?:[.,]\d+)?)"  # with a decimal point or comma
_MEASURES: Final = re.compile(rf"\s*{_NUMBER}\s*[x×]\s*{_NUMBER}\s*(mm|cm|in)\s*", re.IGNORECASE)
_WIDTH: Final = re.compile(rf"\s*{_NUMBER}\s*(mm|cm|in)\s*", re.IGNORECASE)
_UNITS: Final = MappingProxyType({"mm": 1.0, "cm": 10.0, "in": INCH})


def size_mm(text: str) -> tuple[float, float]:
    """Width and height in millimetres of "A3", "13x19in" or "400x600mm". Raises UsageProblem.

    >>> size_mm("13x19in")
    (330.2, 482.6)
    """
    for name, size in NAMED.items():
        if text.strip().lower() == name.lower():
            return _rounded(size)
    measures = _MEASURES.fullmatch(text)
    if measures is None:
        raise UsageProblem(
            "No sheet was written.",
            where="size",
            expected=f"one of {', '.join(NAMED)}, or width x height with mm, cm or in, as 400x600mm",
            found=quoted(text),
        )
    unit = _UNITS[measures[3].lower()]
    size = (_number(measures[1]) * unit, _number(measures[2]) * unit)
    if max(size) > LONGEST:
        raise UsageProblem(
            "No sheet was written.",
            where="size",
            expected=f"sides up to {LONGEST:g} mm",
            found=f"{size[0]:.0f} x {size[1]:.0f} mm",
        )
    return _rounded(size)


def size_name(size: tuple[float, float]) -> str:
    """The size in words, in inches too where they are whole or half.

    >>> size_name((330.2, 482.6))
    '330 x 483 mm (13 x 19 in)'
    """
    words = f"{size[0]:.0f} x {size[1]:.0f} mm"
    for name in ("A4", "A3", "A2"):
        if _alike(NAMED[name], size):
            return f"{name}, {words}"
        if _alike(NAMED[name], (size[1], size[0])):
            return f"{name} landscape, {words}"
    inches = [side / INCH for side in size]
    if all(abs(side * 2 - round(side * 2)) < 0.01 for side in inches):
        return f"{words} ({inches[0]:.4g} x {inches[1]:.4g} in)"
    return words


def on_roll(size: tuple[float, float], roll_mm: float) -> str:
    """How a sheet fits on a roll: lengthwise, across, both or neither, and how much of the roll it takes.

    Lengthwise the longer side runs along the roll, across it runs along the carriage.

    >>> on_roll((330.2, 482.6), 16 * INCH)
    'Fits lengthwise (483 mm of the roll) on the 16 in roll.'
    """
    shorter, longer = sorted(size)
    ways = []
    if shorter <= roll_mm + FITS_MM:
        ways.append(f"lengthwise ({longer:.0f} mm of the roll)")
    if longer <= roll_mm + FITS_MM and not math.isclose(shorter, longer):
        ways.append(f"across ({shorter:.0f} mm of the roll)")
    roll = _roll_name(roll_mm)
    if not ways:
        return f"Does not fit on the {roll} roll: its shorter side is {min(size):.0f} mm."
    return f"Fits {' and '.join(ways)} on the {roll} roll."


def roll_mm(text: str) -> float:
    """The width of a roll in millimetres, from "24in" or "610mm". Raises UsageProblem."""
    found = _WIDTH.fullmatch(text)
    if found is None:
        raise UsageProblem(
            "No sheet was written.",
            where="roll",
            expected="a width with mm, cm or in, as 24in",
            found=quoted(text),
        )
    return round(_number(found[1]) * _UNITS[found[2].lower()], 3)


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _roll_name(width_mm: float) -> str:
    inches = width_mm / INCH
    return f"{inches:.0f} in" if abs(inches - round(inches)) < 0.02 else f"{width_mm:.0f} mm"


def _alike(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return abs(one[0] - other[0]) < 0.5 and abs(one[1] - other[1]) < 0.5


def _rounded(size: tuple[float, float]) -> tuple[float, float]:
    return round(size[0], 3), round(size[1], 3)
