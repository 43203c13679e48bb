"""The one door for pictures: known by their content, held against limits, and only then given to a library.

libvips reads them strip by strip, so that a large one takes no more memory than a small one. What must be
held whole (progressive JPEG, interlaced PNG, WebP, a TIFF in one piece) has a limit of its own. All limits
are the project's own choice: with them no picture takes 600 MB.
"""

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from evaluation.errors import FileProblem
from evaluation.pictures.kinds import BYTES, KINDS, Kind, in_its_place, kind_of
from evaluation.pictures.tiff_layout import tiff_layout
from evaluation.system_words import unread

MOST_PIXELS: Final = 1_000_000_000
MOST_HELD: Final = 300_000_000  # bytes
LONGEST_ROW: Final = 250_000  # bytes: libvips keeps some 1,300 rows at hand, with two threads
_THREADS: Final = 2
_PASSES: Final = 20  # over a picture that is held whole; progressive JPEG in use takes about ten
_CHUNK: Final = 1 << 20
_SAVE_AGAIN: Final = "Save it again from an image program."
_LOADERS: Final[dict[Kind, str]] = {
    "JPEG": "jpegload", "PNG": "pngload", "TIFF": "tiffload", "WebP": "webpload",
}  # fmt: skip


def vips() -> Any:
    """libvips, which writes nothing onto the terminal and opens nothing but what it is told to."""
    os.environ.setdefault("VIPS_WARNING", "0")  # set at all: it keeps its warnings to itself
    import pyvips  # 60 ms, and only where pictures are read

    pyvips.block_untrusted_set(True)
    pyvips.cache_set_max(0)  # a file may change under its name
    pyvips.concurrency_set(_THREADS)  # each more keeps more rows at hand, and unpacking is done by one
    return pyvips


@contextmanager
def reading(path: Path, what: str) -> Iterator[None]:
    """Where pixels are worked out: libvips' complaints become FileProblem, `what` the outcome."""
    pyvips = vips()
    try:
        yield
    except pyvips.Error:
        raise _refused(path, what, "a picture that can be read whole", "a damaged one") from None


def open_picture(path: Path, what: str, *, most_pixels: int = MOST_PIXELS) -> Any:
    """A picture file as a libvips image, read from top to bottom once; its pixels are not unpacked yet.

    Work its pixels out inside `reading`. It lies as the file has it; `orientation` is still to be followed.
    Raises FileProblem, `what` the outcome, for all that is no JPEG, PNG, TIFF or WebP and for what is too
    large.
    """
    kind = _kind(path, what)
    if kind == "TIFF":
        _check_tiff(path, what, most_pixels)
    load = getattr(vips().Image, _LOADERS[kind])
    with reading(path, what):
        image = load(os.fsencode(path), access="sequential", fail_on="error")
    _check_size(path, what, image.width, image.height, most_pixels)
    _check_row(path, what, image)
    held = _held(image, kind)
    if held > MOST_HELD:
        raise _too_large(path, what, image.width, image.height, _as_it_is_saved(kind))
    if kind == "JPEG" and _says(image, "jpeg-multiscan"):
        most = max(_PASSES, _PASSES * MOST_HELD // max(held, 1))
        if (passes := _passes(path)) > most:
            raise _refused(path, what, f"a JPEG in at most {most:,} passes", f"one in {passes:,}")
    return image


def _kind(path: Path, what: str) -> Kind:
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise _refused(path, what, f"a picture ({KINDS})", "a folder" if path.is_dir() else "a device")
        with path.open("rb") as file:
            beginning = file.read(BYTES)
    except (OSError, ValueError) as problem:  # ValueError: a name with a zero byte
        found, remedy = unread(problem)
        raise FileProblem(
            what, where=path.name, expected=f"a picture ({KINDS})", found=found, remedy=remedy
        ) from None
    kind = kind_of(beginning)
    if kind is None:
        raise _refused(path, what, f"a picture ({KINDS})", in_its_place(beginning))
    return kind


def _check_tiff(path: Path, what: str, most_pixels: int) -> None:
    layout = tiff_layout(path)
    if layout is None:
        raise _refused(path, what, "a picture that can be read whole", "a damaged one")
    if layout.preview:
        raise _refused(path, what, f"a picture ({KINDS})", "a preview, as in a camera's raw file")
    _check_size(path, what, layout.width, layout.height, most_pixels)
    if 2 * layout.at_once > MOST_HELD:
        raise _too_large(path, what, layout.width, layout.height, _as_it_is_saved("TIFF"))


def _check_size(path: Path, what: str, width: int, height: int, most_pixels: int) -> None:
    if width * height > most_pixels:
        raise _refused(path, what, f"at most {most_pixels:,} pixels", f"{width:,} x {height:,}")


def _check_row(path: Path, what: str, image: Any) -> None:
    """Refuse rows that are longer than 83,000 pixels of 8-bit RGB, 41,000 of 16 bits."""
    a_pixel = image.bands * (1 if image.format == "uchar" else 2)
    if image.width * a_pixel > LONGEST_ROW:
        most = LONGEST_ROW // a_pixel
        found = f"{image.width:,} x {image.height:,}"
        raise _refused(path, what, f"rows of at most {most:,} such pixels", found)


def _held(image: Any, kind: Kind) -> int:
    """Bytes that are held of a picture whose pixels cannot be unpacked line by line."""
    samples = image.width * image.height * image.bands
    if kind == "WebP":
        return 8 * int(image.width) * int(image.height)  # a frame with its transparency, twice
    if kind == "JPEG" and _says(image, "jpeg-multiscan"):
        thinned = "4:2:0" in str(image.get("jpeg-chroma-subsample"))
        return int(samples if thinned else 2 * samples)  # coefficients of 16 bits
    if kind == "PNG" and _says(image, "interlaced"):
        return int(samples * (2 if image.format == "ushort" else 1))
    return 0


def _says(image: Any, field: str) -> bool:
    return bool(image.get_typeof(field) and image.get(field))


def _as_it_is_saved(kind: Kind) -> str:
    return {
        "JPEG": "saved as progressive JPEG",
        "PNG": "saved as interlaced PNG",
        "TIFF": "saved in strips or tiles as large as this",
        "WebP": "saved as WebP",
    }[kind]


def _passes(path: Path) -> int:
    """How often a JPEG begins another pass over its pixels: SOS, ISO 10918-1 B.2.3."""
    marker, count, rest = b"\xff\xda", 0, b""
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK):
            count += (rest + chunk).count(marker)
            rest = chunk[-1:]
    return count


def _too_large(path: Path, what: str, width: int, height: int, saved: str) -> FileProblem:
    found = f"{width:,} x {height:,} pixels {saved}"
    return FileProblem(
        what,
        where=path.name,
        expected="a picture that can be read in parts",
        found=found,
        remedy="Save it again as plain JPEG, PNG or TIFF.",
    )


def _refused(path: Path, what: str, expected: str, found: str) -> FileProblem:
    return FileProblem(what, where=path.name, expected=expected, found=found, remedy=_SAVE_AGAIN)
