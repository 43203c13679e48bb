"""Many archives of an invented print room, in which it is known what the queries over them must find.

uv run python tests/export/many.py FOLDER --archives 20 --sessions 50 --patches 400
"""

import argparse
import json
import os
import random
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from evaluation.archive import documents, entries, runs, sessions, weighings
from evaluation.archive.connection import Archive, open_archive
from evaluation.archive.moments import stamped
from evaluation.entry import Draft
from evaluation.judgement import codec
from evaluation.judgement.opinion import Finding, Opinion, Weighing
from evaluation.judgement.rules import RULES
from evaluation.readings.run import Run
from evaluation.sheet.layout import Sheet
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.log import summarise
from fixtures import demo

START = datetime(2024, 1, 10, 9, tzinfo=UTC)
YEARS = 2.5
# cast_by_third in dE00 at the start, and how much it grows in a year
PAPERS = {
    "Sallowfell Lustre 247": (0.6, 0.0),
    "Brackmoor Rag 293": (0.9, 0.7),
    "Wenlow Baryta 310": (1.2, -0.2),
}
# by how much an observer grades above the readings
OBSERVERS = {"Berta": 0.5, "Anton": -0.4, "Cora": 0.0}
# density of the black at the start, and how much it changes in a year
LOTS = {"pigment set, lot 2231": (1.60, -0.10), "pigment set, lot 2340": (1.55, 0.0)}


@dataclass(frozen=True, slots=True, eq=False)
class Pattern:
    """What every session is made from: a sheet with its readings, and a weighing that has all numbers."""

    sheet_name: str
    sheet_map: bytes
    sheet: Sheet
    run: Run
    weighing: Weighing


def pattern(path: Path) -> Pattern:
    """From an archive of the demo."""
    with open_archive(path, read_only=True) as archive:
        session = sessions.load(archive, 1)
        name, content = documents.fetch(archive, session.sheet_digest)
        sheet = sheet_of(Bench(archive), session)
        run = next(one for one in runs.these(archive, session.runs) if len(one) > 400)
        ((text,),) = archive.rows("SELECT result FROM weighing WHERE session = 1")
    return Pattern(name, content, sheet, run, codec.decoded(Weighing, text))


