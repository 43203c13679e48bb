"""The report on a lamp: its colour and rendering, and what ISO 3664 asks of a booth held beside them."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from evaluation.colorimetry.illuminants import Light
from evaluation.colorimetry.lamp_colour import WIDEST_STEP, LampColour, lamp_colour
from evaluation.colorimetry.lamps import read_lamp
from evaluation.colorimetry.named_lights import known_as, light_names
from evaluation.documents import lamps as shape
from evaluation.published.passport import load_toml
from evaluation.work.neutrality.lamps import by_name

# What each number leaves open: it stands beside the number wherever that is shown.
TELLS_NOT: Final[Mapping[str, str]] = MappingProxyType(
    {
        "kelvin": "Lights of one temperature can still render a print quite differently.",
        "duv": "Daylight lies at +0.003 too. How colours are rendered is not in it.",
        "from_d50": "White alone: lights of one white can still shift inks differently.",
        "general_rendering": "The mean of eight pale colours: strong ones, and matches, are not in it.",
        "lowest_rendering": "The worst of eight pale colours; none of them is an ink.",
        "strong_red": "One strong red. ISO 3664 sets no limit for it.",
        "fidelity": "How far 99 colours move on average: not which of them, nor which way.",
        "metamerism": "One pair of greys of our own choice, not the index that ISO 3664 asks for.",
        "ultraviolet": "Only from 360 to 395 nm: what lies below makes paper glow too.",
    }
)


@dataclass(frozen=True, slots=True)
class Asked:
    """One thing ISO 3664 asks of a booth.

    found, met  None where this light has no such number, or no spectrum tells it
    instead     what tells it where no spectrum does, else ""
    confirmed   False: the limit is recalled, and nobody has held it against the standard
    """

    what: str
    limit: str
    found: float | None
    met: bool | None
    instead: str
    confirmed: bool


@dataclass(frozen=True, slots=True, eq=False)
class Lamp:
    """One lamp reported on. `what` is the kind of light behind a name, "" for a file."""

    light: Light
    what: str
    colour: LampColour
    asked: tuple[Asked, ...]
    remarks: tuple[str, ...]

    def value(self, key: str) -> float | None:
        """The number of one of the keys of `TELLS_NOT`; None where this light has none."""
        return _values(self.colour)[key]


def lamp(word: str) -> Lamp:
    """The report on the lamp in a file, or on a light by its name. Raises FileProblem or UsageProblem."""
    path = Path(word).expanduser()
    name = None if path.exists() else known_as(word)
    if name is None and (path.exists() or path.suffix):
        light, what = read_lamp(path), ""
    else:
        light = by_name(word)
        what = light_names()[light.name].what
    colour = lamp_colour(light)
    return Lamp(light, what, colour, _asked(colour), _remarks(light, colour))


def names() -> tuple[shape.NamedLight, ...]:
    """The lights that go by a name, as plain JSON values."""
    found: list[shape.NamedLight] = [
        {"name": one.name, "what": one.what, "kelvin": one.kelvin} for one in light_names().values()
    ]
    return tuple(found)


def document(one: Lamp) -> shape.Lamp:
    """A report as plain JSON values, rounded."""
    white = one.colour.white
    return {
        "name": one.light.name,
        "what": one.what,
        "wavelengths": {"first": one.light.first, "last": one.light.last, "step": one.light.step},
        "xy": _pair(one.colour.xy),
        "uv_10": _pair(one.colour.uv_10),
        "numbers": _numbers(one.colour),
        "rendering": [] if white is None else [round(value, 1) for value in white.rendering],
        "asked": [
            {
                "what": ask.what,
                "limit": ask.limit,
                "found": None if ask.found is None else round(ask.found, 4),
                "met": ask.met,
                "instead": ask.instead,
                "confirmed": ask.confirmed,
            }
            for ask in one.asked
        ],
        "remarks": list(one.remarks),
    }


def _pair(values: tuple[float, float]) -> tuple[float, float]:
    return round(values[0], 4), round(values[1], 4)


def _numbers(colour: LampColour) -> shape.Numbers:
    rounded = {key: None if value is None else round(value, 4) for key, value in _values(colour).items()}
    return {
        "kelvin": rounded["kelvin"],
        "duv": rounded["duv"],
        "from_d50": rounded["from_d50"],
        "general_rendering": rounded["general_rendering"],
        "lowest_rendering": rounded["lowest_rendering"],
        "strong_red": rounded["strong_red"],
        "fidelity": rounded["fidelity"],
        "metamerism": rounded["metamerism"],
        "ultraviolet": rounded["ultraviolet"],
    }


def _values(colour: LampColour) -> dict[str, float | None]:
    values: dict[str, float | None] = dict.fromkeys(TELLS_NOT)
    values |= {"from_d50": colour.from_d50, "ultraviolet": colour.ultraviolet}
    if (white := colour.white) is not None:
        values |= {
            "kelvin": white.kelvin,
            "duv": white.duv,
            "general_rendering": white.general_rendering,
            "lowest_rendering": min(white.rendering[:8]),
            "strong_red": white.rendering[8],
            "fidelity": white.fidelity,
            "metamerism": white.metamerism,
        }
    return values


def _asked(colour: LampColour) -> tuple[Asked, ...]:
    values = _values(colour)
    return tuple(_held(row, values) for row in _rows())


def _held(row: Mapping[str, Any], values: Mapping[str, float | None]) -> Asked:
    found = values[row["of"]] if "of" in row else None
    met = None if found is None else row.get("least", found) <= found <= row.get("most", found)
    return Asked(row["what"], row["limit"], found, met, row.get("instead", ""), row["mark"] == "READ")


@cache
def _rows() -> tuple[Mapping[str, Any], ...]:
    _, data = load_toml("evaluation.published", "booth.toml")
    return tuple(data["asked"])


def _remarks(light: Light, colour: LampColour) -> tuple[str, ...]:
    remarks = []
    if light.first > 380 or light.last < 780:
        remarks.append(
            f"Stated from {light.first:g} to {light.last:g} nm, and counted as dark beyond: CIE 224 asks for "
            "380 to 780 nm."
        )
    if light.step > WIDEST_STEP:
        remarks.append(
            f"Stated in steps of {light.step:g} nm, where narrow lines are lost: CIE 224 asks for "
            f"{WIDEST_STEP:g} nm or less."
        )
    if colour.white is None:
        remarks.append("Too far from white for a colour temperature, so its rendering is not judged.")
    return tuple(remarks)
