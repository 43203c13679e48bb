"""A tone that was wanted and that no curve states: whether the greys lean that way, and as one.

Warm and cool have no numbers in the trade. They say a side of the a*b* plane, so the greys are described and
never blamed for lying there; a tone that turns on its way down is still a turn.
"""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from evaluation.judgement.greys import Record
from evaluation.judgement.tables import Tables
from evaluation.metrics.cast import cast_word, counted, shifts_from_grey

Family = Literal["warm", "cool"]
Held = Literal["as wanted", "hardly toned", "the other way"]

_SIDES: Final[dict[Family, str]] = {"warm": "warm_hue", "cool": "cool_hue"}  # limits, CIELAB degrees


@dataclass(frozen=True, slots=True)
class Toning:
    """How the greys lean on the whole, dCh and word; whether that is the tone wanted; whether it turns."""

    family: Family
    lean: float
    word: str  # "none" below what is named
    held: Held
    turns: bool


def toning(record: Record, family: Family, tables: Tables) -> Toning | None:
    """How the record's greys lean; None where no step counts."""
    mask = counted(record.scale)
    if not mask.any():
        return None
    da, db = (float(v) for v in shifts_from_grey(record.scale)[mask].mean(axis=0))
    lean = float(np.hypot(da, db))
    turns = record.crossover is not None and not record.crossover.only
    if lean < tables["cast_named"]:
        return Toning(family, lean, "none", "hardly toned", turns)
    angle = float(np.degrees(np.arctan2(db, da)))
    apart = abs((angle - tables[_SIDES[family]] + 180) % 360 - 180)
    held: Held = "as wanted" if apart <= tables["tone_hue_range"] else "the other way"
    return Toning(family, lean, cast_word(da, db), held, turns)
