"""A tone that was wanted and that no curve states: whether the greys have it, and all along the scale.

Warm and cool have no numbers in the trade. They name a side of the a*b* plane, so greys that lie there are
described and not faulted; a tone that changes towards the shadows is still a fault.
"""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from evaluation.judgement.greys import NeutralityRecord
from evaluation.judgement.tables import Tables
from evaluation.metrics.cast import cast_word, counted, shifts_from_grey

Family = Literal["warm", "cool"]
Held = Literal["as wanted", "barely toned", "the other way"]

_SIDES: Final[dict[Family, str]] = {"warm": "warm_hue", "cool": "cool_hue"}  # limits, CIELAB degrees


@dataclass(frozen=True, slots=True)
class Toning:
    """The tone of the greys on the whole: `shift` in dCh and its hue in a word; whether it is the one wanted.

    `turns`: whether it changes along the scale.
    """

    family: Family
    shift: float
    word: str  # "none" below what is named
    held: Held
    turns: bool


def toning(record: NeutralityRecord, family: Family, tables: Tables) -> Toning | None:
    """The tone of the record's greys, for a family of tones that was wanted; None where no step counts."""
    mask = counted(record.scale)
    if not mask.any():
        return None
    da, db = (float(v) for v in shifts_from_grey(record.scale)[mask].mean(axis=0))
    shift = float(np.hypot(da, db))
    turns = record.crossover is not None and not record.crossover.only
    if shift < tables["cast_named"]:
        return Toning(family, shift, "none", "barely toned", turns)
    angle = float(np.degrees(np.arctan2(db, da)))
    apart = abs((angle - tables[_SIDES[family]] + 180) % 360 - 180)
    held: Held = "as wanted" if apart <= tables["tone_hue_range"] else "the other way"
    return Toning(family, shift, cast_word(da, db), held, turns)
