"""Lights by their spectrum: the CIE illuminants that are kept here."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.weights import END, START
from evaluation.published.passport import load_table

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Light:
    """A lamp or an illuminant: relative power at 360, 361 .. 780 nm, (421,), any scale."""

    name: str
    power: Array


def light_from(name: str, wavelengths: Array, power: Array) -> Light:
    """A light from its measured spectrum, (n,) each: straight lines between values, 0 outside of them."""
    at = np.arange(START, END + 1.0)
    fine = np.interp(at, wavelengths, power, left=0.0, right=0.0)
    fine.flags.writeable = False
    return Light(name, fine)


@cache
def illuminants() -> Mapping[str, Light]:
    """The CIE illuminants of `published/illuminants.csv` by name: "D50", "D65", "A", "LED-B2", ..."""
    table = load_table("evaluation.published", "illuminants.csv")
    nm = np.array(table.numbers("nm"))
    lights = {}
    for name in table.columns[1:]:
        power = np.array(table.numbers(name))
        published = np.isfinite(power)
        lights[name] = light_from(name, nm[published], power[published])
    return MappingProxyType(lights)
