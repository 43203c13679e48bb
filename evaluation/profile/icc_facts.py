"""Facts of an ICC profile, read from its bytes before any library sees them (ICC.1:2022, v2 to v4).

Colour engines accept damaged profiles and silently compute with something else, so none that is not sound
here reaches them.
"""

import struct
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from evaluation.errors import ProfileProblem
from evaluation.plain_text import visible
from evaluation.profile.colour_tables import check_table
from evaluation.profile.curves import check_single_curves, check_way_to_colour, media_white
from evaluation.profile.description import description
from evaluation.profile.tags import TOWARDS_COLOUR, Tags, letters, refused, tags_of
from evaluation.published.limits import whole
from evaluation.system_words import unread

LARGEST: Final = whole("profile_bytes")

CLASSES: Final = {
    b"prtr": "output",
    b"mntr": "display",
    b"scnr": "input",
    b"spac": "colour space",
    b"link": "device link",
    b"nmcl": "named colour",
    b"abst": "abstract",
}
# ICC.1:2022 table 19; what has no number of channels of its own has three.
SPACES: Final = {
    b"RGB ": "RGB",
    b"CMYK": "CMYK",
    b"GRAY": "GREY",
    b"Lab ": "Lab",
    b"XYZ ": "XYZ",
    b"CMY ": "CMY",
    b"YCbr": "YCbCr",
    b"Luv ": "Luv",
    b"Yxy ": "Yxy",
    b"HSV ": "HSV",
    b"HLS ": "HLS",
}
CHANNELS: Final = dict.fromkeys(SPACES.values(), 3) | {"CMYK": 4, "GREY": 1}
_UNUSABLE: Final = {"device link", "named colour", "abstract"}
_INTENTS: Final = {b"0": "perceptual", b"1": "relative colorimetric", b"2": "saturation"}


@dataclass(frozen=True, slots=True)
class IccFacts:
    """Facts of a sound profile.

    size      bytes
    channels  of the device space
    created   date and time as stated, "" where they are none
    white     media white X, Y, Z, Y = 1 for the perfect diffuser; None where not stated
    intents   that have tables from colour to device; () for profiles without tables
    warnings  oddities that do not prevent its use, a sentence each
    """

    name: str
    size: int
    profile_class: str
    device_space: str
    channels: int
    pcs: str
    version: str
    description: str
    created: str
    white: tuple[float, float, float] | None
    intents: tuple[str, ...]
    tags: tuple[str, ...]
    warnings: tuple[str, ...]

    def document(self) -> dict[str, Any]:
        """The JSON document of `drydown contents`."""
        return {
            "kind": "profile",
            "class": self.profile_class,
            "device_space": self.device_space,
            "pcs": self.pcs,
            "version": self.version,
            "description": self.description,
            "created": self.created,
            "white": list(self.white) if self.white else None,
            "intents": list(self.intents),
            "warnings": list(self.warnings),
        }


def is_profile(beginning: bytes) -> bool:
    """Whether the first bytes of a file, at least 40, are those of an ICC profile."""
    return beginning[36:40] == b"acsp"


def read_profile(path: Path) -> tuple[IccFacts, bytes]:
    """Facts and bytes of a profile file. Raises ProfileProblem for one that is missing or damaged."""
    try:
        if path.stat().st_size > LARGEST:
            raise refused(path.name, "a profile below 256 MB", f"{path.stat().st_size:,} bytes")
        content = path.read_bytes()
    except OSError as problem:
        found, remedy = unread(problem)
        raise ProfileProblem(
            "The profile was not read.", where=str(path), found=found, remedy=remedy
        ) from None
    return icc_facts(content, path.name), content


