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
from evaluation.profile.colour_tables import check_table, letters, refused
from evaluation.profile.description import description
from evaluation.system_words import unread

LARGEST: Final = 256 * 1024 * 1024
MOST_TAGS: Final = 200  # project's own choice; real profiles carry under forty

CLASSES: Final = {
    b"prtr": "output",
    b"mntr": "display",
    b"scnr": "input",
    b"spac": "colour space",
    b"link": "device link",
    b"nmcl": "named colour",
    b"abst": "abstract",
}
SPACES: Final = {b"RGB ": "RGB", b"CMYK": "CMYK", b"GRAY": "GREY", b"Lab ": "Lab", b"XYZ ": "XYZ"}
CHANNELS: Final = {"RGB": 3, "CMYK": 4, "GREY": 1, "Lab": 3, "XYZ": 3}
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
        raise refused(name, "version 2 or 4", f"version {version}")
    profile_class = CLASSES.get(content[12:16])
    if profile_class is None:
        raise refused(name, "a class of ICC.1", f"“{letters(content[12:16])}”")
    space = _space(content[16:20])
    if space is None:
        raise refused(name, "a device colour space of ICC.1", f"“{letters(content[16:20])}”")
    pcs = SPACES.get(content[20:24], "")
    if pcs not in ("Lab", "XYZ") and profile_class not in _UNUSABLE:
        raise refused(name, "Lab or XYZ as connection space", f"“{letters(content[20:24])}”")
    tags = _tags(content, size, name)
    channels = CHANNELS.get(space) or int(space[:-3], 16)
    for signature, (offset, length) in tags.items():
        if profile_class not in _UNUSABLE:
            check_table(content[offset : offset + length], signature, name, channels)
    warnings += _oddities(content, tags)
    return IccFacts(
        name=name,
        size=len(content),
        profile_class=profile_class,
        device_space=space,
        channels=channels,
        pcs=pcs,
        version=version,
        description=visible(description(_content(content, tags, b"desc"))),
        created=_created(content),
        white=_media_white(_content(content, tags, b"wtpt"), name),
        intents=tuple(word for digit, word in _INTENTS.items() if b"B2A" + digit in tags),
        tags=tuple(letters(signature) for signature in tags),
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


def _tags(content: bytes, size: int, name: str) -> dict[bytes, tuple[int, int]]:
    count = struct.unpack_from(">I", content, 128)[0]
    if not 1 <= count <= MOST_TAGS:
        raise refused(name, f"1 to {MOST_TAGS} tags", f"{count:,}")
    if 132 + 12 * count > size:
        raise refused(name, f"a table of {count} tags", "the end of the file inside it")
    tags: dict[bytes, tuple[int, int]] = {}
    for index in range(count):
        signature, offset, length = struct.unpack_from(">4sII", content, 132 + 12 * index)
        if offset < 132 or offset + length > size or length < 8:
            raise refused(
                name,
                f"tag “{letters(signature)}” inside the file",
                f"{length:,} bytes from byte {offset:,} of {size:,}",
            )
        if signature in tags:
            raise refused(name, f"one tag “{letters(signature)}”", "two, of which engines choose differently")
        tags[signature] = (offset, length)
    return tags


def _oddities(content: bytes, tags: dict[bytes, tuple[int, int]]) -> list[str]:
    odd = []
    if b"wtpt" not in tags:
        odd.append("The media white is not stated.")
    if content[12:16] == b"prtr" and b"A2B1" not in tags and b"A2B0" in tags:
        odd.append("It has no relative colorimetric table; its perceptual one is used instead.")
    return odd


def _content(content: bytes, tags: dict[bytes, tuple[int, int]], signature: bytes) -> bytes:
    offset, length = tags.get(signature, (0, 0))
    return content[offset : offset + length]


def _xyz(tag: bytes) -> tuple[float, float, float] | None:
    if len(tag) < 20 or tag[:4] != b"XYZ ":
        return None
    x, y, z = (value / 65536 for value in struct.unpack_from(">3i", tag, 8))
    return round(x, 5), round(y, 5), round(z, 5)


def _media_white(tag: bytes, name: str) -> tuple[float, float, float] | None:
    """The media white, which scales absolute colours; raises ProfileProblem for an impossible one."""
    white = _xyz(tag)
    if white is not None and not all(0.01 < value < 1.5 for value in white):
        raise refused(name, "a media white between 0.01 and 1.5", ", ".join(f"{value:g}" for value in white))
    return white


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
