"""The user's own picture, brought into the sheet's encoding by its embedded profile."""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from evaluation.errors import FileProblem
from evaluation.profile.engine import open_source
from evaluation.profile.matrix_profile import matrix_profile
from evaluation.profile.picture_colours import embedded_profile, in_place_of_a_picture
from evaluation.sheet.layout import Encoding
from evaluation.sheet.marks import Box, Picture

_REFUSED = "No sheet was written."


def aspect(path: Path) -> float:
    """Width over height of a picture, turned as it is meant to be seen. Raises FileProblem."""
    import pyvips

    try:
        image = pyvips.Image.new_from_file(str(path), access="sequential").autorot()
    except pyvips.Error:
        raise _no_picture(path) from None
    return float(image.width / image.height)


@contextmanager
def placed_picture(path: Path, box: Box, encoding: Encoding) -> Iterator[tuple[Picture, tuple[str, ...]]]:
    """The picture as large as the box allows, uncropped, at its upper left, and remarks about it.

    Pixels are computed while the page is painted, inside the `with`. Raises FileProblem for a file that is
    not a picture, ProfileProblem for a damaged profile.
    """
    import pyvips  # 40 ms and a large library; needed only with a picture

    with tempfile.TemporaryDirectory() as folder:
        try:
            image = pyvips.Image.new_from_file(str(path), access="random", fail_on="error").autorot()
            image, remarks = _in_encoding(image, path, encoding, Path(folder))
            scale = min(box.width / image.width, box.height / image.height)
            image = image.resize(scale, kernel="lanczos3")
            if image.width * image.height < _IN_MEMORY:
                image = image.copy_memory()
            width, height = min(image.width, box.width), min(image.height, box.height)
            yield Picture(Box(box.left, box.top, width, height), image.crop(0, 0, width, height)), remarks
        except pyvips.Error:  # while it is opened, or later while it is painted
            raise _no_picture(path) from None


_SPACES: Final = {1: "GREY", 3: "RGB", 4: "CMYK"}  # by the number of channels
_IN_MEMORY: Final = 12_000_000  # pixels, 72 MB; larger pictures are computed strip by strip


def _in_encoding(image: Any, path: Path, encoding: Encoding, folder: Path) -> tuple[Any, tuple[str, ...]]:
    """16-bit RGB in the sheet's encoding, media-relative; sRGB is assumed without a profile."""
    remarks: tuple[str, ...] = ()
    intent = "relative"
    if image.hasalpha():
        image = image.flatten(background=[255 if image.format == "uchar" else 65535])
    ours = folder / "sheet.icc"
    ours.write_bytes(matrix_profile(encoding))
    name = path.name
    if embedded := embedded_profile(image, path):
        profile = open_source(embedded, f"{name}, embedded profile")
        space, intent = profile.contents.device_space, profile.to_colour
        if space != _SPACES.get(image.bands):
            raise FileProblem(
                _REFUSED,
                where=name,
                expected=f"a profile for {_SPACES.get(image.bands, 'these')} pixels",
                found=f"one for {space}",
                remedy="Save the picture again with its own profile.",
            )
        theirs = folder / "picture.icc"
        theirs.write_bytes(embedded)
    elif image.interpretation == "cmyk":
        raise FileProblem(
            _REFUSED,
            where=name,
            expected="a CMYK picture with its profile embedded",
            found="none",
            remedy="Embed the profile, or convert the picture to RGB.",
        )
    else:
        remarks = (f"No profile is embedded in {name}; sRGB is assumed.",)
        theirs = folder / "srgb.icc"
        theirs.write_bytes(matrix_profile("srgb"))
        if image.bands < 3:
            image = image.colourspace("rgb16" if image.format == "ushort" else "srgb")
    image = image.icc_import(embedded=False, input_profile=str(theirs), intent=intent, pcs="lab")
    return image.icc_export(output_profile=str(ours), intent="relative", depth=16, pcs="lab"), remarks


def _no_picture(path: Path) -> FileProblem:
    return FileProblem(
        _REFUSED,
        where=path.name,
        expected="a picture (TIFF, JPEG, PNG, WebP)",
        found=in_place_of_a_picture(path),
        remedy="Save it again as a picture.",
    )
