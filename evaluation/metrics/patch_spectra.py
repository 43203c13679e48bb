"""Spectra of a sheet's patches from its runs, with their repeats, of one measurement condition."""

from collections.abc import Sequence, Set
from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.metrics.evidence import Array
from evaluation.readings.run import Condition, Taken, when_measured
from evaluation.sheet.layout import Sheet

# Which condition serves which side, best first: daylight makes optical brightener glow, most lamps do not.
WITH_ULTRAVIOLET: Final[tuple[Condition | None, ...]] = ("M1", "M0", None, "M2")
WITHOUT_ULTRAVIOLET: Final[tuple[Condition | None, ...]] = ("M2", "M0", None, "M1")


@dataclass(frozen=True, slots=True, eq=False)
class Spectral:
    """The newest spectral run of one measurement condition.

    wavelengths  (bands,) nm
    readings     by patch id, (n, bands) its reflectance factors
    paper        (bands,) mean of the bare paper
    """

    condition: Condition | None
    wavelengths: Array
    readings: dict[str, Array]
    paper: Array

    def mean(self, patch_id: str) -> Array | None:
        """(bands,) mean reflectance factors of a patch; None where it was not read."""
        rows = self.readings.get(patch_id)
        return None if rows is None else np.asarray(rows.mean(axis=0))


def spectral(
    sheet: Sheet,
    takens: Sequence[Taken],
    preferred: Sequence[Condition | None],
    only: Set[str] | None = None,
) -> Spectral | None:
    """The spectra of the first preferred condition that was read with bare paper; None without one.

    `only` are the ids of the patches wanted; None for all.
    """
    papers = [patch.id for patch in sheet.patches if patch.role == "paper"]
    newest_first = sorted(takens, key=lambda taken: when_measured(taken.run))[::-1]
    for condition in preferred:
        for taken in newest_first:
            run = taken.run
            if run.stated.condition != condition or run.printed_as == "unmanaged":
                continue
            if run.spectra is None or run.wavelengths is None:
                continue
            bare = [row for patch_id in papers for row in taken.matched.get(patch_id, ())]
            if bare:
                wanted = taken.matched if only is None else only & taken.matched.keys()
                readings = {p: _rows(run.spectra, rows) for p in wanted if (rows := taken.matched[p])}
                return Spectral(condition, run.wavelengths, readings, run.spectra[bare].mean(axis=0))
    return None


def _rows(spectra: Array, rows: Sequence[int]) -> Array:
    """(n, bands) of rising rows; neighbouring rows are not copied."""
    together = rows[-1] - rows[0] + 1 == len(rows)
    return spectra[rows[0] : rows[-1] + 1] if together else spectra[list(rows)]
