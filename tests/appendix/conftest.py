"""A session made by hand: one region that agrees, one that disagrees, one with a fault, one not looked at."""

import shutil
from datetime import UTC, datetime, timedelta, timezone

import numpy as np
import pytest

from evaluation.appendix.case import Case, Choices, Edition
from evaluation.archive.connection import open_archive
from evaluation.colorimetry.lab import D50_WHITE, xyz_from_lab
from evaluation.colorimetry.spectra import xyz_from_spectra
from evaluation.judgement.opinion import Cause, Finding, Inputs, Opinion, Pair, Verdict, Weighing
from evaluation.judgement.tables import load_tables
from evaluation.metrics.evidence import Metric
from evaluation.readings.run import PatchRef, Repeats, Run, Stated, Taken
from evaluation.readings.supplied import Supplied
from evaluation.session import (
    Answer,
    Cast,
    Count,
    Fault,
    Grade,
    PrintingCondition,
    Readiness,
    Session,
    Viewing,
)
from evaluation.sheet.aims import source_lab
from evaluation.sheet.layout import Area, Patch, Question, Sheet, SheetRegion
from evaluation.sheet.load import map_text
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import begin
from evaluation.work.paper import viewing as paper
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh

NOW = datetime(2026, 11, 24, 14, 31, tzinfo=UTC)
SECRET = 3.14159  # the reading of a region that nobody has looked at


def region(region_id, number, title, *questions, patch_ids=()):
    whole = Question(id="overall", answer="grade", ask=f"As {title.lower()} as a whole?", whole_region=True)
    return SheetRegion(
        id=region_id,
        number=number,
        kind=region_id,
        title=title,
        shows="what it shows",
        area=Area(0.05, 0.02 + 0.2 * number, 0.9, 0.1),
        questions=(*questions, whole),
        faults=("cast", "mottle"),
        patch_ids=patch_ids,
        metrics=(),
    )


@pytest.fixture(scope="session")
def sheet():
    cast = Question(
        id="cast",
        answer="cast",
        ask="Which way does each third lean?",
        pairs_with="cast_by_third",
        parts=("dark", "middle", "light"),
    )
    first = Question(id="first", answer="count", ask="From which figure on do they part?")
    patches = tuple(
        Patch(id=f"{name}{step}", name=f"{name}{step}", region=region_id, series=name, step=step)
        for region_id, name in (("neutral", "N"), ("shadow", "S"), ("saturation", "C"))
        for step in (1, 2)
    )
    return Sheet(
        digest="5" * 64,
        title="Reference sheet",
        code="",
        encoding="srgb",
        size_mm=(330.0, 483.0),
        neutral_aim="paper",
        regions=(
            region("neutral", 1, "Neutral greyscale", cast, patch_ids=("N1", "N2")),
            region("shadow", 2, "Shadow detail", first, patch_ids=("S1", "S2")),
            region("detail", 3, "Fine detail"),
            region("saturation", 4, "Saturation", patch_ids=("C1", "C2")),
        ),
        patches=(Patch("P", "paper", "", role="paper"), *patches),
        paper_patch="P",
        black_patch="S1",
    )


@pytest.fixture(scope="session")
def session():
    answers = {
        ("neutral", "cast"): Answer(
            Cast((("dark", "none", None), ("middle", "yellow", "just"), ("light", "none", None))), NOW
        ),
        ("neutral", "overall"): Answer(Grade(4), NOW),
        ("shadow", "first"): Answer(Count(5), NOW),
        ("shadow", "overall"): Answer(Grade(2), NOW, after_reveal=True),
        ("detail", "overall"): Answer(Grade(4), NOW),
    }
    viewing = Viewing(
        id=7,
        ordinal=1,
        observer="Wilhelmina Quist",
        kind="full",
        started=NOW - timedelta(minutes=20),
        region_order=("neutral", "shadow", "detail", "saturation"),
        answers=answers,
        faults=(Fault("mottle", "detail", "upper left"),),
        look_again=frozenset({"shadow"}),
        remarks={"neutral": "Calm in the lights.\nSlightly warm below."},
        revealed={"shadow": NOW - timedelta(minutes=5)},
    )
    return Session(
        id=4,
        uid="a" * 32,
        sheet_digest="5" * 64,
        created=NOW - timedelta(days=1),
        revision=31,
        condition=PrintingCondition(
            printer="Merrowby 24",
            paper="Brackmoor Rag 293",
            quality="3",
            driver_mode="through the profile",
            made_for="portrait",
            intent="relative colorimetric",
            black_point_compensation=True,
            printed_at=datetime(2026, 11, 23, 9, 5, tzinfo=timezone(timedelta(hours=1))),
            sheet_width_mm=330.0,
        ),
        readiness={
            "nozzle_check": Readiness("done", NOW - timedelta(hours=30)),
            "viewing_light": Readiness("done", NOW, {"lux": 2040.0, "kelvin": 5050.0, "class": "P1"}),
        },
        viewings=(viewing,),
        remarks={"describe": "Second sheet of the roll."},
        runs=frozenset({1}),
    )


