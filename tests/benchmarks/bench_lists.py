"""Lists of 10,000 and of 100,000 sessions, in processor time: what Home asks for must not grow with them.

    uv run python tests/benchmarks/bench_lists.py

Aims are the project's own.
"""

import contextlib
import random
import statistics
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

from evaluation.archive import documents, rows, session_list
from evaluation.archive.connection import Archive, open_archive
from evaluation.archive.moments import stamped
from evaluation.session import Summary

NOW = datetime(2024, 3, 2, 14, 0, tzinfo=UTC)


def long_lists(folder: Path, sizes: tuple[int, ...] = (10_000, 100_000)) -> None:
    """What Home asks for, in processor time: it must not grow with the list."""
    with contextlib.ExitStack() as open_ones:
        found = {many: open_ones.enter_context(a_long_list(folder / f"{many}.db", many)) for many in sizes}
        last = {many: session_list.count(archive) - 64 for many, archive in found.items()}
        asked = {
            "count": lambda many: session_list.count(found[many]),
            "count of a state": lambda many: session_list.count(found[many], match="describing"),
            **{
                f"first 64 by {order}": lambda many, order=order: session_list.heads(found[many], order=order)
                for order in ("newest", "touched", "printed", "paper", "printer", "state")
            },
            "last 64 by paper": lambda many: session_list.heads(
                found[many], order="paper", offset=last[many]
            ),
            **{
                f"find “{typed}”": lambda many, typed=typed: (
                    session_list.count(found[many], match=typed),
                    session_list.heads(found[many], match=typed),
                )
                for typed in ("p", "paper 1", "paper 19", "paper 19 quality 3 wei", "nothing")
            },
        }
        for name, ask in asked.items():
            times: dict[int, list[float]] = {many: [] for many in sizes}
            for many in sizes * 15:
                start = time.process_time()
                ask(many)
                times[many].append((time.process_time() - start) * 1000)
            told = ", ".join(f"{many:,}: {statistics.median(taken):5.2f} ms" for many, taken in times.items())
            print(f"{name:<38} {told}   promise: a frame, 16 ms")


def a_long_list(path: Path, many: int) -> Archive:
    """Sessions of years: papers come and go, nearly all are weighed or written up, some are removed."""
    dice = random.Random(1)
    archive = open_archive(path, create=True)
    sheet = documents.keep(archive, "sheet", "", b"map")
    names = ["id", "uid", "sheet", "created", "touched", "removed", *rows.SUMMARY.split(", "), "words"]
    slots = ", ".join("?" * len(names))

    def row(number: int) -> tuple[object, ...]:
        at = NOW + timedelta(hours=number)
        state = "describing" if dice.random() < 0.01 else dice.choice(("weighed", "written up"))
        paper, printer = f"paper {number // 500 + dice.randrange(20)}", f"Merrowby {dice.choice((24, 44))}"
        printed = f"profile, quality {dice.randrange(5)}"
        shown = rows.summary_row(Summary(printer, paper, printed, at, "general", state, None, 9, 9))
        removed = stamped(at) if number % 200 == 0 else None
        return (number, f"{number:032x}", sheet, stamped(at), stamped(at), removed, *shown)

    with archive.transaction() as connection:
        connection.executemany(
            f"INSERT INTO session ({', '.join(names)}) VALUES ({slots})", map(row, range(1, many + 1))
        )
    return archive


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        long_lists(Path(folder))
