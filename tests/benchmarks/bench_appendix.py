"""From the command to the file, in processes of their own: seconds of processor, memory, pages.

    uv run python tests/benchmarks/bench_appendix.py [ROUNDS]

The promise: one session in 1 s, six in 2 s of processor, below 200 MB. Medians are printed, with the
figures alone and the PDF compiler alone beside them.
"""

import json
import os
import statistics
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

_RUN = """
import json, resource, sys
from tui.cli import main
try:
    main(sys.argv[1:])
except SystemExit:
    pass
used = resource.getrusage(resource.RUSAGE_SELF)
print(json.dumps([used.ru_utime + used.ru_stime, used.ru_maxrss / 1024]))
"""


def command(archive: Path, ids: list[int], out: Path) -> tuple[float, float]:
    """Seconds of processor and megabytes of one `drydown appendix`."""
    given = ["--archive", str(archive), "appendix", *map(str, ids), "--out", str(out), "--replace"]
    told = subprocess.run(
        [sys.executable, "-c", _RUN, *given], capture_output=True, text=True, check=True, env=_as_installed()
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
        for ids in ([1], [2, 3], [1, 2, 3, 4, 5, 6]):
            for ending in ("html", "pdf", "md"):
                runs = [command(archive, ids, Path(folder) / f"appendix.{ending}") for _ in range(rounds)]
                seconds, megabytes = (statistics.median(column) for column in zip(*runs, strict=True))
                print(f"{len(ids)} sessions, {ending:4}  {seconds:5.2f} s  {megabytes:4.0f} MB")
        with open_archive(archive) as opened:
            document = write_up.appendix(Bench(opened), [1, 2, 3, 4, 5, 6])
    drawn = [block for block in document.blocks() if isinstance(block, Figure)]
    print(f"{len(drawn)} figures  {timed(lambda: [figures.drawn(each).svg() for each in drawn]):.3f} s")
    print(f"PDF compiler, six sessions  {timed(lambda: pdf.render(document)):.2f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
