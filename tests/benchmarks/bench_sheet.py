"""How long a sheet takes to be drawn and written, and how much memory it needs.

    uv run python tests/benchmarks/bench_sheet.py            13 x 19 in at 300 ppi, beside its baseline
    uv run python tests/benchmarks/bench_sheet.py --large    44 x 60 in at 300 and 720 ppi as well: minutes

Baseline: the same pixels rounded from float and written in strips of 256 rows with the same profile, plus one
libvips conversion of them to CIELAB. Promise: at most 6 times that, and 400 MB at any size.
"""

import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median

import numpy as np
import pyvips
import tifffile

from evaluation.profile.matrix_profile import matrix_profile
from evaluation.sheet.paint import STRIP_ROWS
from evaluation.sheet.request import SheetRequest
from evaluation.sheet.scenes import shelf
from evaluation.sheet.scenes.catalogue import COLOUR
from evaluation.sheet.write import write_sheet

ROUNDS = 5
WIDTH, HEIGHT = 3900, 5700


def drawn(folder: Path) -> float:
    """Seconds for the picture alone, as the promise counts it."""
    start = time.perf_counter()
    write_sheet(SheetRequest(ppi=300, seed=1, scenes=False, pages=False, form=False), folder / "sheet.tif")
    return time.perf_counter() - start


def whole(folder: Path) -> float:
    """Seconds with patch pages, list, map and form."""
    start = time.perf_counter()
    write_sheet(SheetRequest(ppi=300, seed=1, scenes=False), folder / "whole.tif")
    return time.perf_counter() - start


def baseline(folder: Path) -> tuple[float, float]:
    """Seconds to round and write the same pixels in strips, and for one conversion of them."""
    pixels = tifffile.imread(folder / "sheet.tif").astype(np.float32)
    profile = matrix_profile("srgb")

    def strips() -> Iterator[np.ndarray]:
        for top in range(0, HEIGHT, STRIP_ROWS):
            yield np.rint(pixels[top : top + STRIP_ROWS]).astype(np.uint16)

    start = time.perf_counter()
    with tifffile.TiffWriter(folder / "plain.tif") as tiff:
        tiff.write(
            strips(),
            shape=(HEIGHT, WIDTH, 3),
            dtype="uint16",
            photometric="rgb",
            rowsperstrip=STRIP_ROWS,
            iccprofile=profile,
            metadata=None,
        )
    written = time.perf_counter() - start
    start = time.perf_counter()
    image = pyvips.Image.new_from_file(str(folder / "plain.tif"), access="sequential")
    image.icc_import(embedded=True, intent="relative", pcs="lab").avg()
    return written, time.perf_counter() - start


def peak(size: str, ppi: int) -> tuple[float, float]:
    """Peak memory in MB and seconds of a process of its own (Linux)."""
    code = (
        "import tempfile; from pathlib import Path;"
        "from evaluation.sheet.request import SheetRequest; from evaluation.sheet.write import write_sheet;"
        "from evaluation.sheet.sizes import size_mm;"
        f"request = SheetRequest(size_mm('{size}'), {ppi}, seed=1, scenes=False);"
        "folder = tempfile.TemporaryDirectory();"
        "write_sheet(request, Path(folder.name) / 'sheet.tif');"
        "print(open('/proc/self/status').read())"
    )
    start = time.perf_counter()
    ended = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    seconds = time.perf_counter() - start
    # Not getrusage: its maximum is inherited from the parent process.
    line = next(line for line in ended.stdout.splitlines() if line.startswith("VmHWM"))
    return int(line.split()[1]) / 1024, seconds


def pictures() -> tuple[float, float, float]:
    """Seconds for the pictures: drawn for the first time, of all processors in that, and once kept."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        wanted = [shelf.Wanted(scene, 60.0, 300) for scene in COLOUR]
        taken = []
        before = _of_children()
        for _ in range(2):
            start = time.perf_counter()
            shelf.pictures(wanted, folder, folder=folder / "kept")
            taken.append(time.perf_counter() - start)
    return taken[0], _of_children() - before, taken[1]


def _of_children() -> float:
    spent = resource.getrusage(resource.RUSAGE_CHILDREN)
    return spent.ru_utime + spent.ru_stime


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        drawn(folder)  # imports and caches
        rows = []
        for _ in range(ROUNDS):
            ours = drawn(folder)
            rows.append((ours, whole(folder), *baseline(folder)))
        picture, everything, written, converted = (median(column) for column in zip(*rows, strict=True))
    base = written + converted
    print("13 x 19 in, 300 ppi, 16 bit")
    print(f"  baseline: strips written {written:.2f} s, one conversion {converted:.2f} s: {base:.2f} s")
    print(f"  the sheet's picture {picture:.2f} s: {picture / base:.1f} times (promise: 6)")
    print(f"  with patch pages, list, map and form {everything:.2f} s: {everything / base:.1f} times")
    first, spent, kept = pictures()
    print(
        f"  nine pictures, first time {first:.0f} s (promise: 40 on two idle cores), "
        f"{spent:.0f} s of processors, once kept {kept:.2f} s"
    )
    sizes = [("13x19in", 300)]
    if "--large" in sys.argv:
        sizes += [("44x60in", 300), ("44x60in", 720)]
    for size, ppi in sizes:
        memory, seconds = peak(size, ppi)
        print(f"  {size} at {ppi} ppi: peak {memory:.0f} MB (promise: 400), {seconds:.1f} s")


if __name__ == "__main__":
    main()
