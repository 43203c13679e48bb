"""The pixels of a picture in one of the open RGB encodings, by way of its own profile."""

from pathlib import Path
from typing import Any, Final

from evaluation.errors import FileProblem, ProfileProblem
from evaluation.pictures.parts import embedded_profile
from evaluation.profile.engine import Profile, carrying, open_source
from evaluation.profile.matrix_profile import matrix_profile

SPACES: Final = {1: "GREY", 3: "RGB", 4: "CMYK"}  # by the number of channels


def source_profile(image: Any, path: Path, what: str) -> Profile | None:
    """The sound profile embedded in a picture; None where it has none.

    `what` is the outcome: raises ProfileProblem when the profile is damaged, FileProblem when it belongs to
    other pixels.
    """
    content = embedded_profile(image, path)
    if content is None:
        return None
    bands = image.bands - (1 if image.hasalpha() else 0)
    wanted = SPACES.get(bands)
    try:
        profile = open_source(content, f"{path.name}, embedded profile")
    except ProfileProblem as problem:
        raise ProfileProblem(
            what, where=problem.where, expected=problem.expected, found=problem.found, remedy=_ITS_OWN
        ) from None
    if profile.contents.device_space != wanted:
        raise FileProblem(
            what,
            where=path.name,
            expected=f"a profile for {wanted or 'these'} pixels",
            found=f"one for {profile.contents.device_space}",
            remedy=_ITS_OWN,
        )
    return profile


def on_white(image: Any) -> Any:
    """Without transparency: what shows through is paper white."""
    if not image.hasalpha():
        return image
    white = 0 if image.interpretation == "cmyk" else 65535 if image.format == "ushort" else 255
    return image.flatten(background=[white])


def in_encoding(image: Any, profile: Profile | None, encoding: str, *, depth: int) -> Any:
    """RGB of `depth` bits in an encoding, media-relative; grey and RGB pixels without a profile are sRGB."""
    if profile is None:
        content, intent = matrix_profile("srgb"), "relative"
        if image.bands < 3:
            image = image.colourspace("rgb16" if image.format == "ushort" else "srgb")
    else:
        content, intent = profile.content, profile.to_colour
    lab = carrying(content, image).icc_import(embedded=True, intent=intent, pcs="lab")
    return carrying(matrix_profile(encoding), lab).icc_export(intent="relative", depth=depth, pcs="lab")


_ITS_OWN: Final = "Save the picture again with its own profile."