@pytest.fixture(scope="session")
def weighing():
    half = 0.5
    findings = (
        Finding(
            region="neutral",
            title="Neutral greyscale",
            kind="neutral",
            eye=Opinion(4.0, half, 1, "1 viewing"),
            instrument=Opinion(3.7, half, 21, "cast by third"),
            agreement="agree",
            combined=Opinion(3.87, 0.36, 2, "both"),
            why="slightly yellow in the middle third",
            metrics=(
                Metric("cast_by_third", 1.8234, "dE00 at equal L*", 0.126, "middle third", 21, "absolute"),
                Metric("dch_mean", 0.94, "dCh", None, None, 21, "absolute"),
            ),
            pairs=(Pair("cast", "cast_by_third", 4.0, 3.7, True),),
            viewings=1,
        ),
        Finding(
            region="shadow",
            title="Shadow detail",
            kind="shadow",
            eye=Opinion(2.0, half, 1, "1 viewing"),
            instrument=Opinion(3.9, half, 16, "first step told apart"),
            agreement="disagree",
            combined=None,
            why="parted from step 5, readings say step 2",
            metrics=(Metric("first_shadow_step", 3.2, "source L*", 0.4, "step 2", 16, "media-relative"),),
            pairs=(Pair("overall", "first_shadow_step", 2.0, 3.9, False),),
            viewings=1,
        ),
        Finding(
            region="detail",
            title="Fine detail",
            kind="detail",
            eye=Opinion(4.0, half, 1, "1 viewing"),
            instrument=None,
            agreement="eye only",
            combined=Opinion(4.0, half, 1, "eye"),
            why="nothing to read here",
            faults=("mottle",),
            viewings=1,
        ),
        # What judgement must never hand over, handed over: the appendix holds the gate by itself.
        Finding(
            region="saturation",
            title="Saturation",
            kind="saturation",
            eye=None,
            instrument=Opinion(SECRET, half, 96, "hue turn"),
            agreement="instrument only",
            combined=Opinion(SECRET, half, 96, "hue turn"),
            why=f"greens turn by {SECRET} degrees",
            metrics=(Metric("hue_turn", SECRET, "degrees", 0.2, "green", 96, "media-relative"),),
        ),
    )
    return Weighing(
        session=4,
        revision=31,
        inputs=Inputs(1, "e" * 64, f"{'a' * 32}, revision 31", "5" * 64),
        findings=findings,
        verdicts={
            "general": Verdict(
                "general", "undecided", ("Shadow detail disagrees.",), "read six patches again", 0.6
            ),
            "portrait": Verdict("portrait", "incomplete", ("skin tones are not graded",)),
        },
        causes=(
            Cause(
                "c10",
                "the print darkened while it dried",
                4.0,
                ("read 25 min after printing",),
                (),
                "read steps 1 to 6 again",
                "two minutes",
            ),
        ),
        caveats=("viewing light measured 8 days before",),
    )


@pytest.fixture(scope="session")
def taken():
    run = Run(
        patches=tuple(PatchRef(name, name, row) for row, name in enumerate(("P", "N1", "N2", "S1", "C1"), 1)),
        stated=Stated(
            condition="M1", geometry="45/0", backing="black", said_by_user=frozenset({"condition"})
        ),
        printed_as="managed",
        wavelengths=np.arange(400.0, 701.0, 10.0),
        spectra=np.full((5, 31), 0.5),
        source_name="rag-strip.txt",
        source_digest="f" * 64,
        reader="ISO 28178 text 1",
        remarks=("line 3 has no unit",),
        id=1,
    )
    repeats = Repeats(np.eye(3) * 0.04, 0.281, 0.51, 0.64, 12, 4)
    return Taken(
        run, {"P": (0,), "N1": (1,), "N2": (2,), "S1": (3,), "C1": (4,)}, "id", (), ("S2",), repeats, ()
    )


