"""How far the readings of a region lie from what they are held against: which patches count, which do not.

Facts for a sentence, never graded: a grade looks at one quality, these look at every patch that was read.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.metrics.cast import cast_distance, counted
from evaluation.metrics.evidence import Array, Evidence, Mask, place, undrawn
from evaluation.metrics.sheet_wide import from_equals

# Kinds whose patches are meant as greys: held against the neutral aim at their own L*, and in L* apart.
GREYS: Final = (
    "neutral", "mono_neutral", "mono_tone", "shadow", "mono_shadow", "highlight", "mono_highlight",
)  # fmt: skip
# Kinds whose grade leaves out what lies outside the gamut; other kinds count every aim.
_GAMUT: Final = ("saturation", "gradient")
_TINTS: Final = "tints"  # compared with each other: equal ones over the sheet


@dataclass(frozen=True, slots=True)
class Off:
    """The patch that lies furthest off, of so many that count: its distance and what it is called."""

    value: float
    unit: str
    where: str
    patches: int


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a region's readings lie off, and what of the region stays out of that.

    off      in colour, and of greys in lightness too; () where nothing is aimed at
    read     patches read
    outside  the furthest of those whose aim lies outside the gamut and does not count; None: none
    aimless  patches read that are held against nothing: their aim is too dark to be reached, or not known
    against  what they are held against, in words
    """

    off: tuple[Off, ...]
    read: int
    outside: Off | None
    aimless: int
    against: str = "their aim"


def reach(kind: str, evidence: Evidence) -> Reach:
    """What to say of the patches of one region of that kind."""
    evidence = undrawn(evidence)
    first = evidence.measured
    if kind in GREYS:
        found = [_colour_of_greys(evidence), _lightness(evidence, first)]
        return Reach(tuple(off for off in found if off is not None), len(first), None, 0)
    if kind == _TINTS:
        even = _of_tints(evidence)
        return Reach(() if even is None else (even,), len(first), None, 0, "the mean of their equals")
    toned = kind == "ring" and not evidence.cast_has_aim  # a tone is wanted that moves the near-greys
    if toned or not (evidence.colour_has_aim and evidence.tone_has_aim):
        return Reach((), len(first), None, len(first))
    aimed = evidence.aimed
    distance = np.full(len(first), np.nan)
    distance[aimed] = delta_e_2000(evidence.aim[aimed], first[aimed])
    left_out = np.zeros_like(aimed)
    if kind in _GAMUT and evidence.inside is not None:
        left_out = aimed & ~evidence.inside
    counting = _furthest(evidence, distance, aimed & ~left_out, "dE00")
    outside = _furthest(evidence, distance, left_out, "dE00")
    return Reach(() if counting is None else (counting,), len(first), outside, int((~aimed).sum()))


def _of_tints(evidence: Evidence) -> Off | None:
    found = from_equals(evidence)
    if found is None:
        return None
    order, distance = found
    every = np.full(len(evidence.patches), np.nan)
    every[order] = distance
    return _furthest(evidence, every, np.isfinite(every), "dE00")


def _colour_of_greys(evidence: Evidence) -> Off | None:
    if not evidence.cast_has_aim:
        return None
    return _furthest(evidence, cast_distance(evidence), counted(evidence), "dE00")


def _lightness(evidence: Evidence, first: Array) -> Off | None:
    if not evidence.tone_has_aim:
        return None
    off = np.abs(first[:, 0] - evidence.aim[:, 0])
    return _furthest(evidence, off, np.isfinite(off), "L*")


def _furthest(evidence: Evidence, distance: Array, rows: Mask, unit: str) -> Off | None:
    known = np.flatnonzero(rows & np.isfinite(distance))
    if known.size == 0:
        return None
    worst = int(known[int(distance[known].argmax())])
    return Off(float(distance[worst]), unit, place(evidence.patches[worst]), int(known.size))
