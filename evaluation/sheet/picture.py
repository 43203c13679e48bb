"""The user's own picture, brought into the sheet's encoding by its embedded profile."""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from evaluation.errors import FileProblem
from evaluation.pictures.opened import open_picture, reading, vips
from evaluation.pictures.parts import upright_size
from evaluation.profile.convert import in_encoding, on_white, source_profile
from evaluation.sheet.layout import Encoding
from evaluation.sheet.marks import Box, OwnPicture

_REFUSED: Final = "No sheet was written."
_IN_MEMORY: Final = 12_000_000  # pixels: 72 MB; larger pictures wait on the disk


@contextmanager
def placed_picture(
    path: Path, box: Box, encoding: Encoding, ppi: int
) -> Iterator[tuple[OwnPicture, tuple[str, ...]]]:
    """The picture as large as the box allows, uncropped, in the middle of its top, and remarks about it.

    Stay inside the `with` while the page is painted. Raises FileProblem for a file that is no picture, is
    too large or has a profile that cannot be used.
    """
    image = open_picture(path, _REFUSED)
    profile = source_profile(image, path, _REFUSED)
    if profile is None and image.interpretation == "cmyk":
        raise FileProblem(
            _REFUSED,
            where=path.name,
            expected="a CMYK picture with its profile embedded",
            found="none",
            remedy="Embed the profile, or convert the picture to RGB.",
        )
    remarks = [] if profile else [f"No profile is embedded in {path.name}; sRGB is assumed."]
    width, height = upright_size(image)
    scale = min(box.width / width, box.height / height)
    if scale > 1:
        remarks.append(
            f"{path.name} has {width} x {height} pixels and was enlarged {scale:.1f} times: it holds "
            f"{ppi / scale:.0f} pixels an inch here, so do not judge sharpness by it."
        )
    with tempfile.TemporaryDirectory() as folder:
        with reading(path, _REFUSED):
            smaller, rest = _nearly(on_white(image), scale)
            small = in_encoding(smaller, profile, encoding, depth=16).resize(rest, kernel="lanczos3")
            small = _kept(small, Path(folder)).autorot()
        width, height = min(small.width, box.width), min(small.height, box.height)
        left = box.left + (box.width - width) // 2
        yield OwnPicture(Box(left, box.top, width, height), small.crop(0, 0, width, height)), tuple(remarks)


def _nearly(image: Any, scale: float) -> tuple[Any, float]:
    """At least twice as large as it will be, in 16 bits, and the scale that is left: less to convert."""
    if scale > 0.25:
        return image, scale
    if image.format == "uchar":
        wide = image.cast("ushort")
        kind = {"srgb": "rgb16", "b-w": "grey16"}.get(image.interpretation, image.interpretation)
        image = ((wide << 8) | wide).copy(interpretation=kind)
    smaller = image.resize(2 * scale)
    return smaller, scale * image.width / smaller.width


def _kept(image: Any, folder: Path) -> Any:
    """The pixels worked out, from top to bottom, and at hand in any order."""
    if image.width * image.height < _IN_MEMORY:
        return image.copy_memory()
    path = folder / "picture.tif"
    image.tiffsave(str(path), tile=True, bigtiff=True)
    return vips().Image.tiffload(str(path))
