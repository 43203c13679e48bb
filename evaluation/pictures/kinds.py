"""What a file is by its first bytes, whatever its name says. Standard library only."""

import re
from typing import Final, Literal

Kind = Literal["JPEG", "PNG", "TIFF", "WebP"]

BYTES: Final = 32  # of the beginning that are looked at
KINDS: Final = "JPEG, PNG, TIFF or WebP"

# The beginnings of files: ISO 10918-1 B.1, ISO 15948 5.2, TIFF 6.0 section 2 and BigTIFF, RFC 9649 2.5.
_PICTURES: Final[tuple[tuple[Kind, re.Pattern[bytes]], ...]] = (
    ("JPEG", re.compile(rb"\xff\xd8\xff")),
    ("PNG", re.compile(rb"\x89PNG\r\n\x1a\n")),
    ("TIFF", re.compile(rb"II[*+]\0|MM\0[*+]")),
    ("WebP", re.compile(rb"RIFF....WEBP", re.DOTALL)),
)
_OTHERS: Final = (
    (re.compile(rb"\Z"), "an empty file"),
    (re.compile(rb"....ftyp(?:avif|avis|heic|heix|mif1|msf1)", re.DOTALL), "a HEIC or AVIF picture"),
    (re.compile(rb"....ftyp", re.DOTALL), "a film or a camera's raw file"),
    (re.compile(rb"\0\0\0\x0cJXL |\xff\x0a"), "a JPEG XL picture"),
    (re.compile(rb"\0\0\0\x0cjP|\xff\x4f\xff\x51"), "a JPEG 2000 picture"),
    (re.compile(rb"GIF8"), "a GIF picture"),
    (re.compile(rb"BM"), "a BMP picture"),
    (re.compile(rb"DDS "), "a DDS picture"),
    (re.compile(rb"8BPS"), "a layered picture"),
    (re.compile(rb"%PDF"), "a PDF document"),
    (re.compile(rb"%!|\xc5\xd0\xd3\xc6"), "PostScript"),
    (re.compile(rb"\s*<"), "a drawing or a page (SVG, HTML, XML)"),
    (re.compile(rb"PK\x03\x04"), "a compressed file"),
)


def kind_of(beginning: bytes) -> Kind | None:
    """The kind of picture that a file begins like; None for all we do not read."""
    return next((kind for kind, starts in _PICTURES if starts.match(beginning)), None)


def in_its_place(beginning: bytes) -> str:
    """What a file is that is no picture of ours, as far as its beginning tells."""
    return next((what for starts, what in _OTHERS if starts.match(beginning)), "a file of another kind")
