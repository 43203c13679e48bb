"""Speed of Compare: thirty weighed sessions in an archive of 10,000, each figure beside its baseline.

    uv run python tests/benchmarks/bench_compare.py [--sessions N] [--rounds N]

Promises (the project's own): the matrix on screen within 150 ms of the key from stored results; a step of
the cursor repaints within 1.5 x the repaint of an empty app; work that is stopped ends within one comparison.
"""

import argparse
import asyncio
import os
import statistics
import tempfile
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

from textual.app import App, ComposeResult
from textual.pilot import Pilot
from textual.widgets import Static

from evaluation.archive.connection import Archive, open_archive
from evaluation.errors import DrydownError
from evaluation.readings.said import Said
from evaluation.work import begin, compare, paper, read
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.say import session
from fixtures import demo
from tui.app import DrydownApp
from tui.config import Config
from tui.screens.compare import Compare

THIRTY = 30
TRUECOLOR = {"TERM": "xterm-256color", "COLORTERM": "truecolor"}


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
    """The demo, twenty-nine finished sessions like its first, and bare rows up to `count`; ids of thirty."""
    demo.build(path)
    readings = path.parent / f"{path.stem}-readings" / "lustre-q3.txt"
    ids = [1]
    with open_archive(path) as archive:
        bench = Bench(archive)
        sheet = sheet_of(bench, session(bench, 1))
        asked = [(region.id, region.whole.id) for region in sheet.regions if region.whole]
        form = '[viewing]\nobserver = "observer 1"\nkind = "quick"\n'
        form += "".join(f"[{region}]\n{question} = 4\n" for region, question in asked)
        for number in range(1, THIRTY):
            made = begin.begin_like(bench, 1)
            begin.say_condition(bench, made.id, "paper", f"Paper {number:02}")
            what = read.preview(bench, made.id, readings, Said(printed_as="managed"))
            read.take_in(bench, made.id, what)
            paper.record(bench, made.id, paper.read_form(form, "form", sheet))
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
            if len(told) == 10 and not asked:
                asked.append(time.perf_counter())
            return bool(asked)

        try:
            compare.worked_out(
                Bench(archive), ids, tell=lambda _: told.append(time.perf_counter()), stopped=stopped
            )
        except DrydownError:
            print(f"stopped after it was asked  {(time.perf_counter() - asked[0]) * 1000:7.1f} ms")
        told.clear()
        start = time.perf_counter()
        compare.worked_out(Bench(archive), ids, tell=lambda _: told.append(time.perf_counter()))
        gaps = [later - sooner for sooner, later in pairwise(told)]
        print(
            f"thirty weighed and compared {time.perf_counter() - start:7.1f} s    told {len(told)} times, "
            f"every {statistics.median(gaps) * 1000:.0f} ms, at most {max(gaps) * 1000:.0f} ms apart"
        )


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


class Empty(App[None]):
    """One block of lines that changes with every key."""

    count = 0

    def compose(self) -> ComposeResult:
        yield Static()

    def on_key(self) -> None:
        self.count += 1
        self.query_one(Static).update(f"{self.count}")


async def pressed(pilot: Pilot[None], *keys: str) -> float:
    """From the key to the screen after it, without what works in threads."""
    start = time.perf_counter()
    await pilot.press(*keys)
    painted = asyncio.Event()
    pilot.app.screen.call_after_refresh(painted.set)
    await painted.wait()
    return (time.perf_counter() - start) * 1000


async def on_screen(path: Path, ids: tuple[int, ...], rounds: int) -> None:
    """Opening and stepping in the app, beside an app that is empty."""
    opening, steps, empty_opening, empty_steps = [], [], [], []
    with open_archive(path) as archive:
        app = DrydownApp(Bench(archive), config=Config(bounce_ms=0), environ=TRUECOLOR)
        app.animation_level = "none"
        bare = Empty()
        async with app.run_test(size=(80, 24)) as pilot, bare.run_test(size=(80, 24)) as empty:
            await app.workers.wait_for_complete()
            home = app.screen_stack[0]
            home.marked = dict.fromkeys(ids)  # type: ignore[attr-defined]
            for _ in range(rounds):
                await pilot.press("g")
                empty_opening.append(await pressed(empty, "c"))
                opening.append(await pressed(pilot, "c"))
                assert isinstance(app.screen, Compare) and not app.screen.matrix.missing
                for key in ("down", "right", "down", "right", "up", "left"):
                    empty_steps.append(await pressed(empty, key))
                    steps.append(await pressed(pilot, key))
                await pilot.press("escape")
                await pilot.pause()
    opening, empty_opening = opening[1:], empty_opening[1:]  # the first brings the modules
    say("key to matrix on screen", opening, "a key, empty app", empty_opening, "promise: below 150 ms")
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
        asyncio.run(on_screen(path, ids, args.rounds))


if __name__ == "__main__":
    main()
