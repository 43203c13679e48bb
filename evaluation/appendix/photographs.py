"""Photographs of a fault: read, turned upright, scaled, and freed of everything but the picture."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from evaluation.errors import FileProblem
from evaluation.pictures.opened import open_picture, reading, vips
from evaluation.profile.convert import in_encoding, on_white, source_profile

NOT_ATTACHED: Final = "The photograph was not attached."
LARGEST_SIDE: Final = 1400  # pixels: fills a page at 200 an inch
_MOST_PIXELS: Final = 200_000_000  # more than any camera makes; project's own choice
_QUALITY: Final = 82


@dataclass(frozen=True, slots=True)
class Photograph:
    """A JPEG in sRGB, its longer side at most `LARGEST_SIDE` pixels."""

    content: bytes
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Attached:
    """A photograph that belongs to a region and, where it shows one, to a fault; with its caption."""

    region: str
    fault: str
    caption: str
    photograph: Photograph


def scaled(path: Path) -> Photograph:
    """A picture file as it is kept: upright, in sRGB, without any notes (place, owner, time, comments).

    Raises FileProblem for what is no picture, is damaged, or is larger than any camera makes.
    """
    image = open_picture(path, NOT_ATTACHED, most_pixels=_MOST_PIXELS)
    profile = source_profile(image, path, NOT_ATTACHED)
    scale = min(1.0, LARGEST_SIDE / max(image.width, image.height))
    with reading(path, NOT_ATTACHED):
        small = on_white(image).resize(scale) if scale < 1 else on_white(image)
        if profile is None and small.interpretation == "cmyk":
            small = _mixed(small)
        seen = in_encoding(small, profile, "srgb", depth=8).copy_memory().autorot()
        content = seen.jpegsave_buffer(Q=_QUALITY, optimize_coding=True, keep="none")
    return Photograph(content, seen.width, seen.height)


def kept(content: bytes) -> Photograph:
    """A photograph that `scaled` made, from the archive. Raises FileProblem when it is damaged."""
    pyvips = vips()
    try:
        image = pyvips.Image.jpegload_buffer(content)
    except pyvips.Error:
        raise FileProblem(
            "The photograph was not shown.",
            where="a photograph in the archive",
            expected="a JPEG",
            found="a damaged one",
            remedy="Attach it again.",
        ) from None
    return Photograph(content, image.width, image.height)


def _mixed(inks: Any) -> Any:
    """Light that is left by inks of which no profile says more: enough for a photograph of a fault."""
    left = inks.linear(-1 / (65535 if inks.format == "ushort" else 255), 1)
    light = left.extract_band(0, n=3) * left.extract_band(3) * 255
    return light.cast("uchar").copy(interpretation="srgb")
