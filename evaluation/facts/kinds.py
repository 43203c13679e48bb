"""What readers of a review ask for and nobody grades: the nouns, and what each is made of.

Every fact is a few numbers of a counter, a clock, a ruler or a bill, typed as “name value” with commas
between. Standard library only.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal

Whose = Literal["session", "printer"]
Values = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class FactValue:
    """One value of a fact: a number from `low` to `high` in `unit`, or text where there is no unit."""

    name: str
    unit: str = ""
    low: float = 0.0
    high: float = 0.0
    needed: bool = True

    @property
    def is_number(self) -> bool:
        return self.high > self.low


@dataclass(frozen=True, slots=True)
class Kind:
    """A fact that may be stated of a session, or of its printer and so of all sessions of that.

    method     how it is come by, in one line
    tells_not  what it leaves open, in one sentence
    """

    id: str
    title: str
    whose: Whose
    parts: tuple[FactValue, ...]
    example: str
    method: str
    tells_not: str

    def part(self, name: str) -> FactValue | None:
        """The part of that name, or None."""
        return next((part for part in self.parts if part.name == name), None)


KINDS: Final = (
    Kind(
        "ink",
        "Ink use",
        "session",
        (
            FactValue("inks", "inks", 1, 24),
            FactValue("step", "ml", 0.001, 100),
            FactValue("used", "ml", 0.001, 100_000),
            FactValue("area", "m2", 0.001, 10_000),
            FactValue("cleaning", "ml", 0, 100_000, needed=False),
            FactValue("picture", needed=False),
        ),
        "inks 10, step 2 ml, used 41 ml, area 4.1 m2, cleaning 6 ml, picture harbour",
        "Counters of all inks before and after, cleaning left out; the error is that of their steps.",
        "Another picture, quality or paper takes another amount; not all that counters count is on paper.",
    ),
    Kind(
        "time",
        "Time for a print",
        "session",
        (FactValue("minutes", "min", 0.01, 10_000),),
        "12.5, 12.8, 12.6",
        "From the command to print until the sheet lies free; the median of three.",
        "Preparing the file, warming up and drying are not in it.",
    ),
    Kind(
        "cost",
        "Cost",
        "session",
        (
            FactValue("paper price", "money", 0.001, 1_000_000),
            FactValue("paper area", "m2", 0.001, 10_000),
            FactValue("taken", "m2", 0.0001, 10_000),
            FactValue("printed", "m2", 0.0001, 10_000),
            FactValue("ink price", "money", 0.001, 1_000_000, needed=False),
            FactValue("ink volume", "ml", 0.1, 1_000_000, needed=False),
            FactValue("currency"),
            FactValue("dated"),
        ),
        "paper price 120, paper area 7.4 m2, taken 0.156 m2, printed 0.125 m2, "
        "ink price 95, ink volume 220 ml, currency EUR, dated Nov 2026",
        "Price of the paper taken, margins with it, and of the ink used, for a square metre of picture.",
        "Heads, waste of loading, cleaning, power and work are not in it; prices are of their date.",
    ),
    Kind(
        "curl",
        "Curl",
        "session",
        (
            FactValue("corners", "mm", -500, 500),
            FactValue("after", "h", 0, 10_000),
            FactValue("humidity", "% RH", 1, 100),
        ),
        "corners 4 6 3 5 mm, after 24 h, humidity 48 %",
        "Height of each corner above a flat table, print up; below 0 the middle stands up instead.",
        "It holds for this humidity and age; a roll's end curls more than its beginning.",
    ),
    Kind(
        "noise",
        "Noise",
        "printer",
        (
            FactValue("printing", "dB", 0, 150),
            FactValue("quiet", "dB", 0, 150),
            FactValue("phone", needed=False),
        ),
        "printing 57 dB, quiet 38 dB, phone the same for both",
        "One phone at 1 m, printing less the quiet room, in whole dB.",
        "No sound level: phone apps disagree, and few keep within 5 dB (Nast and others, 2014).",
    ),
    Kind(
        "waste",
        "Waste of a roll",
        "printer",
        (
            FactValue("cut off", "mm", 0, 10_000),
            FactValue("width", "mm", 10, 5_000),
            FactValue("loads", "loads", 1, 1_000),
        ),
        "cut off 310 mm, width 610 mm, loads 3",
        "What was cut off in so many loads, measured along the roll.",
        "The end of the roll that cannot be printed comes on top.",
    ),
    Kind(
        "loading",
        "Sheet against roll",
        "printer",
        (FactValue("sheet", "min", 0.01, 600), FactValue("roll", "min", 0.01, 600)),
        "sheet 1.5 min, roll 4 min",
        "From the paper in hand until the printer is ready for it.",
        "A roll is loaded once for many prints, and its prints have to be cut and flattened.",
    ),
    Kind(
        "power",
        "Power",
        "printer",
        (
            FactValue("printing", "W", 0, 10_000),
            FactValue("idle", "W", 0, 10_000, needed=False),
            FactValue("meter", needed=False),
        ),
        "printing 62 W, idle 9 W, meter at the socket",
        "A meter at the socket, averaged over a whole print.",
        "Warming up, drying aids and the computer are not in it.",
    ),
)
BY_ID: Final[Mapping[str, Kind]] = {kind.id: kind for kind in KINDS}
