"""The app in a pseudo terminal beside an empty Textual app: first frame, key press, opening a session.

    uv run python tests/benchmarks/bench_app.py [ROUNDS]

Promises: first frame of Home with 10,000 sessions, and with 100,000, at most 1.3 x an empty app with a
one-row DataTable; key press to repaint, p95 on a quiet machine, at most 50 ms above the empty app's; a page
opened at most 4 x an empty screen by processor time; another size of the terminal drawn in 200 ms in the
median. A turned page is looked at anew: its milliseconds are told, not promised.

The empty app is a DataTable of one row and a Static. Its key press gives the Static another text; its screen
change pushes a screen with one Static. Ours are: the cursor of Home moved by a row; 4 pressed after g, which
opens Read of that session with all that it shows; a grade in Look, which is on disk before it shows as saved.
A disk takes its time for that, whatever the app: beside the bare empty app stands one whose key press also
commits a row to a table of its own as safely (one column, write-ahead log, synchronous=FULL).

Each runs from the key written to the terminal until the text is read back. Every round starts the apps anew
and takes turns between them; medians and 95th percentiles are printed.
"""

import fcntl
import os
import pty
import select
import signal
import statistics
import struct
import sys
import tempfile
import termios
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from evaluation.archive import runs
from evaluation.archive.connection import Archive, open_archive
from evaluation.entry import Draft
from evaluation.readings.run import PatchRef, Run, Stated
from evaluation.session import PrintingCondition
from evaluation.work import log
from evaluation.work.bench import Bench
from evaluation.work.describe import begin
from evaluation.work.look import look

EMPTY = """
from textual.app import App
from textual.screen import Screen
from textual.widgets import DataTable, Static

class Other(Screen):
    def compose(self):
        yield Static("the other screen")

class Empty(App):
    BINDINGS = [("j", "count", ""), ("g", "other", ""), ("b", "back", "")]
    count = 0
    def compose(self):
        table = DataTable()
        table.add_column("paper")
        table.add_row("Sallowfell Lustre")
        yield table
        yield Static("0", id="count")
    def action_count(self):
        self.count += 1
        self.query_one("#count", Static).update(f"pressed {self.count}")
    def action_other(self):
        self.push_screen(Other())
    def action_back(self):
        self.pop_screen()
"""
KEEPING = (
    EMPTY
    + """
import sqlite3, sys

class Keeping(Empty):
    def on_mount(self):
        self.kept = sqlite3.connect(sys.argv[1], isolation_level=None)
        self.kept.execute("PRAGMA journal_mode = WAL")
        self.kept.execute("PRAGMA synchronous = FULL")
        self.kept.execute("CREATE TABLE IF NOT EXISTS said (value INTEGER)")
    def action_count(self):
        self.kept.execute("INSERT INTO said VALUES (?)", (self.count,))
        super().action_count()

Keeping().run()
"""
)
EMPTY += "\nEmpty().run()\n"
TURNS = 5  # in one run of the apps
OURS = "import sys; from pathlib import Path; from tui.app import run_app; run_app(Path(sys.argv[1]))"


class Running:
    """A program on a pseudo terminal of 80 columns and 24 rows."""

    def __init__(self, code: str, *words: str) -> None:
        self.started = time.perf_counter()
        self.pid, self.file = pty.fork()
        if self.pid == 0:
            os.environ.update(TERM="xterm-256color", COLORTERM="truecolor", TEXTUAL_DISABLE_KITTY_KEY="1")
            os.environ.pop("COLUMNS", None)
            os.environ.pop("LINES", None)
            os.execv(sys.executable, [sys.executable, "-c", code, *words])
        self.size(80, 24)

    def size(self, columns: int, rows: int) -> None:
        fcntl.ioctl(self.file, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

    def resized(self, columns: int, rows: int, text: str) -> float:
        """Seconds from another size of the terminal to the moment that a text is drawn in it."""
        asked = time.perf_counter()
        self.size(columns, rows)
        return self.until(text) - asked

    def until(self, text: str, patience: float = 30.0) -> float:
        """Read until a text has been drawn; the moment it was there."""
        seen = b""
        end = time.perf_counter() + patience
        while time.perf_counter() < end:
            ready, _, _ = select.select([self.file], [], [], 0.5)
            if ready:
                seen += os.read(self.file, 65536)
                if text.encode() in seen:
                    return time.perf_counter()
        raise TimeoutError(f"{text!r} was not drawn; the last was {seen[-300:]!r}")

    def press(self, keys: str, text: str) -> float:
        """Seconds from a key press to the moment that a text is drawn."""
        pressed = time.perf_counter()
        os.write(self.file, keys.encode())
        return self.until(text) - pressed

    def rest(self, seconds: float = 0.3) -> None:
        """Swallow what is still drawn."""
        end = time.perf_counter() + seconds
        while time.perf_counter() < end:
            ready, _, _ = select.select([self.file], [], [], 0.05)
            if ready:
                os.read(self.file, 65536)

    def end(self) -> None:
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.file)


def first_frame(code: str, *words: str) -> float:
    running = Running(code, *words)
    taken = running.until("Sallowfell Lustre") - running.started
    running.end()
    return taken


