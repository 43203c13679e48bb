"""Profiles: a session of 300 patches weighed, and the share of a picture of 100 million pixels.

Beside the weighing stands what Little CMS and dE00 alone take on the same arrays, beside the share one
conversion of the same picture by libvips. Turn and turn about, in one process:

    uv run python tests/benchmarks/bench_profile.py
"""

import multiprocessing
import platform
import resource
import statistics
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pyvips

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.colorimetry.difference import delta_e_2000
from evaluation.judgement import weigh as judgement
from evaluation.judgement.tables import load_tables
from evaluation.profile.engine import device_from_lab, lab_from_device, open_profile
from evaluation.profile.gamut import cube_surface, gamut
from evaluation.profile.out_of_gamut import picture_share
from evaluation.profile.picture_colours import picture_colours
from evaluation.readings.supplied import Supplied
from evaluation.session import PrintingCondition
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import begin
from evaluation.work.take_in import read
from evaluation.work.weigh.expected import expected_of
from fixtures.printer import icc

ROOM = Path(icc.__file__).parents[1]
PROFILE = ROOM / "profiles" / "sallowfell-lustre-finest.icc"
READINGS = ROOM / "readings" / "lustre-finest-strip.txt"
Work = Callable[[], object]
PATCHES = 300
ROUNDS = 15


def timed(work: Callable[[], object]) -> float:
    started = time.perf_counter()
    work()
    return 1000 * (time.perf_counter() - started)


def compared(
    what: str, ours: dict[str, Callable[[], object]], bare: Callable[[], object], rounds: int
) -> None:
    """Medians of some ways, each beside the bare calls of the same round."""
    times: dict[str, list[float]] = {name: [] for name in [*ours, "bare"]}
    for _ in range(rounds):
        for name, work in [*ours.items(), ("bare", bare)]:
            times[name].append(timed(work))
    base = statistics.median(times.pop("bare"))
    print(f"{what}: bare {base:.1f} ms")
    for name, found in times.items():
        middle = statistics.median(found)
        print(f"  {name}: {middle:.1f} ms, {middle / base:.2f} x")


def weighing(folder: Path) -> None:
    content = PROFILE.read_bytes()
    with open_archive(folder / "bench.db", create=True) as archive:
        bench = Bench(archive, now=lambda: datetime(2026, 3, 10, tzinfo=UTC))
        condition = PrintingCondition(profile=PROFILE.name, intent="relative colorimetric")
        made = begin.begin(bench, condition, {}, profile=content)
        previewed = read.preview(bench, made.id, READINGS, Supplied(printed_as="managed", rgb_scale=255))
        read.take_in(bench, made.id, previewed)
        session = sessions.load(archive, made.id)
        sheet, tables = sheet_of(bench, session), load_tables()
        (taken, *_) = read.taken_in(bench, session)
        needed = (sheet.paper_patch, sheet.black_patch)
        ordered = sorted(taken.matched.items(), key=lambda item: item[0] not in needed)
        some = dict(ordered[:PATCHES])
        takens = (replace(taken, matched=some),)
        promise = expected_of(bench, session).expected
        assert promise is not None
        profile, aims = promise.profile, promise.aims[:PATCHES]
        nodes, _ = cube_surface(17)
        draws = int(tables["bootstrap_draws"]) + 1
        measured = np.random.default_rng(1).normal(0, 1, (draws, PATCHES, 3)) + np.nan_to_num(aims, nan=50.0)

        def weigh(expected: object) -> None:
            judgement.weigh(session, sheet, takens, tables, now=bench.now(), expected=expected)  # type: ignore[arg-type]

        def cold() -> None:
            bench.promises.clear()
            weigh(expected_of(bench, session).expected)

        def bare() -> None:
            """Aims towards the device and back, the mesh's nodes back; dE00 of every draw of every patch."""
            device = device_from_lab(profile, aims, "relative colorimetric", black_compensation=True)
            expected = lab_from_device(profile, device)
            lab_from_device(profile, nodes)
            delta_e_2000(np.nan_to_num(expected), measured)

        def promised() -> None:
            """All that is asked of a profile: opened, promise, black, gamut, every hypothesis."""
            bench.promises.clear()
            found = expected_of(bench, session).expected
            assert found is not None
            found.lab(sheet.patches)
            found.inside(aims)
            found.under("no profile", sheet.patches)

        ways: dict[str, Callable[[], object]] = {
            "profile alone, opened anew": promised,
            "weighed, profile opened anew": cold,
            "weighed again": lambda: weigh(promise),
            "weighed without a profile": lambda: weigh(None),
        }
        for work in ways.values():
            work()
        compared(f"{len(some)} patches, {draws} draws", ways, bare, ROUNDS)


def picture_of(folder: Path, name: str, detail: int) -> Path:
    """100 million pixels of smooth colour with grain; `detail` colours across decide how many cells."""
    rng = np.random.default_rng(detail)
    small = (255 * rng.random((detail * 3 // 4, detail, 3)) ** 1.4).astype(np.uint8)
    image = pyvips.Image.new_from_array(small).resize(11_550 / detail).crop(0, 0, 11_500, 8_600)
    grain = pyvips.Image.gaussnoise(11_500, 8_600, sigma=6, mean=0, seed=1)
    path = folder / name
    (image + grain).cast("uchar").copy(interpretation="srgb").write_to_file(str(path))
    return path


def shared(path: Path) -> tuple[int, float]:
    """The share once, in this process: how many cells, and the largest memory in MB."""
    profile = open_profile(PROFILE.read_bytes(), PROFILE.name)
    found, colours = gamut(profile), picture_colours(path)
    assert found is not None
    picture_share(profile, found.mesh, colours, compensation=True)
    unit = 1 if platform.system() == "Darwin" else 1024
    return len(colours.counts), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit / 1e6


def pictures(folder: Path) -> None:
    profile = open_profile(PROFILE.read_bytes(), PROFILE.name)
    for name, detail in (("like a photograph", 8), ("worst case, every colour", 80)):
        path = picture_of(folder, f"{detail}.tif", detail)

        def share(path: Path = path) -> None:
            found = gamut(profile)
            assert found is not None
            picture_share(profile, found.mesh, picture_colours(path), compensation=True)

        def bare(path: Path = path) -> None:
            image = pyvips.Image.new_from_file(str(path), access="sequential")
            image.icc_import(input_profile="srgb", pcs="lab", intent="relative").avg()

        with multiprocessing.get_context("spawn").Pool(1) as alone:
            cells, memory = alone.apply(shared, (path,))
        compared(f"99 million pixels, {name}, {cells:,} cells", {"share": share}, bare, 5)
        print(f"  largest memory of a process that does only this: {memory:.0f} MB")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        weighing(Path(place))
        pictures(Path(place))
