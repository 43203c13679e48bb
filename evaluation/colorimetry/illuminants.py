"""Light sources by their spectrum, among them the CIE illuminants."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.weights import END, START, interpolation
from evaluation.published.passport import load_table

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Light:
    """An illuminant or measured light source.

    power  relative, at 360, 361 .. 780 nm, (421,), any scale; 0 where nothing is stated
    first  nm, where its spectrum begins, as it was stated
    last   nm, where it ends
    step   nm, the widest between two stated values
    """

    name: str
    power: Array
    first: float
    last: float
    step: float

    @property
    def ultraviolet(self) -> float:
        """Mean power at 360 to 395 nm as a share of that at 400 to 700 nm."""
        return float(self.power[: 395 - START + 1].mean() / self.power[40:341].mean())

    @property
    def has_ultraviolet(self) -> bool:
        """Whether it makes optical brightener glow: an ultraviolet share of at least 0.2.

        Mean power at 360-395 nm is at least 0.2 of that at 400-700 nm: the project's own choice, between
        illuminant A (0.10) and D50 (0.30). A spectrum that begins at 380 or 400 nm counts as without.
        """
        return self.ultraviolet >= 0.2


def light_from(name: str, wavelengths: Array, power: Array, *, straight: bool = False) -> Light:
    """A light source from its spectrum; no power outside its wavelengths.

    Parameters
    ----------
    name
        What it is called.
    wavelengths, power : (n,)
        nm, rising, and relative power.
    straight
        Interpolate linearly, as CIE 015 defines daylight; else by third order, which keeps the sums of 5 nm
        tables.
    """
    at = np.arange(START, END + 1.0)
    if straight:
        fine = np.interp(at, wavelengths, power)
    else:
        fine = np.maximum(interpolation(wavelengths, at) @ power, 0.0)
    fine[(at < wavelengths[0]) | (at > wavelengths[-1])] = 0.0
    fine.flags.writeable = False
    first, last, step = wavelengths[0], wavelengths[-1], np.diff(wavelengths).max()
    return Light(name, fine, float(first), float(last), float(step))


@cache
def illuminants() -> Mapping[str, Light]:
    """The CIE illuminants of `published/illuminants.csv` by name: "D50", "D65", "A", "LED-B2", ..."""
    table = load_table("evaluation.published", "illuminants.csv")
    nm = np.array(table.numbers("nm"))
    lights = {}
    for name in table.columns[1:]:
        power = np.array(table.numbers(name))
        published = np.isfinite(power)
        lights[name] = light_from(name, nm[published], power[published], straight=name.startswith("D"))
    return MappingProxyType(lights)
