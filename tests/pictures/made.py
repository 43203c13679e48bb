"""Pictures for tests, small ones whole and large ones by their first bytes only."""

import io
import struct
import zlib

import numpy as np
from PIL import Image


def encoded(form: str, size: tuple[int, int] = (60, 40), mode: str = "RGB", **options: object) -> bytes:
    into = io.BytesIO()
    noise = np.random.default_rng(4).integers(0, 255, (size[1], size[0], 3), dtype=np.uint8)
    Image.fromarray(noise).convert(mode).save(into, form, **options)
    return into.getvalue()


def png_of(width: int, height: int) -> bytes:
    """A PNG that says it is this large: ISO 15948 11.2.2; its pixels are missing."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(100)))


def jpeg_of(width: int, height: int, *, progressive: bool = False) -> bytes:
    """A JPEG whose frame says it is this large: ISO 10918-1 B.2.2."""
    content = bytearray(encoded("JPEG", progressive=progressive))
    at = content.index(b"\xff\xc2" if progressive else b"\xff\xc0") + 5
    content[at : at + 4] = struct.pack(">HH", height, width)
    return bytes(content)


def tiff_of(width: int, height: int, **more: int) -> bytes:
    """A TIFF of 8-bit RGB in one strip that says it is this large: TIFF 6.0; other tags by number."""
    tags = {256: width, 257: height, 258: 8, 259: 1, 262: 2, 273: 8, 277: 3, 278: height, 279: 100}
    tags |= {int(tag.removeprefix("t")): value for tag, value in more.items()}
    entries = b"".join(struct.pack("<HHII", tag, 4, 1, value) for tag, value in sorted(tags.items()))
    return (
        struct.pack("<2sHI", b"II", 42, 108) + bytes(100) + struct.pack("<H", len(tags)) + entries + bytes(4)
    )


def webp_of(width: int, height: int) -> bytes:
    """A WebP whose frame says it is this large: RFC 9649 2.6, the lossless header of 14 bits each."""
    bits = (width - 1) | (height - 1) << 14
    data = b"\x2f" + struct.pack("<I", bits) + bytes(20)
    body = b"WEBPVP8L" + struct.pack("<I", len(data)) + data + bytes(len(data) % 2)
    return b"RIFF" + struct.pack("<I", len(body)) + body
