"""The colours of a picture, counted: from a hundred million pixels to the few cells of a grid that they fill.

Blocks of 4 by 4 pixels are averaged first, because grain and noise are not what a print loses (project's own
choice). Their device values are counted on a grid of 128 steps per channel, and each occupied cell is judged
once, which changes the share outside by less than 0.001 compared with judging every pixel.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.encodings import xyz_from_rgb
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.errors import FileProblem
from evaluation.profile.cells import Array, Index
from evaluation.profile.engine import Profile, lab_from_device, open_profile, open_source, reachable_black
from evaluation.system_words import unread

BLOCK: Final = 4
LARGEST: Final = 2_000_000_000  # pixels (project's own choice)

_BITS: Final = 7
_AT_ONCE: Final = 1_000_000
_SPACES: Final = {1: "GREY", 3: "RGB", 4: "CMYK"}


@dataclass(frozen=True, slots=True, eq=False)
class PictureColours:
    """The c cells that a picture fills.

    name, width, height  its file name and pixels
    lab                  (c, 3) their media-relative CIELAB before black point compensation
    counts               (c,) blocks in each cell
    black_y              luminance, 0..100, of the black of the picture's own space
    space                the name of its profile, or "sRGB, assumed"
    remarks              what a reader must know about how it was read, a sentence each
    """

    name: str
    width: int
    height: int
    lab: Array
    counts: Index
    black_y: float
    space: str
    remarks: tuple[str, ...]

    @property
    def blocks(self) -> int:
        """How many blocks there are in all."""
        return int(self.counts.sum())


def picture_colours(path: Path) -> PictureColours:
    """The counted colours of a picture file, 8 or 16 bit, grey, RGB or CMYK.

    Raises FileProblem for anything else, ProfileProblem where its profile cannot be used.
    """
    import pyvips  # 60 ms, and only where pictures are read

    pyvips.block_untrusted_set(True)  # loaders that are not hardened against untrusted files
    try:
        image = pyvips.Image.new_from_file(str(path), access="sequential", fail_on="truncated")
        width, height = image.width, image.height
        content = embedded_profile(image, path)
        codes, remarks = _codes(image, path.name)
    except pyvips.Error:
        raise _problem(path.name, "a picture that can be read whole", in_place_of_a_picture(path)) from None
    space = _SPACES[codes.shape[1]]
    device, counts = counted(codes)
    if content is None and space == "CMYK":
        raise _problem(path.name, "an embedded profile in a CMYK picture", "none")
    if content is None:
        grey = np.zeros(3) + device if space == "GREY" else device
        remarks.append("No profile is embedded; sRGB is assumed.")
        lab, black_y, name = lab_from_xyz(xyz_from_rgb(grey, "srgb")), 0.0, "sRGB, assumed"
    else:
        profile = _profile_of(content, space, path.name)
        lab, black_y = lab_from_device(profile, device), _black_y(profile)
        name = profile.contents.description
    return PictureColours(path.name, width, height, lab, counts, black_y, name, tuple(remarks))


def embedded_profile(image: Any, path: Path) -> bytes | None:
    """The bytes of the profile in a picture file that libvips opened as `image`; None where there is none.

    From PNG libvips silently drops a damaged one, Pillow does not.
    """
    if image.get_typeof("icc-profile-data"):
        return bytes(image.get("icc-profile-data"))
    if not image.get("vips-loader").startswith("png"):
        return None
    from PIL import PngImagePlugin  # only with a picture

    try:
        with PngImagePlugin.PngImageFile(path) as opened:  # reads the chunks before the pixels, of any size
            found = opened.info.get("icc_profile")
    except (OSError, SyntaxError, ValueError):
        return None
    return bytes(found) if found else None


def counted(codes: NDArray[np.uint8]) -> tuple[Array, Index]:
    """Device values (c, channels), 0..1, of the cells that codes (n, channels), 0..127, fill; counts (c,).

    The first and the last code are exactly 0 and 1, where clipped parts of a picture lie.
    """
    channels = codes.shape[1]
    cells, counts = np.empty(0, np.int64), np.empty(0, np.int64)
    dense = np.zeros(1 << (_BITS * channels), np.int64) if channels <= 3 else None
    for start in range(0, len(codes), _AT_ONCE):
        packed = np.zeros(len(codes[start : start + _AT_ONCE]), np.int64)
        for channel in range(channels):
            packed = packed << _BITS | codes[start : start + _AT_ONCE, channel]
        if dense is not None:
            dense += np.bincount(packed, minlength=len(dense))
            continue
        new, often = np.unique(packed, return_counts=True)
        cells, place = np.unique(np.concatenate([cells, new]), return_inverse=True)
        counts = np.bincount(place, np.concatenate([counts, often])).astype(np.int64)
    if dense is not None:
        cells = np.flatnonzero(dense)
        counts = dense[cells]
    shifts = _BITS * np.arange(channels)[::-1]
    steps = (cells[:, None] >> shifts) & ((1 << _BITS) - 1)
    return steps / ((1 << _BITS) - 1), counts.astype(np.intp)


def _codes(image: Any, name: str) -> tuple[NDArray[np.uint8], list[str]]:
    """(blocks, channels) the means of the blocks in 128 steps, by libvips strip by strip; and remarks."""
    remarks = [f"Blocks of {BLOCK} by {BLOCK} pixels were averaged first, so that grain does not count."]
    if image.format not in ("uchar", "ushort"):
        raise _problem(name, "8 or 16 bits a channel", f"numbers of another kind ({image.format})")
    if image.width * image.height > LARGEST:
        raise _problem(name, f"at most {LARGEST:,} pixels", f"{image.width:,} x {image.height:,}")
    wide = image.format == "ushort"
    if image.hasalpha():
        image = image.flatten(background=[65535 if wide else 255])
        remarks.append("Transparent parts are taken as white.")
    if image.bands not in _SPACES or (image.bands == 3 and image.interpretation in ("lab", "labs", "xyz")):
        raise _problem(
            name, "a grey, RGB or CMYK picture", f"{image.bands} channels ({image.interpretation})"
        )
    if min(image.width, image.height) >= BLOCK:
        image = image.shrink(BLOCK, BLOCK)
    else:
        remarks = remarks[1:]
    image = (image >> ((16 if wide else 8) - _BITS)).cast("uchar")
    codes: NDArray[np.uint8] = image.numpy().reshape(-1, image.bands)
    return codes, remarks


def _profile_of(content: bytes, space: str, name: str) -> Profile:
    name = f"the profile in {name}"
    profile = open_profile(content, name) if space == "CMYK" else open_source(content, name)
    if profile.contents.device_space != space:
        raise _problem(name, f"a profile for {space}", f"one for {profile.contents.device_space}")
    return profile


def _black_y(profile: Profile) -> float:
    """Luminance, 0..100, of the darkest colour of the picture's space; of CMYK, that its tables reach."""
    if profile.contents.device_space == "CMYK":
        black = reachable_black(profile, "relative colorimetric", black_compensation=False)
    else:
        black = lab_from_device(profile, np.zeros((1, profile.contents.channels)))[0]
    return float(np.clip(xyz_from_lab(black)[1], 0, 50))


def in_place_of_a_picture(path: Path) -> str:
    """What a file is that libvips could not open; its own message is about loaders, not about the file."""
    try:
        with path.open("rb") as file:
            return "a damaged one, or a file of another kind" if file.read(1) else "an empty file"
    except OSError as problem:
        return unread(problem).found


def _problem(name: str, expected: str, found: str) -> FileProblem:
    return FileProblem(
        "The picture was not used.", where=name, expected=expected, found=found, remedy="Name another."
    )
