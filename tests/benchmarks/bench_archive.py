"""Speed of the archive, each figure beside its baseline, runs interleaved.

    uv run python tests/benchmarks/bench_archive.py [--folder PLACE]

`--folder` chooses the disk; the default is the folder for temporary files. Aims are the project's own.
"""

import argparse
import contextlib
import json
import random
import sqlite3
import statistics
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from evaluation.archive import documents, entries, runs, session_list, sessions, weighings
from evaluation.archive.connection import Archive, open_archive
from evaluation.entry import Draft
from evaluation.readings.run import PatchRef, Run, Stated
from evaluation.session import Grade, PrintingCondition, Summary
from evaluation.work import log as verbs
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import begin
from evaluation.work.look import look

NOW = datetime(2024, 3, 2, 14, 0, tzinfo=UTC)
PATCHES, BANDS = 3000, 36
SAID = (10, 300, 1000, 2000)  # entries of a session before the keys that are timed


def shown(session) -> Summary:
    done = len(session.viewing.answers) if session.viewing else 0
    return Summary(paper=session.condition.paper, state="looking", looked=done)


def timed(act: Callable[[], object]) -> float:
    start = time.perf_counter()
    act()
    return (time.perf_counter() - start) * 1000


def figures(times: list[float]) -> tuple[float, float]:
    """Median and 95th percentile, milliseconds."""
    return statistics.median(times), statistics.quantiles(times, n=20)[-1]


def say(what: str, times: list[float], beside: str, baseline: list[float] | float, promise: str) -> None:
    median, p95 = figures(times)
    if isinstance(baseline, list):
        base, base95 = figures(baseline)
        compared = f"{beside} {base:7.2f} (p95 {base95:.2f}) ms, {median / base:.2f} x"
    else:
        compared = f"{beside} {baseline:.2f}"
    print(f"{what:<38} {median:7.2f} (p95 {p95:.2f}) ms   {compared}   promise: {promise}")


def new_session(archive: Archive) -> tuple[int, int]:
    sheet = documents.keep(archive, "sheet", "", b"map")
    session = sessions.create(archive, sheet_digest=sheet, now=NOW)
    viewing = sessions.start_viewing(archive, session, "observer 1", "full", (), NOW, shown)
    return session, viewing.id


def store_a_run(folder: Path, rounds: int = 25) -> None:
    """One run as a row of arrays against one row a patch with 36 REAL columns, both committed with FULL."""
    spectra = np.random.default_rng(1).random((PATCHES, BANDS))
    run = Run(
        patches=tuple(PatchRef(f"{n // 36}{n % 36}", f"patch {n}", n + 1) for n in range(PATCHES)),
        stated=Stated(condition="M1"),
        wavelengths=np.arange(380.0, 731.0, 10.0),
        spectra=spectra,
    )
    plain = sqlite3.connect(folder / "rows.db", isolation_level=None)
    for pragma in ("journal_mode = WAL", "synchronous = FULL"):
        plain.execute(f"PRAGMA {pragma}")
    columns = ", ".join(f"r{n} REAL" for n in range(BANDS))
    plain.execute(f"CREATE TABLE reading (run INTEGER, {columns})")
    insert = f"INSERT INTO reading VALUES (?{', ?' * BANDS})"

    def as_rows(number: int) -> None:
        plain.execute("BEGIN IMMEDIATE")
        plain.executemany(insert, ((number, *row) for row in spectra.tolist()))
        plain.execute("COMMIT")

    ours, theirs = [], []
    with open_archive(folder / "runs.db", create=True) as archive:
        session, _ = new_session(archive)

        def as_arrays() -> None:
            with archive.transaction():
                numbers = runs.keep(archive, session, [run], NOW)
                entries.say(archive, session, [Draft("readings", str(numbers[0]), "in")], NOW, shown)

        for number in range(rounds):
            theirs.append(timed(lambda number=number: as_rows(number)))
            ours.append(timed(as_arrays))
        say(f"store {PATCHES} x {BANDS}, source apart", ours, "executemany", theirs, "at most 1 x")

        read, parsed = [], []
        for _ in range(5):
            read.append(timed(lambda: runs.of_session(archive, session)) / rounds)
            parsed.append(timed(lambda: plain.execute("SELECT * FROM reading").fetchall()) / rounds)
        say("read one such run", read, "wide rows", parsed, "none")
    plain.close()


def press_a_key(folder: Path, presses: int = 400) -> None:
    """A grade as Look keeps it, and undo, in sessions of more and more entries, against a bare insert.

    Each session lies in an archive of its own and takes its turn, so that all of them meet the same disk.
    """
    bare = sqlite3.connect(folder / "bare.db", isolation_level=None)
    for pragma in ("journal_mode = WAL", "synchronous = FULL"):
        bare.execute(f"PRAGMA {pragma}")
    bare.execute("CREATE TABLE answer (subject TEXT, value TEXT)")

    def bare_insert() -> None:
        bare.execute("BEGIN IMMEDIATE")
        bare.execute("INSERT INTO answer VALUES ('skin/hue', '{\"grade\":4}')")
        bare.execute("COMMIT")

    with contextlib.ExitStack() as open_ones:
        booths = {
            said: Booth(open_ones.enter_context(open_archive(folder / f"keys-{said}.db", create=True)), said)
            for said in SAID
        }
        grades: dict[int, list[float]] = {said: [] for said in SAID}
        undone: dict[int, list[float]] = {said: [] for said in SAID}
        theirs = []
        for number in range(presses):
            theirs.append(timed(bare_insert))
            for said, booth in booths.items():
                grades[said].append(timed(lambda booth=booth, number=number: booth.grade(number)))
                if number % 4 == 0:
                    undone[said].append(timed(booth.undo))
    bare.close()
    for said in SAID:
        many = f"{said:,} said before"
        say(f"one key press, {many}", grades[said], "bare insert", theirs, "p95 below 5 ms")
        say(f"undo, {many}", undone[said], "bare insert", theirs, "p95 below 5 ms")
    for what, times in (("key press", grades), ("undo", undone)):
        ratio = figures(times[SAID[-1]])[0] / figures(times[SAID[0]])[0]
        print(f"{what}, {SAID[-1]:,} against {SAID[0]} said before: {ratio:.2f} x   promise: at most 1.2 x")


