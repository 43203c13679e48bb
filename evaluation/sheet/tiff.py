"""A painted page as a 16-bit TIFF with its profile, written strip by strip."""

import zlib
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final

from evaluation.sheet.marks import Pixels
from evaluation.sheet.paint import STRIP_ROWS
from evaluation.sheet.request import Progress

_LEVEL: Final = 1  # flat fields shrink two hundredfold at the fastest level already
_CLASSIC_BYTES: Final = 4 * 2**30 - 2**20  # offsets of a classic TIFF have 32 bits


def write_tiff(
    path: Path,
    strips: Iterable[Pixels],
    size: tuple[int, int],
    ppi: int,
    profile: bytes,
    description: str,
    progress: Progress | None = None,
) -> None:
    """Write the strips (rows, width, 3), 16 bit, of a page of `size` (width, height) pixels to `path`.

    Deflate, 256 rows per strip, resolution in pixels per inch, `profile` embedded; BigTIFF where a classic
    TIFF is too small. What `progress` raises stops the writing; removing the incomplete file is then up to
    the caller.
    """
    import tifffile  # 60 ms; needed only when a sheet is written

    width, height = size
    with tifffile.TiffWriter(path, bigtiff=width * height * 6 > _CLASSIC_BYTES) as tiff:
        tiff.write(
            _compressed(strips, height, path.name, progress),
            shape=(height, width, 3),
            dtype="uint16",
            photometric="rgb",
            compression="zlib",
            rowsperstrip=STRIP_ROWS,
            resolution=(ppi, ppi),
            resolutionunit="INCH",
            iccprofile=profile,
            description=description,
            metadata=None,
            software="drydown",
        )


def _compressed(
    strips: Iterable[Pixels], height: int, name: str, progress: Progress | None
) -> Iterator[bytes]:
    done = 0
    for strip in strips:
        if progress:
            progress(done, height, name)
        yield zlib.compress(strip.astype("<u2", copy=False).tobytes(), _LEVEL)
        done += len(strip)
    if progress:
        progress(height, height, name)
