"""The colours of a picture, counted: from a hundred million pixels to the few cells of a grid that they fill.

Blocks of 4 by 4 pixels are averaged first, because grain and noise are not what a print loses (project's own
choice). Their device values are counted on a grid of 128 steps per channel, and each occupied cell is judged
once, which changes the share outside by less than 0.005 compared with judging every pixel. How far the grid
moves a picture's colours on average is worked out for each, and told.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.difference import delta_e_76
from evaluation.colorimetry.encodings import xyz_from_rgb
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.errors import FileProblem
from evaluation.pictures.opened import open_picture, reading, vips
from evaluation.profile.cells import Array, Index
from evaluation.profile.convert import SPACES, on_white, source_profile
from evaluation.profile.engine import Profile, lab_from_device, open_profile, reachable_black
from evaluation.published.limits import whole

Codes = NDArray[np.uint8]
Progress = Callable[[int, int, str], None]  # done, total, what is being done; may raise to stop

BLOCK: Final = 4
MOST_CELLS: Final = whole("picture_cells")

_BITS: Final = 7
_AT_ONCE: Final = 2_000_000  # pixels that are worked out together
_DRAWN: Final = 5_000  # cells that tell how far the grid moves colours
_SEED: Final = 128
_NOT_USED: Final = "The picture was not used."


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


def picture_colours(path: Path, progress: Progress | None = None) -> PictureColours:
    """Count the colours of a picture file, 8 or 16 bit, grey, RGB or CMYK.

    `progress(done, total, name)` counts rows and may raise to stop. Raises FileProblem for what is no such
    picture or has a profile that cannot be used, ProfileProblem where a CMYK profile has no way back.
    """
    image = open_picture(path, _NOT_USED)
    width, height = image.width, image.height
    _check_pixels(image, path.name)
    profile = source_profile(image, path, _NOT_USED)
    if profile is None and image.interpretation == "cmyk":
        raise _problem(path.name, "an embedded profile in a CMYK picture", "none")
    remarks = []
    if min(width, height) >= BLOCK:
        remarks += [f"Blocks of {BLOCK} by {BLOCK} pixels were averaged first, so that grain does not count."]
    if image.hasalpha():
        image = on_white(image)
        remarks.append("Transparent parts are taken as white.")
    space = SPACES[image.bands]
    with reading(path, _NOT_USED):
        device, counts, steps = counted(_codes(image, path.name, progress), image.bands)
    if profile is None:
        remarks.append("No profile is embedded; sRGB is assumed.")
        seen, black_y, name = _as_srgb, 0.0, "sRGB, assumed"
    else:
        if space == "CMYK":
            profile = open_profile(profile.content, f"{path.name}, embedded profile")
        seen, black_y = partial(lab_from_device, profile), _black_y(profile)
        name = profile.contents.description
    off = _moved(device, counts, steps, seen)
    remarks.append(f"Colours are counted in {steps} steps a channel, each {off:.1f} dE*ab off on average.")
    return PictureColours(path.name, width, height, seen(device), counts, black_y, name, tuple(remarks))


def _as_srgb(device: Array) -> Array:
    """CIELAB (c, 3) of grey or RGB values (c, 1 or 3) taken as sRGB."""
    return lab_from_xyz(xyz_from_rgb(np.zeros(3) + device, "srgb"))


def _moved(device: Array, counts: Index, steps: int, seen: Callable[[Array], Array]) -> float:
    """Mean dE*ab from the colours that share a cell, drawn evenly in it, to the one that stands for them."""
    some = slice(None, None, max(1, len(device) // _DRAWN))
    middle, weight = device[some], counts[some]
    code = np.round(middle * (steps - 1))
    within = (code + np.random.default_rng(_SEED).random(middle.shape)) / steps
    return float(np.average(delta_e_76(seen(middle), seen(within)), weights=weight))


def counted(portions: Iterable[Codes], channels: int) -> tuple[Array, Index, int]:
    """Device values (c, channels), 0..1, of the cells that codes fill, counts (c,), and steps per channel.

    Portions of codes are (n, channels), 0..127. Their first and last step stand for 0 and 1 exactly, where
    clipped parts of a picture lie. More than two million cells are told apart more coarsely.
    """
    bits = _BITS
    cells, counts = np.empty(0, np.int64), np.empty(0, np.int64)
    dense = np.zeros(1 << (_BITS * channels), np.int64) if channels <= 3 else None
    for codes in portions:
        packed = _packed(codes >> (_BITS - bits), bits)
        if dense is not None:
            dense += np.bincount(packed, minlength=len(dense))
            continue
        new, often = np.unique(packed, return_counts=True)
        cells, counts = _merged(np.concatenate([cells, new]), np.concatenate([counts, often]))
        while len(cells) > MOST_CELLS:
            bits -= 1
            cells, counts = _merged(_packed(_unpacked(cells, bits + 1, channels) >> 1, bits), counts)
    if dense is not None:
        cells = np.flatnonzero(dense)
        counts = dense[cells]
    return _unpacked(cells, bits, channels) / ((1 << bits) - 1), counts.astype(np.intp), 1 << bits


def _packed(codes: NDArray[Any], bits: int) -> NDArray[np.int64]:
    """(n,) one number for each row of codes (n, channels)."""
    packed = np.zeros(len(codes), np.int64)
    for channel in range(codes.shape[1]):
        packed = packed << bits | codes[:, channel]
    return packed


def _unpacked(cells: NDArray[np.int64], bits: int, channels: int) -> NDArray[np.int64]:
    """(n, channels) codes of the numbers (n,) that `_packed` made."""
    shifts = bits * np.arange(channels)[::-1]
    codes: NDArray[np.int64] = (cells[:, None] >> shifts) & ((1 << bits) - 1)
    return codes


def _merged(cells: NDArray[np.int64], counts: NDArray[np.int64]) -> tuple[Any, NDArray[np.int64]]:
    alike, place = np.unique(cells, return_inverse=True)
    return alike, np.bincount(place, counts).astype(np.int64)


def _check_pixels(image: Any, name: str) -> None:
    if image.format not in ("uchar", "ushort"):
        raise _problem(name, "8 or 16 bits a channel", f"numbers of another kind ({image.format})")
    bands = image.bands - (1 if image.hasalpha() else 0)
    if bands not in SPACES or (bands == 3 and image.interpretation in ("lab", "labs", "xyz")):
        found = f"{image.bands} channels ({image.interpretation})"
        raise _problem(name, "a grey, RGB or CMYK picture", found)


def _codes(image: Any, name: str, progress: Progress | None) -> Iterator[Codes]:
    """The means of the blocks in 128 steps, (n, channels), some rows at a time: to be watched and stopped.

    libvips unpacks the rows; its own way to average them keeps as many again at hand.
    """
    block = BLOCK if min(image.width, image.height) >= BLOCK else 1
    kind, bits = (np.uint16, 16) if image.format == "ushort" else (np.uint8, 8)
    region = vips().Region.new(image)
    rows = max(1, _AT_ONCE // image.width // block) * block
    for top in range(0, image.height // block * block, rows):
        if progress:
            progress(top, image.height, name)
        high = min(rows, image.height // block * block - top)
        pixels = np.frombuffer(region.fetch(0, top, image.width, high), kind)
        means = _means(pixels.reshape(high, image.width, image.bands), block)
        yield (means >> (bits - _BITS)).astype(np.uint8).reshape(-1, image.bands)
    if progress:
        progress(image.height, image.height, name)


def _means(pixels: NDArray[Any], block: int) -> NDArray[np.uint32]:
    """(h, w, channels) rounded means of blocks of (h * block, >= w * block, channels) pixels."""
    width = pixels.shape[1] // block * block
    total = np.zeros((len(pixels) // block, width // block, pixels.shape[2]), np.uint32)
    for y in range(block):
        for x in range(block):
            total += pixels[y::block, x:width:block]
    return (total + block * block // 2) // (block * block)


def _black_y(profile: Profile) -> float:
    """Luminance, 0..100, of the darkest colour of the picture's space; of CMYK, that its tables reach."""
    if profile.contents.device_space == "CMYK":
        black = reachable_black(profile, "relative colorimetric", black_compensation=False)
    else:
        black = lab_from_device(profile, np.zeros((1, profile.contents.channels)))[0]
    return float(np.clip(xyz_from_lab(black)[1], 0, 50))


def _problem(name: str, expected: str, found: str) -> FileProblem:
    return FileProblem(_NOT_USED, where=name, expected=expected, found=found, remedy="Name another.")
