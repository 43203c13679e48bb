"""Skin colours of the sheet: eight depths, each under three amounts of light.

A shade is the same skin under more or less light: XYZ is scaled, chromaticity kept.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.published.passport import load_toml
from evaluation.sheet.layout import Triple

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Shade:
    """How much light falls on skin, as a share of the light on it as it is."""

    name: str
    light: float


# Project's own choice: bright enough for a lit cheek, dark enough for the shaded side, and still printable.
SHADES: Final = (Shade("in the light", 1.25), Shade("as it is", 1.0), Shade("in half shade", 0.45))


@dataclass(frozen=True, slots=True)
class Depth:
    """One depth of skin: `series` is its group and its place in it, "deep 2"; `lab` CIELAB for D50."""

    series: str
    lab: Triple
    source: str

    def shaded(self, shades: Sequence[Shade]) -> Array:
        """CIELAB for D50 (n, 3) of this skin in each shade."""
        return self.lit([shade.light for shade in shades])

    def lit(self, light: Sequence[float] | Array) -> Array:
        """CIELAB for D50 (n, 3) of this skin under shares of light (n,)."""
        xyz = xyz_from_lab(np.array(self.lab))
        return lab_from_xyz(np.asarray(light, dtype=np.float64)[..., None] * xyz)


@lru_cache(maxsize=1)
def depths() -> tuple[Depth, ...]:
    """The depths of `skins.toml`, from light to deep."""
    _, data = load_toml("evaluation.sheet", "skins.toml")
    return tuple(Depth(row["series"], tuple(row["lab"]), row["source"]) for row in data["depth"])