class Booth:
    """A session that is graded again and again: the questions of its nine regions in turn."""

    def __init__(self, archive: Archive, said: int) -> None:
        self._bench = Bench(archive)
        self._session = begin.begin(self._bench, PrintingCondition(paper="Rag", made_for="general"), {})
        look.start(self._bench, self._session.id)
        regions = sheet_of(self._bench, self._session).regions
        self._asked = [
            (region.id, question.id)
            for region in regions
            for question in region.questions
            if question.answer == "grade"
        ]
        with archive.transaction():
            for number in range(said):
                self.grade(number)

    def grade(self, number: int) -> None:
        region, question = self._asked[number % len(self._asked)]
        value = Grade(1 + number % 5)
        step = look.answer(self._bench, self._session.id, region, question, value, at_hand=self._session)
        self._session = step.session

    def undo(self) -> None:
        step = verbs.undo(self._bench, self._session.id)
        assert step is not None
        self._session = step.session


def list_sessions(folder: Path, many: int = 10_000) -> None:
    """The first window of a list of 10,000, a narrowed one, and one deep in it, against a bare SELECT."""
    dice = random.Random(1)
    with open_archive(folder / "list.db", create=True) as archive:
        sheet = documents.keep(archive, "sheet", "", b"map")
        settings = documents.keep(archive, "settings", "", b"tables")
        with archive.transaction():
            for number in range(many):
                at = NOW + timedelta(minutes=number)
                session = sessions.create(archive, sheet_digest=sheet, now=at)
                summary = Summary("Merrowby 24", f"paper {dice.randrange(200)}", "profile, fine", at)
                drafts = [Draft("condition", "paper", summary.paper)]
                entries.say(archive, session, drafts, at, lambda session, summary=summary: summary)
                uses = dict.fromkeys(("general", "portrait", "landscape", "black and white"), "accepted")
                weighings.put(
                    archive, session, settings, inputs="0" * 64, rules=1, revision=1, named=[], now=at,
                    result="{}", verdicts=uses, disagree=0,
                )  # fmt: skip
        bare = sqlite3.connect(folder / "list.db")
        select = "SELECT id, paper, printed, state FROM session ORDER BY id DESC LIMIT 60"
        windows = {
            "first 60 of 10,000": {},
            "60 from the middle": {"offset": 5000},
            "60 found by two words": {"match": "merrowby 17"},
            "60 by paper": {"order": "paper"},
        }
        times: dict[str, list[float]] = {name: [] for name in windows}
        theirs = []
        for _ in range(40):
            theirs.append(timed(lambda: bare.execute(select).fetchall()))
            for name, asked in windows.items():
                asked = {"settings": settings, "rules": 1, "limit": 60, **asked}
                act = lambda asked=asked: session_list.heads(archive, **asked)  # noqa: E731
                times[name].append(timed(act))
        for name, taken in times.items():
            say(name, taken, "bare SELECT", theirs, "a frame, 16 ms")
        counted = [timed(lambda: session_list.count(archive)) for _ in range(20)]
        say("count of 10,000", counted, "bare SELECT", theirs, "a frame, 16 ms")

        # A weighing of nine regions is some 20 kB of JSON.
        region = {"id": "skin", "why": "x" * 300, "metrics": {f"m{n}": n / 7 for n in range(60)}}
        text = json.dumps({"findings": [region] * 9})
        for session in range(1, 31):
            weighings.put(
                archive, session, settings, inputs="1" * 64, rules=1, revision=2, named=[], now=NOW,
                result=text, verdicts={"general": "accepted"}, disagree=0,
            )  # fmt: skip

        def thirty() -> None:
            for session in range(1, 31):
                stored = weighings.get(archive, session, settings, "1" * 64)
                assert stored is not None
                json.loads(stored)

        parsing = [timed(lambda: [json.loads(text) for _ in range(30)]) for _ in range(20)]
        read = [timed(thirty) for _ in range(20)]
        say(f"30 weighings of {len(text) // 1000} kB, parsed", read, "parsing alone", parsing, "below 10 ms")
        bare.close()


def open_and_close(folder: Path) -> None:
    path = folder / "keys-10.db"
    ours, theirs = [], []
    for _ in range(40):
        theirs.append(timed(lambda: sqlite3.connect(path).execute("SELECT count(*) FROM session").fetchall()))
        ours.append(timed(lambda: open_archive(path).close()))
    say("open and close", ours, "connect, count", theirs, "none")


def main() -> None:
    options = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    options.add_argument("--folder", type=Path, help="where to write the archives")
    with tempfile.TemporaryDirectory(dir=options.parse_args().folder) as folder:
        for part in (press_a_key, store_a_run, list_sessions, open_and_close):
            part(Path(folder))


if __name__ == "__main__":
    main()