def fill(archive: Archive, sessions: int) -> None:
    """One session with 3,000 spectral patches, and rows like it up to the number wanted."""
    bench = Bench(archive)
    condition = PrintingCondition(printer="Merrowby 24", paper="Sallowfell Lustre 247", made_for="general")
    session = begin.begin(bench, replace(condition, quality="fine", driver_mode="through the profile"), {})
    bands = np.arange(380.0, 740.0, 10.0)
    spectra = np.random.default_rng(7).uniform(0.05, 0.95, (3000, len(bands)))
    refs = tuple(PatchRef(f"P{row}", f"P{row}", row) for row in range(1, 3001))
    run = Run(refs, Stated(condition="M1"), "unmanaged", bands, spectra, source_name="chart.txt")
    with archive.transaction():
        (run_id,) = runs.keep(archive, session.id, [run], bench.now())
    log.say(bench, session.id, [Draft("readings", str(run_id), "in")])
    look.start(bench, session.id)
    with archive.transaction() as connection:
        cursor = connection.execute("SELECT * FROM session")
        names, row = [column[0] for column in cursor.description], cursor.fetchone()
        slots = ", ".join("?" * len(names))
        connection.executemany(
            f"INSERT INTO session VALUES ({slots})",
            (
                tuple((dict(zip(names, row, strict=True)) | {"id": each, "uid": f"{each:032x}"}).values())
                for each in range(2, sessions + 1)
            ),
        )


def told(
    what: str,
    pairs: list[tuple[float, float]],
    *,
    ratio: float | None = None,
    above: float | None = None,
    most: float | None = None,
) -> None:
    """Median and 95th percentile of both; how many times as long ours takes, and how many ms more at p95.

    ratio, above, most   what is promised: times the empty app, ms more than it at p95, ms in all
    """
    figures = []
    for name, values in zip(("drydown", "empty app"), zip(*pairs, strict=True), strict=True):
        p95 = statistics.quantiles(values, n=20)[-1] if len(values) > 1 else values[0]
        figures.append((statistics.median(values), p95))
        print(f"{what:<44}{name:<12}{figures[-1][0] * 1000:8.1f} ms   p95 {p95 * 1000:8.1f} ms")
    (mine, mine_95), (other, other_95) = figures
    more = (mine_95 - other_95) * 1000
    promised = f"promised {ratio:.1f} x" if ratio else f"promised {above:.0f} ms more" if above else ""
    promised = f"promised {most:.0f} ms" if most else promised
    print(f"{'':<44}{mine / other:.2f} x, p95 {more:+.0f} ms   {promised}")


def main() -> None:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    with tempfile.TemporaryDirectory() as folder:
        many, one = str(Path(folder) / "many.db"), str(Path(folder) / "one.db")
        most = str(Path(folder) / "most.db")
        for path, count in ((many, 10_000), (most, 100_000), (one, 1)):
            with open_archive(path, create=True) as archive:
                fill(archive, count)
        for path, words in ((many, "10,000"), (most, "100,000")):
            pairs = [(first_frame(OURS, path), first_frame(EMPTY)) for _ in range(rounds + 1)][1:]
            told(f"first frame, {words} sessions", pairs, ratio=1.3)

        ours, empty = Running(OURS, many), Running(EMPTY)
        ours.until("Sallowfell Lustre")
        empty.until("Sallowfell Lustre")
        ours.rest(2.0)
        empty.rest(0.5)
        presses = []
        for press in range(rounds * 5):
            mine = ours.press("j", f"{9999 - press:>5} Sallowfell")
            ours.rest(0.2)
            presses.append((mine, empty.press("j", f"{press + 1}")))
            empty.rest(0.05)
        told("key press on Home, 10,000 sessions", presses, above=50)
        turns = [(120, 36), (180, 50), (80, 24)] * 3
        resized = []
        for size in turns:
            resized.append((ours.resized(*size, "Sallowfell"), empty.resized(*size, "Sallowfell")))
            ours.rest()
            empty.rest()
        told("another size of the terminal, on Home", resized, most=200)
        ours.end()
        empty.end()

        graded, opened = [], []
        kept = str(Path(folder) / "kept.db")
        for _ in range(rounds):
            ours, empty, keeping = Running(OURS, one), Running(EMPTY), Running(KEEPING, kept)
            ours.until("Session 1,")
            empty.until("Sallowfell Lustre")
            keeping.until("Sallowfell Lustre")
            ours.rest(1.5)
            for _ in range(TURNS):
                opened.append((opening(ours), empty.press("g", "the other screen")))
                ours.press("gh", "Session 1,")
                empty.press("b", "Sallowfell Lustre")
                ours.rest()
                empty.rest(0.1)
            ours.press("g3", "question 1 of")
            ours.rest()
            os.write(ours.file, b"\x1b[C")
            for turn in range(TURNS):
                ours.rest()
                for app in (empty, keeping):
                    app.rest(0.1)
                presses = [app.press("j", f"pressed {turn + 1}") for app in (empty, keeping)]
                graded.append((ours.press("4", "Saved"), *presses))
                ours.rest()
                ours.press("u", "Undone")  # so that every turn grades the same question
            ours.end()
            empty.end()
            keeping.end()
        told("opening a session, 3,000 spectral patches", opened)
        told("a grade in Look, committed before it shows", [(a, b) for a, b, _ in graded], above=50)
        told("the same beside an app that commits", [(a, b) for a, _, b in graded], above=50)


def opening(ours: Running) -> float:
    """Seconds from the 4 of g 4 until Read shows what is in."""
    os.write(ours.file, b"g")
    ours.rest(0.1)
    return ours.press("4", "leave out")


if __name__ == "__main__":
    main()