def build(path: Path, of: Pattern, seed: int, *, count: int = 50, patches: int = 400) -> None:
    """An archive of so many sessions over two years, each with a viewing, one run and a weighing."""
    draw = random.Random(seed)
    noise = np.random.default_rng(seed)
    with open_archive(path, create=True) as archive:
        archive.connection.execute("PRAGMA synchronous = OFF")
        sheet = documents.keep(archive, "sheet", of.sheet_name, of.sheet_map)
        settings = documents.keep(archive, "settings", "tables of the weighing", b"{}")
        for place in range(count):
            years = YEARS * (place + draw.random()) / count
            _session(archive, of, (sheet, settings), place, years, draw, noise, patches)
        archive.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _session(
    archive: Archive,
    of: Pattern,
    kept: tuple[str, str],
    place: int,
    years: float,
    draw: random.Random,
    noise: np.random.Generator,
    patches: int,
) -> None:
    now = START + timedelta(days=365.25 * years)
    paper, observer, lot = [*PAPERS][place % 3], [*OBSERVERS][place // 3 % 3], [*LOTS][place % 2]
    bench = Bench(archive, sheets={kept[0]: of.sheet})
    findings = tuple(_finding(one, paper, years, draw) for one in of.weighing.findings)
    said = {
        "printer": "Merrowby 24",
        "inks": lot,
        "paper": paper,
        "printed_at": stamped(now),
        "quality": "fine",
    }
    with archive.transaction() as connection:
        number = sessions.create(archive, sheet_digest=kept[0], now=now)
        drafts = [Draft("condition", name, value) for name, value in said.items()]
        entries.append(archive, connection, number, drafts, now)
        order = [region.id for region in of.sheet.regions]
        viewing = sessions.start_viewing(archive, number, observer, "quick", order, now, summarise(bench))
        answers = [
            Draft("answer", f"{one.region}/overall", {"grade": _graded(one, observer, draw)}, viewing.id)
            for one in findings
        ]
        entries.append(archive, connection, number, answers, now)
        (run,) = runs.keep(archive, number, [_run(of, lot, years, noise, patches, now)], now)
        entries.append(archive, connection, number, [Draft("readings", str(run), "in")], now)
        sessions.refresh(archive, number, now, summarise(bench))
        ((revision,),) = archive.rows("SELECT revision FROM session WHERE id = ?", (number,))
        weighings.put(
            archive,
            number,
            kept[1],
            inputs="0" * 64,
            rules=RULES,
            revision=revision,
            named=[],
            now=now,
            result=codec.encoded(replace(of.weighing, session=number, findings=findings)),
            verdicts={use: one.verdict for use, one in of.weighing.verdicts.items()},
            disagree=0,
        )


def _finding(found: Finding, paper: str, years: float, draw: random.Random) -> Finding:
    start, a_year = PAPERS[paper]
    cast = start + a_year * years + draw.gauss(0, 0.05)
    metrics = tuple(
        replace(one, value=cast if one.name == "cast_by_third" else one.value * draw.uniform(0.9, 1.1))
        for one in found.metrics
    )
    return replace(found, instrument=Opinion(draw.uniform(2.5, 3.9), 0.5, 20, "readings"), metrics=metrics)


def _graded(found: Finding, observer: str, draw: random.Random) -> int:
    assert found.instrument is not None
    return min(5, max(1, round(found.instrument.grade + OBSERVERS[observer] + draw.uniform(-0.5, 0.5))))


def _run(of: Pattern, lot: str, years: float, noise: np.random.Generator, patches: int, now: datetime) -> Run:
    assert of.run.spectra is not None and of.run.device is not None
    spectra = of.run.spectra[:patches] * noise.normal(1, 0.004, (patches, 1))
    start, a_year = LOTS[lot]
    black = next(k for k, patch in enumerate(of.run.patches) if patch.id == "N01")
    spectra[black] = 10 ** -(start + a_year * years + noise.normal(0, 0.01))
    return replace(
        of.run,
        patches=of.run.patches[:patches],
        spectra=np.round(spectra, 4),
        device=of.run.device[:patches],
        stated=replace(of.run.stated, measured_at=now),
        source_digest=None,
        id=None,
    )


def another(path: Path, like: Path) -> None:
    """A copy of an archive under names of its own: as if another print room had seen the same."""
    shutil.copyfile(like, path)
    with closing(sqlite3.connect(path)) as copy, copy:
        copy.execute("PRAGMA synchronous = OFF")
        guards = ("session_keeps_its_name", "birth_is_immutable")
        kept = [
            copy.execute("SELECT sql FROM sqlite_master WHERE name = ?", (one,)).fetchone()[0]
            for one in guards
        ]
        for one in guards:
            copy.execute(f"DROP TRIGGER {one}")
        copy.execute("UPDATE session SET uid = lower(hex(randomblob(16)))")
        origin = os.urandom(16).hex()
        copy.execute("UPDATE birth SET origin = ?", (origin,))
        copy.execute("UPDATE origin SET origin = ?, place = ''", (origin,))
        for sql in kept:
            copy.execute(sql)
    with closing(sqlite3.connect(path)) as copy:
        copy.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def many(
    folder: Path, archives: int, *, count: int = 50, patches: int = 400, unlike: int = 20
) -> Iterator[Path]:
    """So many archives in a folder; `unlike` of them are drawn, the others are these under other names."""
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as apart:
        demo.build(Path(apart) / "demo.db")
        of = pattern(Path(apart) / "demo.db")
    for number in range(archives):
        path = folder / f"room-{number:04d}.db"
        if path.exists():
            pass  # from a run before
        elif number < unlike:
            build(path, of, number, count=count, patches=patches)
        else:
            another(path, folder / f"room-{number % unlike:04d}.db")
        yield path


if __name__ == "__main__":
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("folder", type=Path)
    words.add_argument("--archives", type=int, default=20)
    words.add_argument("--sessions", type=int, default=50)
    words.add_argument("--patches", type=int, default=400)
    given = words.parse_args()
    for made in many(given.folder, given.archives, count=given.sessions, patches=given.patches):
        print(json.dumps(str(made)))
