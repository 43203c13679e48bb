"""Depth of black, range and whitener of a print: facts beside a comparison, never ranks. Gated."""

from dataclasses import dataclass

from evaluation.colorimetry.density import density_from_y, visual_density
from evaluation.colorimetry.lab import xyz_from_lab
from evaluation.metrics.evidence import Evidence
from evaluation.metrics.pool import judging
from evaluation.work.bench import Bench
from evaluation.work.compare_pairs import whitener_shift
from evaluation.work.compare_prints import Print, fetched, region_of, shown, spectrum


@dataclass(frozen=True, slots=True)
class Facts:
    """What was read of a print's paper and black, as facts.

    dmax, dmin  visual density (ISO 5-3 from a spectrum, else from Y) of the darkest patch and the bare paper
    whitener    b* of the bare paper, M2 minus M1; None: not read under both
    why         why there are no numbers, or ""
    """

    session: int
    condition: str
    dmax: float | None
    dmin: float | None
    lightness: tuple[float, float] | None  # L* of the darkest patch and of the paper
    whitener: float | None
    why: str = ""

    @property
    def range(self) -> float | None:
        return None if self.dmax is None or self.dmin is None else self.dmax - self.dmin


def facts(bench: Bench, session_id: int) -> Facts:
    """Depth of black, range and whitener of one print, as far as its regions may be shown."""
    found = fetched(bench, session_id, "", None)
    runs = judging(found.taken)
    visible = found.open | {""}
    db = whitener_shift(found.sheet, found.taken) if shown(found, "paper") else None
    if not runs or found.evidence is None:
        return Facts(session_id, "", None, None, None, db, "nothing read that may be shown")
    condition = runs[0].run.stated.condition or "not stated"
    evidence = found.evidence
    black_region = region_of(found.sheet, "black")
    if black_region not in visible:
        return Facts(session_id, condition, None, None, None, db, "the black is not graded yet")
    keep = [row for row, patch in enumerate(evidence.patches) if patch.region in visible]
    dark = min(keep, key=lambda row: float(evidence.absolute[row, 0]))
    paper = [row for row in keep if evidence.patches[row].role == "paper"]
    dmax = _density(found, evidence, dark)
    dmin = _density(found, evidence, paper[0]) if paper else None
    lightness = (float(evidence.absolute[dark, 0]), float(evidence.absolute[paper[0], 0])) if paper else None
    return Facts(session_id, condition, dmax, dmin, lightness, db)


def _density(one: Print, evidence: Evidence, row: int) -> float:
    """Visual density of a patch: from its spectrum where there is one, else from its luminance."""
    read = spectrum(one, evidence.patches[row].id)
    if read is not None:
        return float(visual_density(*read))
    return float(density_from_y(xyz_from_lab(evidence.absolute[row])[1]))
