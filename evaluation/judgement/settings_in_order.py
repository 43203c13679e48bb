"""The nouns of a series of settings of one printer and paper: what each holds, how far it reaches further."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evaluation.judgement.growing import Array, Sheets, Word
from evaluation.profile.growth import Growth
from evaluation.profile.surface_share import SurfaceShare


@dataclass(frozen=True, slots=True, eq=False)
class Setting:
    """One setting of a series.

    sheets    that were read and count here; 0 where only its profile speaks
    outlines  (6, l) largest C*ab in the middle of six hues at each of the series' levels; nan: not reached
    outside   share of the picture outside its profile's gamut, 0..1; None without picture or profile
    surface   how much of the published surface colours it holds
    volume    cubic dE*ab
    """

    name: str
    session: int | None
    sheets: int
    outlines: Array
    outside: float | None
    surface: SurfaceShare
    volume: float


@dataclass(frozen=True, slots=True, eq=False)
class SettingStep:
    """A setting against another: `base` and `to` are places in the series.

    limit  (6, 3) dE*ab that sheets of one setting stay below; None of profiles, whose spread is not known
    words  (6, 3) whether each cell's growth is measured, visible; None where no colour lies
    """

    base: int
    to: int
    growth: Growth
    limit: Array | None
    words: tuple[tuple[Word | None, ...], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Series:
    """Settings in the order that a person named them, the first as base.

    steps    each setting against the first, then each against the one before where that is another
    patches  of the cube's faces that were read in all of them; 0 where profiles promise
    picture  the name of the picture that was held against them, "" without
    levels   L* of the outlines
    remarks  what limits the result
    """

    settings: tuple[Setting, ...]
    steps: tuple[SettingStep, ...]
    patches: int
    sheets: Sheets | None
    picture: str
    levels: tuple[float, ...]
    remarks: tuple[str, ...]

    @property
    def measured(self) -> bool:
        """Whether the growth was read, and not promised by profiles."""
        return self.patches > 0

    def step(self, base: int, to: int) -> SettingStep:
        """The step from one setting to another. Raises KeyError for one that was not worked out."""
        return {(each.base, each.to): each for each in self.steps}[base, to]

    def newly_held(self, step: SettingStep) -> float | None:
        """Share of the picture, 0..1, that one setting holds beyond the other; below 0 it holds less."""
        before, after = (self.settings[at].outside for at in (step.base, step.to))
        return None if before is None or after is None else before - after


def best_cell(growth: Growth) -> tuple[int, int] | None:
    """The hue and third that reach furthest out, or where none does furthest in; None without any."""
    if not np.isfinite(growth.cells).any():
        return None
    filled = np.where(np.isfinite(growth.cells), growth.cells, -np.inf)
    if filled.max() <= 0:
        filled = np.where(np.isfinite(growth.cells), -growth.cells, -np.inf)
    hue, third = np.unravel_index(int(filled.argmax()), filled.shape)
    return int(hue), int(third)


def pairs(count: int) -> Sequence[tuple[int, int]]:
    """Base and setting of each step of a series.

    >>> pairs(3)
    [(0, 1), (0, 2), (1, 2)]
    """
    return [(0, to) for to in range(1, count)] + [(to - 1, to) for to in range(2, count)]
