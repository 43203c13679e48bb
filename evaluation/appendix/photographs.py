"""Photographs of a fault: read, turned upright, scaled, and freed of everything but the picture."""

import io
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from evaluation.errors import FileProblem

if TYPE_CHECKING:
    from PIL.Image import Image as Picture

NOT_ATTACHED: Final = "The photograph was not attached."
LARGEST_SIDE: Final = 1400  # pixels: fills a page at 200 an inch
_MOST_PIXELS: Final = 200_000_000
_LARGEST_FILE: Final = 100 << 20
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


def scaled(content: bytes, where: str) -> Photograph:
    """A picture file as it is kept: upright, in sRGB, without the camera's notes (place, owner, time).

    Raises FileProblem for what is no picture, is damaged, or is larger than any camera makes.
    """
    # Pillow takes 40 ms to load; only an attached photograph needs it.
    from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

    if len(content) > _LARGEST_FILE:
        raise _refused(where, f"{len(content) >> 20} MB")
    try:
        with Image.open(io.BytesIO(content)) as opened:
            if opened.width * opened.height > _MOST_PIXELS:
                raise _refused(where, f"{opened.width} × {opened.height} pixels")
            opened.draft("RGB", (2 * LARGEST_SIDE, 2 * LARGEST_SIDE))
            profile = opened.info.get("icc_profile")
            picture = ImageOps.exif_transpose(opened)
            picture.thumbnail((LARGEST_SIDE, LARGEST_SIDE), Image.Resampling.LANCZOS)
            picture = _on_white(picture)
            if profile and picture.mode == "RGB":
                picture = _in_srgb(picture, profile)
    except (UnidentifiedImageError, Image.DecompressionBombError):
        raise _refused(where, "something else") from None
    except (OSError, ValueError, SyntaxError, ImageCms.PyCMSError):
        raise _refused(where, "a damaged one") from None
    into = io.BytesIO()
    picture.save(into, "JPEG", quality=_QUALITY, optimize=True)
    return Photograph(into.getvalue(), picture.width, picture.height)


def kept(content: bytes) -> Photograph:
    """A photograph that `scaled` made, from the archive. Raises FileProblem when it is damaged."""
    from PIL import (
        Image,  # as above
        UnidentifiedImageError,
    )

    try:
        with Image.open(io.BytesIO(content)) as opened:
            return Photograph(content, opened.width, opened.height)
    except (OSError, UnidentifiedImageError):
        raise _refused("a photograph in the archive", "a damaged one") from None


def _on_white(picture: "Picture") -> "Picture":
    """RGB or grey; what was transparent becomes white."""
    from PIL import Image  # as above

    if picture.mode in ("RGB", "L"):
        return picture.convert("RGB")
    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        ground = Image.new("RGB", picture.size, "white")
        solid = picture.convert("RGBA")
        ground.paste(solid, mask=solid.getchannel("A"))
        return ground
    return picture.convert("RGB")


def _in_srgb(picture: "Picture", profile: bytes) -> "Picture":
    from PIL import ImageCms  # as above

    embedded = ImageCms.ImageCmsProfile(io.BytesIO(profile))
    if embedded.profile.xcolor_space != "RGB ":
        return picture
    converted = ImageCms.profileToProfile(picture, embedded, ImageCms.createProfile("sRGB"), outputMode="RGB")
    return converted or picture


def _refused(where: str, found: str) -> FileProblem:
    return FileProblem(
        NOT_ATTACHED,
        where=where,
        expected="a photograph (JPEG, PNG or TIFF)",
        found=found,
        remedy="Save it again from the program that made it.",
    )