def icc_facts(content: bytes, name: str) -> IccFacts:
    """Facts of a profile, once its header, its tag table and every colour table have been checked.

    `name` is what messages call it. Raises ProfileProblem.
    """
    if len(content) < 132 or not is_profile(content):
        raise refused(name, "an ICC profile (“acsp” at byte 36)", f"{len(content)} bytes without it")
    size = struct.unpack_from(">I", content)[0]
    warnings: list[str] = []
    if size > len(content):
        raise refused(name, f"{size:,} bytes, as its header says", f"{len(content):,}: the file was cut")
    if size < len(content):
        warnings.append(f"{len(content) - size:,} bytes follow the end that the header states.")
    major, minor = content[8], content[9]
    version = f"{major}.{minor >> 4}.{minor & 15}"
    if not 2 <= major <= 4:
        raise refused(name, "a version from 2 to 4", f"version {version}")
    profile_class = CLASSES.get(content[12:16])
    if profile_class is None:
        raise refused(name, "a class of ICC.1", f"“{letters(content[12:16])}”")
    space = _space(content[16:20])
    if space is None:
        raise refused(name, "a device colour space of ICC.1", f"“{letters(content[16:20])}”")
    pcs = SPACES.get(content[20:24], "")
    if pcs not in ("Lab", "XYZ") and profile_class not in _UNUSABLE:
        raise refused(name, "Lab or XYZ as connection space", f"“{letters(content[20:24])}”")
    tags = tags_of(content, name)
    channels = CHANNELS.get(space) or int(space[:-3], 16)
    of_device = profile_class not in _UNUSABLE
    if of_device:
        for signature in tags.places:
            check_table(tags.data(signature), signature, name, channels)
        check_single_curves(tags, name)
    check_way_to_colour(tags, name, space, of_device=of_device, of_input=profile_class == "input")
    warnings += _oddities(content, tags)
    if of_device and any(signature in tags for signature in TOWARDS_COLOUR):
        from evaluation.profile.plausible_tables import check_values  # numpy, and only where there are tables

        warnings += check_values(tags, name, space, pcs, profile_class)
    return IccFacts(
        name=name,
        size=len(content),
        profile_class=profile_class,
        device_space=space,
        channels=channels,
        pcs=pcs,
        version=version,
        description=visible(description(tags.data(b"desc"))),
        created=_created(content),
        white=media_white(tags, name),
        intents=tuple(word for digit, word in _INTENTS.items() if b"B2A" + digit in tags),
        tags=tuple(letters(signature) for signature in tags.places),
        warnings=tuple(warnings),
    )


def refuse_for_prints(contents: IccFacts, name: str) -> None:
    """Raise ProfileProblem for a sound profile of a class or device space that cannot predict a print."""
    if contents.profile_class in _UNUSABLE:
        raise refused(name, "a profile of one device", f"one of class {contents.profile_class}")
    if contents.device_space not in ("RGB", "CMYK", "GREY"):
        raise refused(
            name, "an RGB, CMYK or grey profile", f"{contents.device_space}, which is not supported"
        )


def _oddities(content: bytes, tags: Tags) -> list[str]:
    odd = []
    if b"wtpt" not in tags:
        odd.append("The media white is not stated.")
    if content[12:16] == b"prtr" and b"A2B1" not in tags and b"A2B0" in tags:
        odd.append("It has no relative colorimetric table; its perceptual one is used instead.")
    odd += [
        f"Tag “{letters(signature)}”, which ICC.1 does not define, is in it more than once."
        for signature in dict.fromkeys(tags.doubled)
    ]
    return odd


def _created(content: bytes) -> str:
    year, month, day, hour, minute, second = struct.unpack_from(">6H", content, 24)
    if not (1900 <= year <= 2200 and 1 <= month <= 12 and 1 <= day <= 31):
        return ""
    return f"{year:04}-{month:02}-{day:02}T{hour % 24:02}:{minute % 60:02}:{second % 60:02}"


def _space(signature: bytes) -> str | None:
    if signature in SPACES:
        return SPACES[signature]
    if signature[1:] == b"CLR" and chr(signature[0]) in "23456789ABCDEF":
        return signature.decode("ascii")
    return None
