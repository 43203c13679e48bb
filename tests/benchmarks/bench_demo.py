"""Time of the demo archive, made through the ordinary verbs, beside the bare writing of the same bytes.

    uv run python tests/benchmarks/bench_demo.py [--runs N]

Each run is a process of its own, as `drydown demo --to` is: first the imports, then the build, timed apart,
in seconds of the processor.
Promise (the project's own): the build below half a second, and colour-science never imported.
"""

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

_CHILD = """
import json, sys, time
from pathlib import Path
start = time.process_time()
from fixtures.demo import build
ready = time.process_time()
build(Path(sys.argv[1]))
done = time.process_time()
print(json.dumps([ready - start, done - ready, "colour" in sys.modules]))
"""


def built(folder: Path) -> tuple[float, float, bool]:
    """Seconds of processor of the imports and of the build, and whether colour-science came along."""
    ran = subprocess.run(
        [sys.executable, "-c", _CHILD, str(folder / "demo.db")],
        check=True,
        capture_output=True,
        text=True,
        env=os.environ | {"OPENBLAS_NUM_THREADS": "1"},  # as the command itself has it
    )
    imports, build, colour = json.loads(ran.stdout)
    return imports, build, colour


def written(folder: Path) -> float:
    """Seconds to write and sync the same bytes anew: what no demo can be faster than."""
    contents = [path.read_bytes() for path in folder.rglob("*") if path.is_file()]
    start = time.perf_counter()
    for index, content in enumerate(contents):
        with (folder / f"again-{index}").open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
    return time.perf_counter() - start


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=7)
    imports, builds, bare, colour = [], [], [], False
    for _ in range(parser.parse_args().runs):
        with tempfile.TemporaryDirectory() as place:
            one, other, came = built(Path(place))
            imports.append(one)
            builds.append(other)
            bare.append(written(Path(place)))
            colour = colour or came
    median = statistics.median(builds)
    print(f"imports           {statistics.median(imports) * 1000:6.0f} ms")
    print(f"build             {median * 1000:6.0f} ms   promise: below 500 ms")
    floor = statistics.median(bare)
    print(f"same bytes, bare  {floor * 1000:6.0f} ms   {median / floor:.1f} x")
    print(f"colour-science    {'imported' if colour else 'not imported'}   promise: not imported")


if __name__ == "__main__":
    main()
