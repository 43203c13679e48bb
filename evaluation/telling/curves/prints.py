"""A print on the table: what its curves are made of, as far as it may be shown."""

from dataclasses import dataclass

from evaluation.metrics.evidence import Array, Evidence
from evaluation.metrics.pool import judging
from evaluation.readings.run import Taken, when_measured
from evaluation.session import Session
from evaluation.sheet.layout import PatchRole, Sheet


@dataclass(frozen=True, slots=True, eq=False)
class PlottedPrint:
    """A session with the evidence of one region, or of the whole sheet; None where that may not be shown."""

    session: Session
    sheet: Sheet
    letter: str
    taken: tuple[Taken, ...]
    evidence: Evidence | None
    open: frozenset[str]


def shown(one: PlottedPrint, role: PatchRole) -> bool:
    """Whether the paper or the black of a print may be shown: its region is open."""
    return region_of(one.sheet, role) in one.open | {""}


def region_of(sheet: Sheet, role: PatchRole) -> str:
    """The region whose grade a paper or black patch waits for; "" for none."""
    patch_id = sheet.paper_patch if role == "paper" else sheet.black_patch
    return sheet.patch(patch_id).region if patch_id is not None else ""


def spectrum(one: PlottedPrint, patch_id: str | None) -> tuple[Array, Array] | None:
    """Wavelengths and mean reflectance factor of a patch, as it was read last."""
    found = None
    for part in sorted(judging(one.taken), key=lambda part: when_measured(part.run)):
        rows = part.matched.get(patch_id or "", ())
        if rows and part.run.spectra is not None and part.run.wavelengths is not None:
            found = part.run.wavelengths, part.run.spectra[list(rows)].mean(axis=0)
    return found
