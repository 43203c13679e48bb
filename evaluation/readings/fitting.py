"""Whether a file is of this sheet at all: how many of its patches the sheet has."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.published.limits import limit, whole
from evaluation.readings.run import Taken

_LEAST_OF_THE_FILE: Final = limit("fits_of_file")
_LEAST_OF_THE_SHEET: Final = limit("fits_of_sheet")
_FEW_STRAYS: Final = whole("fits_strays")
WHOLLY: Final = limit("fits_wholly")

_DIGITS: Final = 4  # device values are compared as written to four digits


@dataclass(frozen=True, slots=True)
class Fitting:
    """How many patches of a file a sheet has, each counted once however often it was read.

    placed       patches of the file that the sheet has, of `patches` in all
    sheet_share  share of the sheet's patches that the file holds, 0..1
    matched_by   as in `run.Taken`
    """

    placed: int
    patches: int
    sheet_share: float
    matched_by: str

    @property
    def share(self) -> float:
        """Share of the file's patches, 0..1."""
        return self.placed / self.patches

    @property
    def is_another_chart(self) -> bool:
        """Whether the file has too many strays and too little of the sheet to be of it."""
        strays = self.patches - self.placed
        few = strays <= _FEW_STRAYS and self.placed > strays
        return self.share < _LEAST_OF_THE_FILE and self.sheet_share < _LEAST_OF_THE_SHEET and not few


def fitting(taken: Taken) -> Fitting:
    """How well a matched run fits its sheet."""
    run = taken.run
    if run.device is not None:
        keys: list[object] = [tuple(row) for row in np.round(run.device, _DIGITS).tolist()]
    else:
        keys = [ref.id.casefold() for ref in run.patches]
    strays = set(taken.unmatched_rows)
    placed = {key for row, key in enumerate(keys) if row not in strays}
    of_sheet = len(taken.matched) + len(taken.unmatched_patches)
    return Fitting(len(placed), len(set(keys)), len(taken.matched) / of_sheet, taken.matched_by)


def fits_better(other: Fitting, here: Fitting) -> bool:
    """Whether a run belongs to the other sheet: fully matched there by id or name, and not fully here."""
    return other.share >= WHOLLY > here.share and other.matched_by in ("id", "name")
