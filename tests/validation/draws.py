"""One drawn print of the printer model, with or without a fault, weighed as drydown weighs a session.

What is given is what a careful user has: the condition as they believe it, the profile's file, the readings
the profile was made from, the viewing light, one viewing. Circumstances that speak for one cause are drawn
for the others too, where they mislead: a quarter of the prints were read young, a quarter of the backings are
not stated, a quarter of the profiles' patches were read again, and a quarter of the lights hold no
ultraviolet where the paper holds no whitener that would miss it. Seeds used while tuning and seeds of the
report never meet.

Each print is weighed twice: with the settings as shipped, and with `own`, what a user puts there who has read
a hundred sheets of the process.
"""

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import cache
from typing import Final

import numpy as np

from evaluation.colorimetry.difference import delta_e_76
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.judgement.causes import NONE
from evaluation.judgement.opinion import Weighing
from evaluation.judgement.tables import Tables, load_tables
from evaluation.judgement.weigh import weigh
from evaluation.metrics.gather import aim_relative
from evaluation.profile.engine import open_profile
from evaluation.profile.prediction import Prediction
from evaluation.readings.match import match
from evaluation.readings.run import Run, Stated
from evaluation.session import READINESS, PrintingCondition, Readiness, Session
from evaluation.sheet.aims import source_lab
from evaluation.sheet.load import map_text, read_map
from evaluation.work.take_in.profiling import profiling
from fixtures.printer import icc
from fixtures.printer.bands import Array
from fixtures.printer.faults import FAULTS, inject
from fixtures.printer.instrument import Instrument, next_sheet
from fixtures.printer.machine import Machine
from fixtures.printer.papers import PAPERS
from fixtures.printer.path import Path
from fixtures.printer.printing import Job, readings, unmanaged
from fixtures.printer.profile import Profile, of_machine
from tests.validation.observer import true_lab, truth, viewing

LUSTRE: Final = "Sallowfell Lustre 247"
RAG: Final = "Brackmoor Rag 293"
CAUSES: Final = tuple(FAULTS)
TUNING: Final = range(1_000_000, 2_000_000)  # seeds that may be looked at while clues are written
REPORTED: Final = range(90_000_000, 91_000_000)  # seeds of CONFUSION.md: never looked at meanwhile

SHEET: Final = read_map(map_text("colour-4"), "colour-4")
IDS: Final = [patch.id for patch in SHEET.patches]
TABLES: Final = load_tables()
MADE: Final = datetime(2026, 3, 2, 9, 30, tzinfo=UTC)
NOW: Final = datetime(2026, 3, 10, 12, tzinfo=UTC)
_SIDES: Final = np.linspace(0.0, 1.0, 6)
CHART: Final = np.stack(np.meshgrid(_SIDES, _SIDES, _SIDES, indexing="ij"), axis=-1).reshape(-1, 3)
AGAIN: Final = slice(None, None, 5)  # of the chart: 44 patches, read again
_MISLED: Final = 0.25  # of the prints, for each circumstance that speaks for another cause


@dataclass(frozen=True)
class Drawn:
    """A print and what came of it. `way`: which variant of the fault was drawn, where there are several.

    effect  largest dE*ab over the patches that the fault makes, against `spread_of(paper)`
    by_own  the causes named with the process's own spreads as settings
    """

    cause: str
    paper: str
    strength: float
    way: str
    effect: float
    weighing: Weighing
    by_own: tuple[str, ...]

    @property
    def named(self) -> tuple[str, ...]:
        return known(self.weighing)

    @property
    def above(self) -> bool:
        """Whether the fault exceeds what another sheet, read again, differs by."""
        return self.effect > spread_of(self.paper)

    @property
    def looked_for(self) -> bool:
        """Whether a region was graded below the limit, so that causes are looked for at all."""
        voices = [
            voice.grade
            for finding in self.weighing.findings
            for voice in (finding.eye, finding.instrument)
            if voice is not None
        ]
        apart = any(finding.agreement == "disagree" for finding in self.weighing.findings)
        return min(voices) < TABLES["cause_below"] or apart

    @property
    def found(self) -> bool:
        return self.cause in self.named[:2]


