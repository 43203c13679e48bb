"""Whether a file is of a sheet at all: how many of its patches are some of the sheet's."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.readings.run import Taken

# A fifth of strays is more than a list of patches is ever corrected by hand; a wholly matched sheet may still
# stand in a file with other pages. Project's own choices.
_LEAST_OF_THE_FILE: Final = 0.8
_LEAST_OF_THE_SHEET: Final = 0.5
_FEW_STRAYS: Final = 2
WHOLLY: Final = 0.95

_DIGITS: Final = 4  # device values are compared as written to four digits


@dataclass(frozen=True, slots=True)
class Fitting:
    """Of the patches of a file, each counted once however often it was read, those a sheet has.

    sheet_share   share of the sheet's patches that the file holds
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
        """Too many strays for a file of this sheet, and too little of the sheet in it."""
        strays = self.patches - self.placed
        few = strays <= _FEW_STRAYS and self.placed > strays
        return self.share < _LEAST_OF_THE_FILE and self.sheet_share < _LEAST_OF_THE_SHEET and not few


def fitting(taken: Taken) -> Fitting:
    """How a matched run fits its sheet."""
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
    """Whether a run is plainly of the other sheet: wholly by its ids or names, and not wholly of this one."""
    return other.share >= WHOLLY > here.share and other.matched_by in ("id", "name")
