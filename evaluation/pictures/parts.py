"""Parts of a picture file beside its pixels: the embedded profile, its resolution, how it is to be turned.

The file is one that `opened.open_picture` opened as `image`.
"""

import struct
import zlib
from pathlib import Path
from typing import Any, Final

LARGEST_PROFILE: Final = 256 * 1024 * 1024
_MM_PER_INCH: Final = 25.4
_PNG_HEAD: Final = 8  # bytes before the first chunk
_CHUNK_HEAD: Final = struct.Struct(">I4s")
_CRC: Final = 4


def upright_size(image: Any) -> tuple[int, int]:
    """Width and height once it is turned upright, as the camera was held."""
    on_its_side = image.get_typeof("orientation") and 5 <= image.get("orientation") <= 8
    return (image.height, image.width) if on_its_side else (image.width, image.height)


def embedded_profile(image: Any, path: Path) -> bytes | None:
    """The profile as it lies in the file; None where there is none.

    Out of PNG libvips drops a damaged one without a word, so that is looked for by its chunk.
    """
    if image.get_typeof("icc-profile-data"):
        return bytes(image.get("icc-profile-data"))
    if not _is_png(image) or (chunk := _png_chunk(path, b"iCCP")) is None:
        return None
    packed = chunk.partition(b"\0")[2][1:]  # after the name, and the method
    try:
        return zlib.decompressobj().decompress(packed, LARGEST_PROFILE)
    except zlib.error:
        return b""


def stated_ppi(image: Any, path: Path) -> float | None:
    """Pixels per inch across, as the file states; None where libvips would take a usual value."""
    if not _is_png(image):
        return image.xres * _MM_PER_INCH if image.get_typeof("resolution-unit") else None
    chunk = _png_chunk(path, b"pHYs") or b""
    if len(chunk) != 9 or chunk[8] != 1:  # 1: pixels per metre, ISO 15948 11.3.5.3
        return None
    return float(struct.unpack_from(">I", chunk)[0]) * _MM_PER_INCH / 1000


def _is_png(image: Any) -> bool:
    return str(image.get("vips-loader")).startswith("png")


def _png_chunk(path: Path, wanted: bytes) -> bytes | None:
    """What a chunk before the pixels holds: ISO 15948 5.3."""
    with path.open("rb") as file:
        file.seek(_PNG_HEAD)
        while len(head := file.read(_CHUNK_HEAD.size)) == _CHUNK_HEAD.size:
            length, kind = _CHUNK_HEAD.unpack(head)
            if kind == b"IDAT":
                return None
            if kind == wanted:
                return file.read(min(length, LARGEST_PROFILE))
            file.seek(length + _CRC, 1)
    return None
