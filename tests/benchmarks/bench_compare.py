"""Speed of Compare: thirty weighed sessions in an archive of 10,000, each figure beside its baseline.

    uv run python tests/benchmarks/bench_compare.py [--sessions N] [--rounds N]

Promises (the project's own): the matrix on screen within 150 ms of the key from stored results; a step of
the cursor repaints within 1.5 x the repaint of an empty app; work that is stopped ends within one comparison;
thirty sessions weighed and compared with the first within 7 s on two processors.
"""

import argparse
import os
import resource
import statistics
import tempfile
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

from bench_app import EMPTY, OURS, Running

from evaluation.archive.connection import Archive, open_archive
from evaluation.errors import DrydownError
from evaluation.processes import processors
from evaluation.readings.supplied import Supplied
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.compare import compare, workers
from evaluation.work.describe import begin
from evaluation.work.log import session
from evaluation.work.paper import viewing
from evaluation.work.take_in import read
from fixtures import demo

THIRTY = 30


def timed(act: Callable[[], object]) -> float:
    start = time.perf_counter()
    act()
    return (time.perf_counter() - start) * 1000


def say(what: str, times: list[float], beside: str, baseline: list[float], promise: str) -> None:
    median, base = statistics.median(times), statistics.median(baseline)
    p95 = statistics.quantiles(times, n=20)[-1]
    ours = f"{what:<26} {median:7.1f} (p95 {p95:.1f}) ms"
    print(f"{ours}   {beside} {base:.1f} ms, {median / base:.2f} x   {promise}")


def filled(path: Path, count: int) -> tuple[int, ...]:
    """The demo, thirty finished sessions like its first, and bare rows up to `count`; their ids."""
    demo.build(path)
    readings = path.parent / f"{path.stem}-readings" / "lustre-fine.txt"
    ids = []
    with open_archive(path) as archive:
        bench = Bench(archive)
        sheet = sheet_of(bench, session(bench, 1))
        asked = [(region.id, region.whole.id) for region in sheet.regions if region.whole]
        form = '[viewing]\nobserver = "observer 1"\nkind = "quick"\n'
        form += "".join(f"[{region}]\n{question} = 4\n" for region, question in asked)
        for number in range(THIRTY):
            made = begin.begin_like(bench, 1)
            begin.say_condition(bench, made.id, "paper", f"Paper {number:02}")
            supplied = Supplied(printed_as="managed", anyway=True)  # the same file for every paper
            what = read.preview(bench, made.id, readings, supplied)
            read.take_in(bench, made.id, what)
            viewing.record(bench, made.id, viewing.read_form(form, "form", sheet))
            ids.append(made.id)
        _padded(archive, count)
    return tuple(ids)


def _padded(archive: Archive, count: int) -> None:
    there = archive.rows("SELECT count(*) FROM session")[0][0]
    with archive.transaction() as connection:
        connection.executemany(
            "INSERT INTO session (uid, sheet, created, touched, paper, words) "
            "SELECT ?, sheet, created, touched, 'Padding', 'padding' FROM session WHERE id = 1",
            [(os.urandom(16).hex(),) for _ in range(max(0, count - there))],
        )


def cold(path: Path, ids: tuple[int, ...]) -> None:
    """Nothing stored: how long, how often it is told, and how soon it stops."""
    with open_archive(path) as archive:
        told: list[float] = []
        asked: list[float] = []

        def stopped() -> bool:
            """Asked for the moment a step has begun: the worst that can happen to whoever presses Esc."""
            if len(told) == 10 and not asked:
                asked.append(told[-1])
            return bool(asked)

        try:
            compare.worked_out(
                Bench(archive), ids, tell=lambda _: told.append(time.perf_counter()), stopped=stopped
            )
        except DrydownError:
            print(f"stopped after it was asked  {(time.perf_counter() - asked[0]) * 1000:7.1f} ms")
        for who, fewest in (("one process", 10**9), (f"{processors()} processes", workers.FEWEST)):
            workers.FEWEST = fewest  # type: ignore[misc]
            with archive.transaction() as connection:
                connection.execute("DELETE FROM weighing")
                connection.execute("DELETE FROM comparison")
            told.clear()
            start, own, others = time.perf_counter(), time.process_time(), spent()
            compare.worked_out(Bench(archive), ids, tell=lambda _: told.append(time.perf_counter()))
            took, own, others = time.perf_counter() - start, time.process_time() - own, spent() - others
            gaps = [later - sooner for sooner, later in pairwise(told)]
            print(
                f"thirty weighed and compared by {who} {took:5.1f} s ({own:.1f} of processor time here, "
                f"{others:.1f} in others)   told {len(told)} times, "
                f"every {statistics.median(gaps) * 1000:.0f} ms, at most {max(gaps) * 1000:.0f} ms apart"
            )


def spent() -> float:
    """Seconds of processor time of the processes that were begun here and have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def stored(path: Path, ids: tuple[int, ...], rounds: int) -> None:
    """The values of the matrix, beside reading the same rows without understanding them."""
    with open_archive(path) as archive:
        bench = Bench(archive)
        compare.at_once(bench, ids)
        marks = ", ".join("?" * len(ids))
        ours, bare = [], []
        for _ in range(rounds):
            bare.append(
                timed(
                    lambda: (
                        archive.rows(f"SELECT result FROM weighing WHERE session IN ({marks})", ids),
                        archive.rows(f"SELECT result FROM comparison WHERE a IN ({marks})", ids),
                        archive.rows(f"SELECT value FROM entry WHERE session IN ({marks})", ids),
                    )
                )
            )
            ours.append(timed(lambda: compare.at_once(bench, ids)))
        say("values of the matrix", ours, "the rows alone", bare, "")


def on_screen(path: Path, rounds: int) -> None:
    """In a pseudo terminal: from the key to what it draws, beside an empty app's screen change and key."""
    steps: list[float] = []
    empty_steps: list[float] = []
    opening: list[float] = []
    empty_opening: list[float] = []
    for _ in range(rounds):
        ours, empty = Running(OURS, str(path)), Running(EMPTY)
        ours.until("Padding")
        empty.until("Sallowfell Lustre")
        ours.rest(1.0)  # what is loaded after the first frame
        empty.rest()
        ours.press("/", "Find")
        ours.press("paper\r", f"{THIRTY} sessions")
        for marked in range(1, THIRTY + 1):
            ours.press(" ", f"{marked} marked")
            ours.press("j", "\x1b") if marked < THIRTY else None
        ours.press("g", "Go to")
        ours.rest()
        empty_opening.append(empty.press("g", "the other screen") * 1000)
        opening.append(ours.press("c", "ring-around") * 1000)
        ours.rest()
        empty.end()
        empty = Running(EMPTY)
        empty.until("Sallowfell Lustre")
        empty.rest()
        for number, title in enumerate(("Ring-around", "Shadow detail", "Highlight detail", "Skin tones"), 1):
            empty_steps.append(empty.press("j", f"pressed {number}") * 1000)
            steps.append(ours.press("j", f"{title}   session") * 1000)
        ours.end()
        empty.end()
    say("key to matrix on screen", opening, "empty app", empty_opening, "promise: below 150 ms")
    say("a step of the cursor", steps, "empty app", empty_steps, "promise: below 1.5 x")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--sessions", type=int, default=10_000)
    parser.add_argument("--rounds", type=int, default=15)
    args = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / "room.db"
        ids = filled(path, args.sessions)
        cold(path, ids)
        stored(path, ids, args.rounds)
        on_screen(path, args.rounds)


if __name__ == "__main__":
    main()
