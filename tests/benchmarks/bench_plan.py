"""Time of laying a plan anew and of its replays, beside the bare rule.

    uv run python tests/benchmarks/bench_plan.py [--runs N]

A loan of 24 days, seven hours on five days a week. Promise (the project's own): a plan of thirty papers in
four settings is laid anew, latest starts included, below 50 ms. How likely all of it is follows from a
thread; the page does not wait for it. Of what is hopeless no replay is run.
"""

import argparse
import statistics
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

from evaluation.archive.connection import open_archive
from evaluation.loan import About, WantedPaper
from evaluation.planning import rule
from evaluation.planning.replays import share_done
from evaluation.work.bench import Bench
from evaluation.work.plan import doing, entering
from evaluation.work.plan.plan import plan

_NOW = datetime(2026, 3, 2, 9, tzinfo=UTC)
_ABOUT = About(
    "Merrowby",
    "",
    date(2026, 3, 2),
    date(2026, 3, 25),
    datetime(2026, 3, 2, 9).time(),
    datetime(2026, 3, 2, 16).time(),
)


def median_ms(act: Callable[[], object], runs: int) -> float:
    """The median of so many runs, in milliseconds."""
    took = []
    for _ in range(runs):
        start = time.perf_counter()
        act()
        took.append(time.perf_counter() - start)
    return statistics.median(took) * 1000


def measured(papers: int, settings: int, runs: int) -> None:
    """One size of a loan: entering one thing, laying it anew, the bare rule, 200 replays."""
    names = tuple(f"setting {number}" for number in range(settings))
    wanted = [WantedPaper(f"paper {number}", names) for number in range(papers)]
    with (
        tempfile.TemporaryDirectory() as place,
        open_archive(Path(place) / "room.db", create=True) as archive,
    ):
        bench = Bench(archive, now=lambda: _NOW)
        loan = entering.begin_loan(bench, _ABOUT, wanted)
        for paper in wanted[: papers // 2]:
            loan = doing.done(bench, loan, paper.name, names[0], "charts")
        found = plan(bench, loan)
        day = date(2026, 3, 10)
        print(f"{papers} papers x {settings} settings")
        print(f"  an entry, on disk  {median_ms(lambda: entering.lose_day(bench, loan, day), runs):6.1f} ms")
        laid = median_ms(lambda: plan(bench, loan), runs)
        print(f"  laid anew          {laid:6.1f} ms   promise: below 50 ms")
        bare = median_ms(lambda: rule.laid(found.chains, found.windows, found.times), runs)
        print(f"  the bare rule      {bare:6.1f} ms")
        many = median_ms(lambda: share_done(found.chains, found.windows, found.times), max(1, runs // 4))
        print(f"  200 replays        {many:6.1f} ms   in a thread")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=20)
    runs = parser.parse_args().runs
    for papers, settings in ((8, 2), (12, 3), (30, 4)):
        measured(papers, settings, runs)


if __name__ == "__main__":
    main()
