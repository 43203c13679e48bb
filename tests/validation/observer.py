"""A simple observer: what an eye would say of a print, from the printer model's true colours.

The observer looks at the sheet itself, never at readings, and differs from the anchors only by being unsure:

- the grade of a region is the worst of its key metrics, worked out from the true colours, with a spread of
  0.5 (the project's default for one viewing), rounded to whole grades;
- each third of the greys is named by the direction of its true lean, as strongly as the lean grades;
- under a light without ultraviolet the paper and what lies on it lose the whitener's glow; the observer knows
  the paper with it, and sees that loss as a lean of the greys;
- an ink that is missing leaves lines: "banding" where it changes some patch by more than 2 dE00;
- ink beyond what the coating holds by a tenth or more stands on it: "puddling".

All sizes are the project's own choice. No real observer has been asked.
"""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Final

import numpy as np

from evaluation.colorimetry.difference import delta_e_2000, delta_e_2000_equal_l
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.judgement.instrument import graded, key_metrics
from evaluation.judgement.tables import Tables
from evaluation.metrics.cast import cast_word, counted, shifts_from_grey, thirds
from evaluation.metrics.evidence import Array, Evidence
from evaluation.metrics.gather import gather
from evaluation.metrics.predicted import Predicted
from evaluation.readings.match import match
from evaluation.session import (
    THIRDS,
    Answer,
    Cast,
    CastWord,
    Fault,
    Grade,
    PrintingCondition,
    Strength,
    Viewing,
)
from evaluation.sheet.layout import Sheet
from fixtures.printer.bands import xyz
from fixtures.printer.instrument import Instrument
from fixtures.printer.printing import Job, device_values, readings

UNSURE: Final = 0.5  # spread of one grade
_LINES_FROM: Final = 2.0  # dE00
_HELD: Final = 1.05 * 1.1  # of the right amount of ink: what the coating holds, and a tenth
_STILL: Final = Instrument(zero=0.0, gain=0.0, noise=0.0)


def truth(sheet: Sheet, job: Job) -> Job:
    """The print as it is: read by an instrument without noise on white, in the right order."""
    even = replace(job.machine.paper, mottle=0.0, texture=0.0)
    return replace(job, machine=replace(job.machine, paper=even), instrument=_STILL, exchanged=())


def true_lab(sheet: Sheet, job: Job, condition: str = "M1") -> Array:
    """(n, 3) absolute CIELAB of every patch of the sheet as it is."""
    job = truth(sheet, job)
    spectra = job.machine.spectra(device_values(sheet, job, sheet.patches), condition)  # type: ignore[arg-type]
    return lab_from_xyz(xyz(spectra))


def viewing(
    sheet: Sheet,
    job: Job,
    expected: Predicted,
    condition: PrintingCondition,
    tables: Tables,
    rng: np.random.Generator,
    *,
    at: datetime,
    ultraviolet: bool,
) -> Viewing:
    """One viewing of every region under the viewing light, with or without ultraviolet."""
    still = replace(truth(sheet, job), conditions=("M1",))
    # Read twice without noise, so that the spread of readings is known to be nothing.
    ids = [patch.id for patch in sheet.patches]
    takens = [match(run, sheet) for run in readings(sheet, still, np.random.default_rng(0), twice=ids)]
    found = gather(sheet, takens, condition, tables.limits, draws=0, predicted=expected)
    assert found is not None
    glow = np.zeros((len(sheet.patches), 2))
    if not ultraviolet:
        glow = (true_lab(sheet, job, "M2") - true_lab(sheet, job))[:, 1:]
    answers: dict[tuple[str, str], Answer] = {}
    for region in sheet.regions:
        evidence = found.regions.get(region.id)
        if evidence is None:  # looked at and not read: the model makes no fault there
            answers[region.id, "overall"] = Answer(Grade(_rounded(5.0, rng)), at)
            continue
        keys = key_metrics(region.kind, graded(region, evidence, tables), tables)
        worst = min((float(one.grades[0]) for one in keys), default=5.0)
        if region.kind == "neutral":
            lost = dict(zip((patch.id for patch in sheet.patches), glow, strict=True))
            leans = _leans(evidence, lost)
            cast = _cast(leans, tables, rng)
            answers[region.id, "cast"] = Answer(cast, at)
            worst = min(worst, *(_grade(lean, tables) for lean in leans.values()))
        answers[region.id, "overall"] = Answer(Grade(_rounded(worst, rng)), at)
    return Viewing(
        id=1,
        ordinal=1,
        observer="observer",
        kind="full",
        started=at,
        region_order=tuple(region.id for region in sheet.regions),
        answers=answers,
        faults=_faults(sheet, job),
    )


def _leans(evidence: Evidence, lost: Mapping[str, Array]) -> dict[str, Array]:
    """(2,) mean a*, b* away from grey of each third, the glow that the light does not raise added."""
    evidence = _undrawn(evidence)
    mask, third = counted(evidence), thirds(evidence)
    shift = shifts_from_grey(evidence) + np.array([lost[patch.id] for patch in evidence.patches])
    return {
        name: shift[mask & (third == t)].mean(axis=0)
        for t, name in enumerate(THIRDS)
        if (mask & (third == t)).any()
    }


def _undrawn(evidence: Evidence) -> Evidence:
    flat = {name: np.reshape(getattr(evidence, name), (-1, *getattr(evidence, name).shape[-2:]))[0]
            for name in ("measured", "absolute", "grey_aim")}  # fmt: skip
    return replace(evidence, **flat)


def _grade(lean: Array, tables: Tables) -> float:
    seen = delta_e_2000_equal_l(np.array([50.0, 0.0, 0.0]), np.array([50.0, *lean]))
    return float(tables.anchors["cast_by_third"].grade(seen))


def _cast(leans: Mapping[str, Array], tables: Tables, rng: np.random.Generator) -> Cast:
    parts: list[tuple[str, CastWord, Strength | None]] = []
    strengths: dict[int, Strength] = {4: "just", 3: "clear"}
    for part, lean in leans.items():
        grade = _rounded(_grade(lean, tables), rng)
        word: CastWord = cast_word(*lean.tolist()).split(" to ")[0]  # type: ignore[assignment]
        parts.append((part, "none", None) if grade == 5 else (part, word, strengths.get(grade, "strong")))
    return Cast(tuple(parts))


def _rounded(grade: float, rng: np.random.Generator) -> int:
    return int(np.clip(np.rint(grade + UNSURE * rng.standard_normal()), 1, 5))


def _faults(sheet: Sheet, job: Job) -> tuple[Fault, ...]:
    named: list[Fault] = []
    if job.machine.lost:
        whole = replace(job, machine=replace(job.machine, lost={}))
        if delta_e_2000(true_lab(sheet, whole), true_lab(sheet, job)).max() > _LINES_FROM:
            named.append(Fault("banding", "neutral"))
    if job.machine.ink_level > _HELD:
        named.append(Fault("puddling", "shadow"))
    return tuple(named)
