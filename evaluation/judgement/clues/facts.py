"""What causes are looked for in: one session's answers and readings, and what its profile predicts."""

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.judgement.clues.departure import InkDeparture, departure
from evaluation.judgement.clues.explained import Explained, explained
from evaluation.judgement.opinion import Finding
from evaluation.judgement.table_rows import BEST
from evaluation.judgement.tables import Tables
from evaluation.metrics.cast import readings_themselves
from evaluation.metrics.evidence import Array, Evidence, Mask, undrawn
from evaluation.metrics.gather import Gathered, chosen
from evaluation.metrics.predicted import Predicted
from evaluation.readings.run import Taken
from evaluation.session import INTENTS, Session
from evaluation.sheet.layout import ENCODINGS, Encoding, Sheet


@dataclass(frozen=True, slots=True)
class ProfileFacts:
    """What is known of the profile beside its colours. None: not known.

    condition, backing  of the profiling data
    fit_p95, fit_median  dE00 between the profile and the readings it was made from
    moved      mean dE00 between its own patches read again, unmanaged, and the profiling data; 0 where the
               repeats of both explain it
    """

    condition: str | None = None
    backing: str | None = None
    fit_median: float | None = None
    fit_p95: float | None = None
    moved: float | None = None


Answer = bool | None
UNKNOWN_PROFILE: Final = ProfileFacts()


@dataclass(frozen=True, slots=True, eq=False)
class Clues:
    """Everything a clue may look at. Only regions whose readings may be shown are in it.

    evidence   without draws, all patches of those regions; `measured` (n, 3)
    paper      (3,) absolute CIELAB of bare paper
    reference  (n, 3) what the print is held against: expected where a profile predicts it, else the aim
    fits       hypothesis -> mean dE00 of the readings to what it expects; "as stated" is the condition's own;
               {} until `with_hypotheses`
    inks       the departure from the profile in terms of inks; None until `with_hypotheses`, or where inks
               cannot be fitted
    explained  what the departure looks like as a whole; None likewise
    calm       the readings lie within what sheets differ by, and none of their grades is low
    eye_off    median of eye less readings over the regions; None: too few
    """

    session: Session
    sheet: Sheet
    findings: Mapping[str, Finding]
    takens: tuple[Taken, ...]
    gathered: Gathered | None
    paper: Array | None
    evidence: Evidence | None
    reference: Array | None
    expected: Predicted | None
    profile: ProfileFacts
    tables: Tables
    fits: Mapping[str, float] = field(default_factory=dict)
    inks: InkDeparture | None = None
    explained: Explained | None = None
    calm: bool = False
    eye_off: float | None = None

    def kind(self, *kinds: str) -> tuple[Finding, ...]:
        """Findings of regions of these kinds."""
        return tuple(finding for finding in self.findings.values() if finding.kind in kinds)

    def wrong(self, *kinds: str) -> bool:
        """Whether a region of these kinds is graded below the limit by either voice, or disagrees."""
        return any(is_wrong(finding, self.tables) for finding in self.kind(*kinds))

    def rows(self, *kinds: str) -> Mask:
        """(n,) patches of regions of these kinds; none at all without evidence."""
        if self.evidence is None:
            return np.zeros(0, dtype=bool)
        own = {region.id for region in self.sheet.regions if region.kind in kinds}
        return np.array([patch.region in own for patch in self.evidence.patches], dtype=bool)

    def faults(self) -> frozenset[str]:
        """Every fault that the eye named in these regions, by its trade name."""
        return frozenset(fault for finding in self.findings.values() for fault in finding.faults)


def is_wrong(finding: Finding, tables: Tables) -> bool:
    """Whether eye or instrument grades a region below the limit, or the two disagree."""
    voices = [voice.grade for voice in (finding.eye, finding.instrument) if voice is not None]
    return min(voices, default=BEST) < tables["cause_below"] or finding.agreement == "disagree"