@cache
def sound_profile(paper: str) -> Profile:
    return of_machine(Machine(PAPERS[paper]), paper)


def spread_of(paper: str) -> float:
    """The largest dE*ab over the patches that 95 of 100 sound sheets, read once, lie off their mean."""
    return _sheets(paper)[1]


@cache
def _sheets(paper: str) -> tuple[float, float, float]:
    """dE*ab that 95 of 100 sheets stay below, on average and at worst; spread of a reading, each axis."""
    path, mean = Path(sound_profile(paper), "srgb"), true_lab(SHEET, _job(paper))
    off, repeats = [], []
    for seed in range(100):
        rng = np.random.default_rng(seed)
        job = replace(Job(Machine(PAPERS[paper], dose=next_sheet(rng)), path), conditions=("M1",))
        first, again = (_lab(readings(SHEET, job, rng)[0]) for _ in range(2))
        off.append(delta_e_76(mean, first))
        repeats.append((again - first) / np.sqrt(2))
    together = np.array(off)
    average, worst = (float(np.percentile(one, 95)) for one in (together.mean(axis=1), together.max(axis=1)))
    return average, worst, float(np.sqrt(np.mean(np.square(repeats))))


@cache
def own(paper: str) -> Tables:
    """The tables with the spreads of this paper's process as settings, to two decimals."""
    average, worst, reading = _sheets(paper)
    return load_tables(
        f"[thresholds]\nsheet_mean = {average:.2f}\nsheet_worst = {worst:.2f}\nreading_sd = {reading:.2f}\n"
    )


def drawn(cause: str, paper: str, seed: int, strength: float | None = None) -> Drawn:
    """A print with a fault ("" for none) at a drawn strength, its viewing and its readings, weighed."""
    rng = np.random.default_rng([seed, CAUSES.index(cause) if cause else 99, [LUSTRE, RAG].index(paper)])
    if strength is None:
        strength = float(rng.uniform(0.05, 1.0))
    dose = next_sheet(rng)
    sound = replace(_job(paper), machine=Machine(PAPERS[paper], dose=dose))
    job = inject(sound, cause, strength, SHEET, rng) if cause else sound
    way, profiled, chart_stated, chart_on_black = _profiled(cause, sound, job)
    content = icc.written(job.path.profile, MADE)
    profile = open_profile(content, f"{job.path.profile.description}.icc")
    aims = lab_from_xyz(aim_relative(SHEET, source_lab(SHEET), False))
    promise = Prediction(profile, "relative colorimetric", True, SHEET.patches, aims, SHEET.encoding)

    misled = np.random.default_rng([seed, 7, [LUSTRE, RAG].index(paper)]).random(4) < _MISLED
    young, unstated, again, dim = (bool(one) for one in misled)
    age = timedelta(minutes=15) if cause == "c10" else timedelta(hours=3) if young else timedelta(days=3)
    backing = ("black", None)[int(rng.integers(2))] if cause == "c24" else None if unstated else "white"
    stated = Stated(backing=backing, instrument="hand-held", measured_at=NOW)
    runs = list(readings(SHEET, job, rng, twice=IDS[::6], stated=stated))
    chart = unmanaged(
        profiled, CHART, rng, Instrument(on_black=chart_on_black), (chart_stated.condition or "M1",)
    )
    runs += [replace(run, stated=chart_stated) for run in chart]
    if cause == "c15" or again:
        later = Stated(condition="M1", backing="white", measured_at=NOW)
        dosed = replace(job.machine, dose=next_sheet(rng))
        runs += [replace(run, stated=later) for run in unmanaged(dosed, CHART[AGAIN], rng)]
    takens = [match(run, SHEET) for run in runs]

    condition = PrintingCondition(
        driver_mode="through the profile",
        made_for="general",
        intent="relative colorimetric",
        black_point_compensation=True,
        printed_at=NOW - age,
    )
    ultraviolet = cause != "c18" and not (dim and paper == RAG)
    seen = viewing(SHEET, job, promise, condition, TABLES, rng, at=NOW, ultraviolet=ultraviolet)
    light = Readiness("done", NOW, {"uv": "yes" if ultraviolet else "no", "lux": 2000.0})
    session = Session(
        id=1,
        uid="0" * 32,
        sheet_digest=SHEET.digest,
        created=NOW,
        revision=1,
        condition=condition,
        readiness={item: Readiness("done", NOW) for item in READINESS} | {"viewing_light": light},
        viewings=(seen,),
    )
    facts = profiling(profile, takens).facts
    weighing, by_own = (
        weigh(session, SHEET, takens, tables, expected=promise, profile=facts)
        for tables in (TABLES, own(paper))
    )
    return Drawn(cause, paper, strength, way, _effect(cause, sound, job, rng), weighing, known(by_own))


