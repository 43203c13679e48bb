"""Many archives as tables: how fast they are written, how large they are, what queries over them cost.

    uv run python tests/benchmarks/bench_export.py [--archives 20] [--sessions 50] [--patches 400]

Generated archives and tables stay in `--folder` when it is named. Processor times (user and system) tell more
than the clock on a machine with other work; of queries the least of three.
"""

import argparse
import json
import os
import re
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

from evaluation.export.columns import TABLES
from evaluation.work.export.export import export_all
from tests.export.many import many
from tests.export.test_queries import QUERIES

TITLES = ("papers that held their neutrality", "how observers lean", "drift of D-max by ink lot")
ASK = """
import json, resource, sys, time
import duckdb
folder, threads, query, given = sys.argv[1:]
engine = duckdb.connect(config={"threads": int(threads), "memory_limit": "800MB"})
engine.execute("SET enable_progress_bar = false")
for one in given.split():
    engine.execute(f"CREATE VIEW {one} AS FROM read_parquet('{folder}/parquet/{one}/*/*/*.parquet')")
wall, busy = time.perf_counter(), time.process_time()
rows = engine.execute(query).fetchall()
print(json.dumps([time.perf_counter() - wall, time.process_time() - busy,
                  resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, len(rows)]))
"""


def size(paths: Iterable[Path]) -> float:
    """Megabytes."""
    return sum(path.stat().st_size for path in paths) / 1e6


def exported(archives: list[Path], folder: Path) -> tuple[float, float, int, float]:
    """Seconds of processor and clock, files written, MB at most."""
    busy, wall = time.process_time(), time.perf_counter()
    done = export_all(archives, folder, ["parquet"], processes=1)
    assert all(one.problem is None for one in done)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    written = sum(one.written for one in done)
    return time.process_time() - busy, time.perf_counter() - wall, written, peak


def timed(archives: list[Path], folder: Path) -> tuple[float, float, int, float]:
    """The same in a process of its own, so that its memory is its own as well."""
    with ProcessPoolExecutor(1, get_context("spawn")) as pool:
        return pool.submit(exported, archives, folder).result()


def ask(folder: Path, query: str, threads: int) -> tuple[float, float, float]:
    """Seconds of clock and processor, MB at most."""
    asked = " ".join(name for name in TABLES if re.search(rf"\b{name}\b", query))
    words = [sys.executable, "-c", ASK, str(folder), str(threads), query, asked]
    wall, busy, peak, rows = json.loads(subprocess.run(words, check=True, stdout=subprocess.PIPE).stdout)
    assert rows
    return wall, busy, peak


def main() -> None:
    sys.stdout.reconfigure(line_buffering=True)
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--archives", type=int, default=20)
    words.add_argument("--sessions", type=int, default=50)
    words.add_argument("--patches", type=int, default=400)
    words.add_argument("--folder", type=Path)
    words.add_argument("--steps", type=int, nargs="*", default=[], help="asked at so many archives as well")
    given = words.parse_args()
    with tempfile.TemporaryDirectory() as apart:
        folder = given.folder or Path(apart)
        rooms = folder / "rooms"
        begun = time.process_time()
        archives = list(many(rooms, given.archives, count=given.sessions, patches=given.patches))
        print(
            f"{len(archives)} archives, {given.sessions} sessions of {given.patches} readings each:", end=" "
        )
        print(f"{size(archives):,.0f} MB, made in {time.process_time() - begun:.1f} s of processor time")
        step_before = 0
        for step in sorted({*given.steps, given.archives}):
            measured(archives[:step], step_before, folder, given.sessions)
            step_before = step


def measured(archives: list[Path], before: int, folder: Path, sessions: int) -> None:
    tables = folder / "tables"
    busy, wall, written, peak = timed(archives[before:], tables)
    new = len(archives) - before
    print(f"\n{len(archives)} archives, {len(archives) * sessions:,} sessions")
    if written:
        rate = new * sessions / busy
        print(f"export of {new}: {busy:.1f} s of one core ({wall:.1f} s by the clock), {rate:.1f} sessions/s,"
              f" {written:,} files, {peak:.0f} MB of memory")  # fmt: skip
    busy, wall, written, _ = timed(archives, tables)
    assert written == 0
    print(f"again, nothing changed: {busy:.1f} s ({wall:.1f} s), {busy / len(archives) * 1000:.1f} ms each")
    files = list((tables / "parquet").rglob("*.parquet"))
    share = size(files) / size(archives)
    print(f"tables {size(files):,.0f} MB in {len(files):,} files, {share:.2f} of the archives")
    for title, query in zip(TITLES, QUERIES, strict=True):
        told = []
        for threads in (1, 2):
            asked = [ask(tables, query, threads) for _ in range(3)]
            wall, busy, peak = (min(one[at] for one in asked) for at in range(3))
            told.append(
                f"{threads} thread{'s' * (threads > 1)} {wall:.2f} s (processor {busy:.2f}), {peak:.0f} MB"
            )
        print(f"{title:<34}  {'   '.join(told)}")


if __name__ == "__main__":
    os.nice(10)
    main()
