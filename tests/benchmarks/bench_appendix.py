"""From the command to the file, in processes of their own: seconds of processor, memory, pages.

    uv run python tests/benchmarks/bench_appendix.py [ROUNDS]

The promise: one session in 1 s, six in 2 s of processor, below 200 MB. Rounds run turn and turn about with a
program that only starts and has an empty page set; least of each, for what else the machine does only adds.
The figures alone and the PDF compiler alone stand below.
"""

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from evaluation.appendix import pdf
from evaluation.appendix.drawing import figures
from evaluation.archive.connection import open_archive
from evaluation.telling.figure import Figure
from evaluation.work.bench import Bench
from evaluation.work.write_up import write_up
from fixtures.demo import build

EMPTY = "start, empty page"
SESSIONS = ([1], [2, 3], [1, 2, 3, 4, 5, 6])
ENDINGS = ("html", "pdf", "md")
_RUN = """
import json, resource, sys
from tui.cli import main
sys.argv[0] = "drydown"
try:
    main()  # as the command itself, which looks for garbage less often
except SystemExit:
    pass
used = resource.getrusage(resource.RUSAGE_SELF)
print(json.dumps([used.ru_utime + used.ru_stime, used.ru_maxrss / 1024]))
"""

# What no appendix can be quicker than: the start, the imports, and the compiler with nothing to set.
_EMPTY = """
import gc, json, resource, sys
gc.set_threshold(50_000, 20, 50)
import tui.commands.appendix, tui.options
tui.options.parser()
import typst
typst.compile(b"#set page(width: 10pt)", ignore_system_fonts=True)
used = resource.getrusage(resource.RUSAGE_SELF)
print(json.dumps([used.ru_utime + used.ru_stime, used.ru_maxrss / 1024]))
"""


def command(archive: Path, ids: list[int], out: Path) -> tuple[float, float]:
    """Seconds of processor and megabytes of one `drydown appendix`."""
    return process(
        _RUN, "--archive", str(archive), "appendix", *map(str, ids), "--out", str(out), "--replace"
    )


def process(source: str, *given: str) -> tuple[float, float]:
    """Seconds of processor and megabytes of one process of Python."""
    told = subprocess.run(
        [sys.executable, "-c", source, *given],
        capture_output=True,
        text=True,
        check=True,
        env=_as_installed(),
    )
    seconds, megabytes = json.loads(told.stdout.splitlines()[-1])
    return seconds, megabytes


def _as_installed() -> dict[str, str]:
    """With bytecode kept, as on any computer from the second start on; containers often forbid it."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {"PYTHONPYCACHEPREFIX": str(Path(tempfile.gettempdir()) / "drydown-bench-bytecode")} | kept


def timed(what: Callable[[], object]) -> float:
    start = time.process_time()
    what()
    return time.process_time() - start


def main(rounds: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        archive = Path(folder) / "demo.db"
        build(archive)
        command(archive, [1], Path(folder) / "first.pdf")  # writes the bytecode
        kinds = {f"{len(ids)} sessions, {ending}": (ids, ending) for ids in SESSIONS for ending in ENDINGS}
        runs: dict[str, list[tuple[float, float]]] = {EMPTY: [], **{name: [] for name in kinds}}
        for _ in range(rounds):
            runs[EMPTY].append(process(_EMPTY))
            for name, (ids, ending) in kinds.items():
                runs[name].append(command(archive, ids, Path(folder) / f"appendix.{ending}"))
        for name, found in runs.items():
            seconds, megabytes = (min(column) for column in zip(*found, strict=True))
            print(f"{name:20}  {seconds:5.2f} s  {megabytes:4.0f} MB")
        with open_archive(archive) as opened:
            document = write_up.appendix(Bench(opened), [1, 2, 3, 4, 5, 6])
    drawn = [block for block in document.blocks() if isinstance(block, Figure)]
    print(f"{len(drawn)} figures  {timed(lambda: [figures.drawn(each).svg() for each in drawn]):.3f} s")
    print(f"PDF compiler, six sessions  {timed(lambda: pdf.render(document)):.2f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
