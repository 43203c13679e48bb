"""How the first page of a TIFF is laid out, read from its tags before any library sees it.

TIFF 6.0 (1992), sections 2, 3, 8 and 15; BigTIFF has counts and offsets of 64 bits.
"""

import struct
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Final

_MOST_TAGS: Final = 4096  # project's own choice; real pages carry under a hundred
_SUBFILE, _WIDTH, _HEIGHT, _BITS, _COMPRESSION, _PHOTOMETRIC = 254, 256, 257, 258, 259, 262
_SAMPLES, _STRIP_ROWS, _PLANES, _TILE_WIDTH, _TILE_HEIGHT, _RAW = 277, 278, 284, 322, 323, 50706
_SHORT, _LONG, _LONG8 = 3, 4, 16
_JPEG: Final = (6, 7)
_YCBCR: Final = 6


@dataclass(frozen=True, slots=True)
class TiffLayout:
    """`at_once`: bytes of pixels that a reader must unpack together, from the tags alone.

    preview  the page is a small copy of a picture that stands elsewhere, as in a camera's raw file
    """

    width: int
    height: int
    at_once: int
    preview: bool


def tiff_layout(path: Path) -> TiffLayout | None:
    """The layout of the first page; None where the tags cannot be read. Raises OSError."""
    with path.open("rb") as file:
        try:
            tags = _tags(file)
        except struct.error:  # the file ends inside
            return None
    width, height = tags.get(_WIDTH, 0), tags.get(_HEIGHT, 0)
    if not width or not height:
        return None
    deep = max(1, tags.get(_SAMPLES, 1)) * max(1, -(-tags.get(_BITS, 1) // 8))
    return TiffLayout(width, height, _at_once(tags, width, height, deep), _is_preview(tags))


def _at_once(tags: dict[int, int], width: int, height: int, deep: int) -> int:
    """A row of tiles, or a strip where it cannot be unpacked line by line; one line otherwise."""
    if tile_width := tags.get(_TILE_WIDTH, 0):
        across = -(-width // tile_width)
        return across * tile_width * max(1, tags.get(_TILE_HEIGHT, 0)) * deep
    whole = (
        tags.get(_PLANES, 1) == 2 or tags.get(_COMPRESSION, 1) in _JPEG or tags.get(_PHOTOMETRIC, 1) == _YCBCR
    )
    rows = min(height, tags.get(_STRIP_ROWS, height)) if whole else 1
    return rows * width * deep


def _is_preview(tags: dict[int, int]) -> bool:
    return bool(tags.get(_SUBFILE, 0) & 1) or _RAW in tags


def _tags(file: BinaryIO) -> dict[int, int]:
    """The first value of every tag of one whole number (16, 32 or 64 bits)."""
    head = file.read(16)
    order = "<" if head[:2] == b"II" else ">"
    big = struct.unpack_from(f"{order}H", head, 2)[0] == 43
    start = (
        struct.unpack_from(f"{order}Q", head, 8)[0] if big else struct.unpack_from(f"{order}I", head, 4)[0]
    )
    count_format, entry_format = (f"{order}Q", f"{order}HHQ8s") if big else (f"{order}H", f"{order}HHI4s")
    file.seek(min(start, 2**62))
    count = struct.unpack(count_format, file.read(struct.calcsize(count_format)))[0]
    size = struct.calcsize(entry_format)
    found: dict[int, int] = {}
    entries = file.read(size * min(count, _MOST_TAGS))
    for at in range(0, size * min(count, _MOST_TAGS), size):
        tag, kind, many, value = struct.unpack_from(entry_format, entries, at)
        number = _number(file, order, kind, many, value)
        if number is not None:
            found.setdefault(tag, number)
    return found


def _number(file: BinaryIO, order: str, kind: int, many: int, value: bytes) -> int | None:
    """The first number of an entry, which stands in it or, where there are several, elsewhere."""
    form = {_SHORT: "H", _LONG: "I", _LONG8: "Q"}.get(kind)
    if form is None or not many:
        return None
    size = struct.calcsize(f"{order}{form}")
    if many * size > len(value):
        offset = struct.unpack(f"{order}{'Q' if len(value) == 8 else 'I'}", value)[0]
        file.seek(min(offset, 2**62))
        value = file.read(size)
        if len(value) < size:
            return None
    return int(struct.unpack_from(f"{order}{form}", value)[0])
