"""Pictures drawn once for each resolution, by all processors, and kept in the user's cache.

What is kept is named by picture, version, width and resolution. A file that cannot be read is drawn again;
where nothing can be kept, it is drawn into a folder of its own.
"""

import os
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from evaluation.processes import Processes, processors
from evaluation.sheet.marks import Pixels
from evaluation.sheet.request import Progress
from evaluation.sheet.scenes.catalogue import SCENES
from evaluation.sheet.scenes.encode import kept
from evaluation.sheet.scenes.ground import SLOT_MM, drawn
from evaluation.sheet.sizes import INCH

_ROWS: Final = 48  # of a task: short enough to be stopped soon, long enough to be worth sending
_MOST_ROWS_PIXELS: Final = 40_000  # of a task at high resolutions
_WORDS: Final = "pictures, kept for the next sheet"
_FEW: Final = 2.0  # tasks below which a second process costs more than it saves


@dataclass(frozen=True, slots=True)
class Wanted:
    """One picture at one resolution. `width_mm` is that of its slot, or more where it shows more."""

    name: str
    width_mm: float
    ppi: int

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""
        return round(self.width_mm / INCH * self.ppi), round(SLOT_MM[1] / INCH * self.ppi)

    @property
    def file(self) -> str:
        return f"{self.name}-{SCENES[self.name].version}-{self.width_mm:g}mm-{self.ppi}ppi.npy"


def cache_folder() -> Path:
    """Where pictures are kept: $DRYDOWN_CACHE, else the user's cache."""
    if named := os.environ.get("DRYDOWN_CACHE"):
        return Path(named).expanduser()
    from platformdirs import user_cache_path

    return user_cache_path("drydown")


def pictures(
    wanted: Sequence[Wanted], spare: Path, progress: Progress | None = None, folder: Path | None = None
) -> dict[Wanted, Pixels]:
    """The pictures as 16-bit ROMM RGB (height, width, 3), read from disk as they are used.

    `spare` is a folder for what cannot be kept. Raises what `progress` raises; what is done by then is kept.
    """
    folder = cache_folder() if folder is None else folder
    found = {each: _kept(folder / each.file, each) for each in wanted}
    missing = [each for each in wanted if found[each] is None]
    if missing:
        _draw(missing, _writable(folder, spare), found, progress)
    return {each: pixels for each, pixels in found.items() if pixels is not None}


def _kept(path: Path, wanted: Wanted) -> Pixels | None:
    """What was kept; None where there is nothing that can be used."""
    width, height = wanted.size
    try:
        pixels: Pixels = np.load(path, mmap_mode="r", allow_pickle=False)
    except (OSError, ValueError, EOFError):
        return None
    return pixels if pixels.shape == (height, width, 3) and pixels.dtype == np.uint16 else None


def _writable(folder: Path, spare: Path) -> Path:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        probe = folder / f".{secrets.token_hex(4)}"
        probe.touch()
        probe.unlink()
    except OSError:
        return spare
    return folder


def _draw(
    missing: Sequence[Wanted], folder: Path, found: dict[Wanted, Pixels | None], progress: Progress | None
) -> None:
    tasks = [(each, first, last) for each in missing for first, last in _strips(each)]
    left = {each: sum(task[0] == each for task in tasks) for each in missing}
    canvas = {each: np.empty((each.size[1], each.size[0], 3), np.uint16) for each in missing}
    done = 0

    def took(task: tuple[Wanted, int, int], rows: Pixels) -> None:
        nonlocal done
        each, first, last = task
        canvas[each][first:last] = rows
        done += 1
        left[each] -= 1
        if not left[each]:
            found[each] = _keep(folder / each.file, canvas.pop(each), each)

    workers = min(processors(), len(missing) * 2)
    if workers < 2 or len(tasks) < _FEW:
        for task in tasks:
            if progress:
                progress(done, len(tasks), _WORDS)
            took(task, _rows(*task))
        return

    def go_on() -> None:
        if progress:
            progress(done, len(tasks), _WORDS)

    with Processes(workers) as processes:
        for task, rows in processes.each(_rows, tasks, go_on):
            took(task, rows)


def _strips(wanted: Wanted) -> list[tuple[int, int]]:
    width, height = wanted.size
    rows = max(8, min(_ROWS, _MOST_ROWS_PIXELS // width))
    return [(first, min(height, first + rows)) for first in range(0, height, rows)]


def _rows(wanted: Wanted, first: int, last: int) -> Pixels:
    """Rows of a picture; runs in a process of its own."""
    scene = SCENES[wanted.name]
    width, height = wanted.size
    left = (SLOT_MM[0] - wanted.width_mm) / 2
    light = drawn(
        scene.points,
        width,
        first,
        last,
        height,
        INCH / wanted.ppi,
        left=left,
        edges=scene.edges,
        fine=scene.fine,
    )
    return kept(light)


def _keep(path: Path, pixels: Pixels, wanted: Wanted) -> Pixels:
    """Put a picture in its place, whole or not at all, and read it from there."""
    fresh = path.with_name(f".{path.stem}-{secrets.token_hex(4)}.npy")
    try:
        np.save(fresh, pixels)
        fresh.replace(path)
    except OSError:
        fresh.unlink(missing_ok=True)
        return pixels
    again = _kept(path, wanted)
    return pixels if again is None else again