def clues(
    session: Session,
    sheet: Sheet,
    findings: Sequence[Finding],
    takens: Sequence[Taken],
    gathered: Gathered | None,
    expected: Predicted | None,
    profile: ProfileFacts,
    tables: Tables,
    eye_off: float | None = None,
) -> Clues:
    """The facts of a session, restricted to findings that the eye may see."""
    shown = {finding.region: finding for finding in findings if finding.agreement != "not graded yet"}
    counting = frozenset(name for name, finding in shown.items() if finding.agreement != "left out")
    evidence = None if gathered is None else _shown(gathered.whole, counting, sheet)
    paper = None if gathered is None or not _open(sheet.paper_patch, shown, sheet) else gathered.pool.bare
    reference = None
    if evidence is not None and evidence.tone_has_aim:  # a mode of its own has no lightness to be held to
        reference = evidence.aim if evidence.predicted is None else evidence.predicted
    return Clues(
        session=session,
        sheet=sheet,
        findings=shown,
        takens=tuple(takens),
        gathered=gathered,
        paper=None if paper is None else lab_from_xyz(paper),
        evidence=evidence,
        reference=reference,
        expected=expected,
        profile=profile,
        tables=tables,
        calm=_calm(evidence, findings, tables),
        eye_off=eye_off,
    )


def _calm(evidence: Evidence | None, findings: Sequence[Finding], tables: Tables) -> bool:
    """Whether readings lie within what sheets differ by, and grade no region below `cause_below`."""
    if evidence is None or evidence.predicted is None:
        return False
    squares = ((evidence.measured - evidence.predicted) ** 2).sum(axis=1)
    rms = float(np.sqrt(np.nanmean(squares))) if np.isfinite(squares).any() else float("inf")
    grades = [finding.instrument.grade for finding in findings if finding.instrument is not None]
    return rms < tables["sheet_mean"] and min(grades, default=BEST) >= tables["cause_below"]


def with_hypotheses(clues: Clues) -> Clues:
    """The facts with every hypothesis held against the readings: each goes through Little CMS once."""
    expected, evidence = clues.expected, clues.evidence
    if expected is None or evidence is None:
        return clues
    fits = hypotheses(expected, evidence, clues.sheet.encoding)
    inks = departure(expected, evidence, places(clues), clues.tables)
    whole = explained(evidence, clues.sheet, fits, inks, clues.tables)
    return replace(clues, fits=fits, inks=inks, explained=whole)


def places(clues: Clues) -> Array | None:
    """(n,) where in its run each patch was read first, 0 first .. 1 last; None unless one run judges."""
    if clues.gathered is None or clues.evidence is None or len(clues.gathered.pool.runs) != 1:
        return None
    taken = clues.gathered.pool.runs[0]
    rows = [taken.matched[patch.id] for patch in clues.evidence.patches]
    return np.array([sum(read) / len(read) for read in rows]) / max(len(taken.run) - 1, 1)


def hypotheses(expected: Predicted, evidence: Evidence, encoding: Encoding | None) -> dict[str, float]:
    """Mean dE00 of the readings to what each hypothesis expects, over the same patches."""
    own = expected.lab(evidence.patches)
    fits = {"as stated": _distance(own, evidence)}
    names = ["profile applied twice", "no profile", "no compensation", "compensation"]
    names += [f"encoding {other}" for other in ENCODINGS if other != encoding]
    names += [f"intent {other}" for other in INTENTS]
    for name in names:
        lab = expected.under(name, evidence.patches)
        if lab is not None:
            fits[name] = _distance(lab, evidence)
    return {name: fit for name, fit in fits.items() if np.isfinite(fit)}


def _distance(lab: Array, evidence: Evidence) -> float:
    known = np.isfinite(lab).all(axis=-1)
    if not known.any():
        return float("nan")
    return float(delta_e_2000(lab[known], readings_themselves(evidence.measured)[known]).mean())


def _open(patch_id: str | None, shown: Container[str], sheet: Sheet) -> bool:
    """Whether a patch lies in a region that may be shown, or in none."""
    return any(
        patch.id == patch_id and (not patch.region or patch.region in shown) for patch in sheet.patches
    )


def _shown(whole: Evidence, shown: Container[str], sheet: Sheet) -> Evidence | None:
    """Patches of the regions that may be shown; the readings themselves alone, without draws."""
    rows = [k for k, patch in enumerate(whole.patches) if patch.region in shown]
    if not rows:
        return None
    black = whole.black if _open(sheet.black_patch, shown, sheet) else None
    return chosen(undrawn(replace(whole, black=black)), rows)  # undrawn first: rows of draws would be copied