def known(weighing: Weighing) -> tuple[str, ...]:
    """The causes named, by id; "none of the known causes" names none."""
    return tuple(cause.id for cause in weighing.causes if cause.id != NONE)


def _job(paper: str) -> Job:
    return Job(Machine(PAPERS[paper]), Path(sound_profile(paper), "srgb"))


def _profiled(cause: str, sound: Job, job: Job) -> tuple[str, Machine, Stated, bool]:
    """The variant drawn; the machine that printed the profiling chart, and how that was read."""
    at = Stated(condition="M1", backing="white", measured_at=MADE - timedelta(hours=2))
    machine = replace(sound.machine, dose=())
    if cause == "c05":
        return "", Machine(PAPERS[job.path.profile.description]), at, False
    if cause == "c18":
        return "", replace(machine, paper=job.machine.paper), at, False
    if cause == "c04":
        return ("perceptual" if job.path.intent == "perceptual" else "no compensation"), machine, at, False
    if cause != "c17":
        return "", machine, at, False
    if job.machine.paper.opacity != sound.machine.paper.opacity:
        return "on black", replace(machine, paper=job.machine.paper), replace(at, backing="black"), True
    white = job.path.profile.white
    if not np.allclose(white, sound.path.profile.white, atol=1e-6):
        return "under M2", machine, replace(at, condition="M2"), False
    wet = replace(machine.paper, dry_down=_wetness(job, machine))
    return "wet", replace(machine, paper=wet, age_hours=0.25), at, False


def _wetness(job: Job, machine: Machine) -> float:
    """The dry-down behind a profile of a wet chart, found from the black it holds."""
    wanted = job.path.profile.black[0]
    tries = np.linspace(0.0, 1.5, 61)
    blacks = [
        _black(replace(machine, paper=replace(machine.paper, dry_down=t), age_hours=0.25)) for t in tries
    ]
    return float(np.interp(wanted, blacks, tries))


def _black(machine: Machine) -> float:
    from fixtures.printer.bands import relative_lab

    return float(relative_lab(machine.spectra(np.zeros((1, 3))), machine.paper.bare("M1"))[0, 0])


def _effect(cause: str, sound: Job, job: Job, rng: np.random.Generator) -> float:
    """Largest dE*ab over the patches that the fault makes: on the print, in its light, or in its reading."""
    if not cause:
        return 0.0
    before, after = true_lab(SHEET, sound), true_lab(SHEET, job)
    if cause == "c16":  # against a profile made in the same way, of readings without error
        faultless = replace(sound, path=replace(sound.path, profile=_coarse(job.path.profile.description)))
        before = true_lab(SHEET, faultless)
    if cause == "c18":
        return float(delta_e_76(true_lab(SHEET, job), true_lab(SHEET, job, "M2")).max())
    if cause in ("c22", "c23", "c24"):  # faults of the reading
        still = truth(SHEET, job)
        reading = still.instrument if cause == "c22" else replace(job.instrument, zero=0.0)
        read = replace(still, instrument=reading, exchanged=job.exchanged, conditions=("M1",))
        after = _lab(readings(SHEET, read, rng)[0])
    return float(delta_e_76(before, after).max())


@cache
def _coarse(paper: str) -> Profile:
    still = inject(_job(paper), "c16", 1e-9, SHEET, np.random.default_rng(0))
    return still.path.profile


def _lab(run: Run) -> Array:
    from evaluation.readings.colours import colours

    return colours(run).lab_d50
