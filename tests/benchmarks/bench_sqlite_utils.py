"""Why keys and readings are bare sqlite3: the same writes through sqlite-utils, turn and turn about.

    uv run python tests/benchmarks/bench_sqlite_utils.py

One answer a transaction, on disk when it returns (WAL, synchronous FULL); a chart of 3,000 patches and 36
bands kept as one row of blobs, and as rows of numbers; what an import takes, in a process of its own.
"""

import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from sqlite_utils import Database

ROUNDS = 200
BANDS = [f"nm{nm}" for nm in range(380, 731, 10)]
SPECTRA = np.random.default_rng(0).uniform(0.02, 0.9, (3000, len(BANDS)))
ANSWER = {
    "session": 1,
    "kind": "answer",
    "subject": "skin/overall",
    "value": '{"grade": 4}',
    "at": "2026-03-01",
}


def opened(folder: Path, name: str) -> sqlite3.Connection:
    connection = sqlite3.connect(folder / name, isolation_level=None)
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute(
        "CREATE TABLE entry "
        "(id INTEGER PRIMARY KEY, session INTEGER, kind TEXT, subject TEXT, value TEXT, at TEXT)"
    )
    connection.execute("CREATE TABLE run (id INTEGER PRIMARY KEY, spectra BLOB)")
    connection.execute(f"CREATE TABLE reading (id INTEGER PRIMARY KEY, {' REAL, '.join(BANDS)} REAL)")
    return connection


def bare_answer(connection: sqlite3.Connection) -> None:
    connection.execute("BEGIN IMMEDIATE")
    connection.execute(
        "INSERT INTO entry (session, kind, subject, value, at) VALUES (?, ?, ?, ?, ?)", tuple(ANSWER.values())
    )
    connection.execute("COMMIT")


def one_blob(connection: sqlite3.Connection) -> None:
    connection.execute("INSERT INTO run (spectra) VALUES (?)", (SPECTRA.tobytes(),))


def timed(work: Callable[[], object]) -> float:
    started = time.perf_counter()
    work()
    return 1000 * (time.perf_counter() - started)


def beside(what: str, bare: Callable[[], object], other: Callable[[], object], rounds: int) -> None:
    bare(), other()
    pairs = [(timed(bare), timed(other)) for _ in range(rounds)]
    ours, theirs = (statistics.median(column) for column in zip(*pairs, strict=True))
    print(f"{what:<34} sqlite3 {ours:8.2f} ms   sqlite-utils {theirs:8.2f} ms   {theirs / ours:6.1f} x")


def imports() -> None:
    """Processor time of each import in a process of its own; the least of nine. sqlite-utils brings numpy."""
    for module in ("sqlite3", "numpy", "sqlite_utils"):
        script = f"import time; t = time.process_time(); import {module}; print(time.process_time() - t)"
        ran = [
            subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout
            for _ in range(9)
        ]
        print(f"import {module:<27} {1000 * min(map(float, ran)):8.1f} ms")


def main() -> None:
    rows = [dict(zip(BANDS, row, strict=True)) for row in SPECTRA.tolist()]
    with tempfile.TemporaryDirectory() as folder:
        bare, wrapped = (opened(Path(folder), name) for name in ("bare.db", "wrapped.db"))
        database = Database(wrapped)
        entries, readings = database.table("entry"), database.table("reading")
        beside("an answer, on disk", lambda: bare_answer(bare), lambda: entries.insert(ANSWER), ROUNDS)
        beside("3,000 spectra of 36 bands", lambda: one_blob(bare), lambda: readings.insert_all(rows), 9)
        bare.close(), wrapped.close()
    imports()


if __name__ == "__main__":
    main()
