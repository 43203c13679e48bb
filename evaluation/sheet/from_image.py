"""The start of a map for a test image of one's own: what the picture states, and what is to be added."""

import hashlib
from pathlib import Path
from typing import Final

from evaluation.errors import ProfileProblem
from evaluation.pictures.opened import open_picture
from evaluation.pictures.parts import embedded_profile, stated_ppi, upright_size
from evaluation.plain_text import visible
from evaluation.profile.icc_facts import icc_facts
from evaluation.profile.matrix_profile import NAMES, matrix_profile
from evaluation.sheet.layout import Encoding
from evaluation.sheet.questions import question_sets
from evaluation.sheet.sizes import INCH
from evaluation.sheet.write_map import toml_text

_LOWEST_PPI: Final = 30.0  # a lower stated resolution is a default that nobody chose
_ASSUMED_PPI: Final = 300.0
# What profiles call the four encodings; searched in this order.
_WORDS: Final[tuple[tuple[str, Encoding], ...]] = (
    ("ecirgb", "ecirgb-v2"),
    ("iso 22028-4", "ecirgb-v2"),
    ("romm", "romm-rgb"),
    ("iso 22028-2", "romm-rgb"),
    ("oprgb", "oprgb"),
    ("61966-2-5", "oprgb"),
    ("srgb", "srgb"),
    ("61966-2-1", "srgb"),
)


def map_from_image(path: Path) -> str:
    """TOML for the picture: title, size, encoding where its profile names one, and a first region.

    The text is already a map that `load.read_map` reads, so that it can be tried after every change. Raises
    FileProblem for a file that is not a picture.
    """
    image = open_picture(path, "No map was started.")
    width, height = upright_size(image)
    ppi = stated_ppi(image, path) or 0.0
    profile = embedded_profile(image, path)
    with path.open("rb") as file:
        digest = hashlib.file_digest(file, "sha256").hexdigest()
    stated = ppi >= _LOWEST_PPI
    used = ppi if stated else _ASSUMED_PPI
    size = (width / used * INCH, height / used * INCH)
    name, encoding = _profile(profile)
    return _TEMPLATE.format(
        file=visible(path.name),
        digest=digest,
        width=width,
        height=height,
        resolution=f"{used:g} ppi as the picture states"
        if stated
        else f"no resolution stated: {used:g} ppi assumed, enter the printed size",
        title=toml_text(visible(path.stem)),
        profile=name,
        encoding=f"encoding = {toml_text(encoding)}\nsource_scale = 255\n"
        if encoding
        else "# encoding = " + " or ".join(toml_text(known) for known in NAMES) + "\n# source_scale = 255\n",
        size=f"[{size[0]:.1f}, {size[1]:.1f}]",
        kinds=", ".join(question_sets()),
    )


def _profile(profile: bytes | None) -> tuple[str, Encoding | None]:
    """The embedded profile in words, and the encoding it stands for where its name says so."""
    if not profile:
        return "no profile embedded; sRGB is usually assumed then", None
    for encoding in NAMES:
        if profile == matrix_profile(encoding):
            return NAMES[encoding], _known(encoding)
    try:
        name = icc_facts(profile, "").description.strip()
    except ProfileProblem:
        return "the embedded profile cannot be read", None
    found = next((encoding for word, encoding in _WORDS if word in name.lower()), None)
    return f"profile: {visible(name)}", found


def _known(encoding: str) -> Encoding:
    return next(known for _, known in _WORDS if known == encoding)


_TEMPLATE = """\
# A map of {file} (sha256 {digest}).
# {width} x {height} pixels; {resolution}.
# {profile}.
format = 1
title = {title}
{encoding}size_mm = {size} # width, height of the print
neutral_aim = "paper" # paper, line, absolute or toned
# paper = "..." # the id of the patch that shows bare paper; without it nothing is media-relative
# black = "..." # the id of the patch that shows the deepest black

# One [[region]] for each area that shows one quality. Kinds with built-in questions:
# {kinds}.
[[region]]
id = "picture"
number = 1
kind = "picture"
area = [0.0, 0.0, 1.0, 1.0] # left, top, width, height as fractions of the sheet

# [[region]]
# id = "neutral"
# number = 2
# kind = "neutral"
# area = [0.05, 0.90, 0.90, 0.05] # regions must not overlap: make room above
#
# One [[patch]] for each field that can be measured: its source value, or its aim in CIELAB for D50.
# [[patch]]
# id = "N01"
# name = "grey 1"
# region = "neutral"
# source = [0, 0, 0]
# series = "wedge"
# step = 1
# area = [0.05, 0.90, 0.04, 0.05]
"""