@pytest.fixture(scope="session")
def case(session, sheet, weighing, taken):
    return Case(
        session=session,
        sheet=sheet,
        weighing=weighing,
        shown=frozenset({"neutral", "shadow", "detail"}),
        findings={"session": 4},
        taken=(taken,),
    )


@pytest.fixture(scope="session")
def edition():
    return Edition("0.1.0", "24 Nov 2026, 14:31 UTC", load_tables(), load_tables(), Choices("whole"))


@pytest.fixture(scope="session")
def weighed_archive(tmp_path_factory):
    """One session on the built-in sheet: three regions graded, all of them read under M1, and weighed."""
    folder = tmp_path_factory.mktemp("weighed")
    with open_archive(folder / "archive.db", create=True) as archive:
        bench = Bench(archive, now=lambda: NOW)
        session = begin.begin(
            bench,
            PrintingCondition(
                printer="Merrowby 24",
                paper="Sallowfell Lustre 247",
                quality="3",
                made_for="general",
                intent="relative colorimetric",
                black_point_compensation=True,
                printed_at=NOW - timedelta(hours=30),
            ),
            {"nozzle_check": {"mark": "done", "detail": {}}},
            map_text=map_text("colour-4"),
            map_name="colour-4",
        )
        sheet = sheet_of(bench, session)
        form = paper.read_form(GRADES, "grades.toml", sheet)
        paper.record(bench, session.id, form)
        strip = folder / "lustre-strip.txt"
        strip.write_text(readings_text(sheet), "utf-8")
        said = Supplied(condition="M1", printed_as="managed", spectral_scale="fraction")
        read.take_in(bench, session.id, read.preview(bench, session.id, strip, said))
        weigh.weigh(bench, session.id)
    return folder / "archive.db"


@pytest.fixture
def archive_bench(weighed_archive, tmp_path):
    """A bench on a copy of it."""
    with open_archive(shutil.copy(weighed_archive, tmp_path / "archive.db")) as archive:
        yield Bench(archive, now=lambda: NOW)


GRADES = """
[viewing]
observer = "Wilhelmina Quist"
[neutral]
cast = { dark = "none", middle = "yellow, just", light = "none" }
overall = 4
[shadow]
first = 3
overall = 4
faults = []
[skin]
overall = 3
remark = "A little | red.\\nStill good."
faults = []
"""


def readings_text(sheet):
    """The sheet's aims, compressed to a black of Y 0.3 and nudged, as spectra that have those colours.

    Three broad bands suffice to give any printable colour; the numbers are made, not measured.
    """
    nm = np.arange(400, 701, 10)
    bands = np.stack([np.exp(-(((nm - centre) / 60.0) ** 2)) for centre in (445, 545, 620)])
    colours = xyz_from_spectra(nm, bands)
    aims = source_lab(sheet)
    random = np.random.default_rng(20261124)
    rows = []
    for patch, lab in zip(sheet.patches, aims, strict=True):
        if not np.isfinite(lab).all():
            continue
        xyz = xyz_from_lab(lab) * 0.87 + D50_WHITE * 0.003
        xyz = xyz * (1 + 0.004 * random.standard_normal(3))
        spectrum = np.clip(np.linalg.solve(colours.T, xyz) @ bands, 0.001, None)
        rows.append((patch.id, spectrum))
    fields = " ".join(f"SPECTRAL_{each}" for each in nm)
    lines = [
        "CGATS.17",
        f"NUMBER_OF_FIELDS {len(nm) + 1}",
        "BEGIN_DATA_FORMAT",
        f"SAMPLE_ID {fields}",
        "END_DATA_FORMAT",
        f"NUMBER_OF_SETS {len(rows)}",
        "BEGIN_DATA",
        *(f"{name} {' '.join(f'{value:.5f}' for value in spectrum)}" for name, spectrum in rows),
        "END_DATA",
    ]
    return "\n".join(lines) + "\n"
