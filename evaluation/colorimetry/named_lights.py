"""Lights by name: every CIE illuminant that colour-science holds. Those kept here need no import of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

import numpy as np

from evaluation.colorimetry.illuminants import Light, illuminants, light_from
from evaluation.published.colour_science import colour_science
from evaluation.published.passport import load_table


@dataclass(frozen=True, slots=True)
class LightName:
    """A light that may be named. `kelvin` is None where the light has no correlated colour temperature."""

    name: str
    what: str
    kelvin: int | None


@cache
def light_names() -> Mapping[str, LightName]:
    """The lights that `named_light` knows, by name: "A", "D50", "FL2", "LED-B3", ..."""
    table = load_table("evaluation.published", "light-names.csv")
    return MappingProxyType(
        {
            name: LightName(name, what, int(kelvin) if kelvin else None)
            for name, what, kelvin in zip(*(table.column(key) for key in table.columns), strict=True)
        }
    )


def known_as(word: str) -> str | None:
    """The name of the light that a person means, whatever the capitals, spaces and hyphens; None: no light.

    >>> known_as("led b3"), known_as("fl3.1"), known_as("fl31"), known_as("moonlight")
    ('LED-B3', 'FL3.1', None, None)
    """
    return {plain_name(name): name for name in light_names()}.get(plain_name(word))


def plain_name(word: str) -> str:
    """A name of a light as it is compared: a dot tells FL3.1 from FL31, the rest is taste."""
    return "".join(char for char in word.casefold() if char.isalnum() or char == ".")


@cache
def named_light(name: str) -> Light:
    """The light of that name, as `light_names` has it. Raises KeyError."""
    if name in illuminants():
        return illuminants()[name]
    if name not in light_names():
        raise KeyError(name)
    with colour_science() as colour:
        published = colour.SDS_ILLUMINANTS[name]
        nm, power = np.array(published.wavelengths), np.array(published.values)
    return light_from(name, nm, power, straight=name.startswith("D"))
