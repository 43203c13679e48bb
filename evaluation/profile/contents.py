"""What an ICC profile holds, read from its bytes before any library sees them (ICC.1:2022, v2 to v4).

Colour engines accept damaged profiles and quietly compute with something else, so what is not sound here
never reaches one.
"""

import struct
from dataclasses import dataclass
from math import prod
from pathlib import Path
from typing import Any, Final

from evaluation.errors import ProfileProblem
from evaluation.plain_text import shortened, visible
from evaluation.profile.description import description

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
class ProfileContents:
    """Facts of a sound profile. `white` is the media white (X, Y, Z; Y = 1 for the perfect diffuser)."""

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
    intents: tuple[str, ...]  # from colour to device; () for profiles without such tables
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
    """Whether bytes begin like an ICC profile."""
    return beginning[36:40] == b"acsp"


def read_profile(path: Path) -> tuple[ProfileContents, bytes]:
    """Facts and bytes of a profile file. Raises ProfileProblem in one sentence."""
    try:
        if path.stat().st_size > LARGEST:
            raise _problem(path.name, "a profile below 256 MB", f"{path.stat().st_size:,} bytes")
        content = path.read_bytes()
    except OSError as problem:
        raise ProfileProblem(
            "The profile was not read.",
            where=str(path),
            found=problem.strerror or "it cannot be opened",
            remedy="Name another file.",
        ) from None
    return profile_contents(content, path.name), content


def profile_contents(content: bytes, name: str) -> ProfileContents:
    """Facts of a profile, after its header, its tag table and every colour table in it were checked."""
    if len(content) < 132 or not is_profile(content):
        raise _problem(name, "an ICC profile (“acsp” at byte 36)", f"{len(content)} bytes without it")
    size = struct.unpack_from(">I", content)[0]
    warnings: list[str] = []
    if size > len(content):
        raise _problem(name, f"{size:,} bytes, as its header says", f"{len(content):,}: the file was cut")
    if size < len(content):
        warnings.append(f"{len(content) - size:,} bytes follow the end that the header names.")
    major, minor = content[8], content[9]
    version = f"{major}.{minor >> 4}.{minor & 15}"
    if not 2 <= major <= 4:
        raise _problem(name, "version 2 or 4", f"version {version}")
    profile_class = CLASSES.get(content[12:16])
    if profile_class is None:
        raise _problem(name, "a class of ICC.1", f"“{_letters(content[12:16])}”")
    space = _space(content[16:20])
    if space is None:
        raise _problem(name, "a device colour space of ICC.1", f"“{_letters(content[16:20])}”")
    pcs = SPACES.get(content[20:24], "")
    if pcs not in ("Lab", "XYZ") and profile_class not in _UNUSABLE:
        raise _problem(name, "Lab or XYZ as connection space", f"“{_letters(content[20:24])}”")
    tags = _tags(content, size, name)
    for signature, (offset, length) in tags.items():
        _check_table(content[offset : offset + length], signature, name)
    warnings += _oddities(content, tags)
    return ProfileContents(
        name=name,
        size=len(content),
        profile_class=profile_class,
        device_space=space,
        channels=CHANNELS.get(space) or int(space[:-3], 16),
        pcs=pcs,
        version=version,
        description=visible(description(_content(content, tags, b"desc"))),
        created=_created(content),
        white=_xyz(_content(content, tags, b"wtpt")),
        intents=tuple(word for digit, word in _INTENTS.items() if b"B2A" + digit in tags),
        tags=tuple(_letters(signature) for signature in tags),
        warnings=tuple(warnings),
    )


def refuse_for_prints(contents: ProfileContents, name: str) -> None:
    """Raise ProfileProblem when a sound profile cannot predict a print: wrong class, space or no tables."""
    if contents.profile_class in _UNUSABLE:
        raise _problem(name, "a profile of one device", f"a {contents.profile_class} profile")
    if contents.device_space not in ("RGB", "CMYK", "GREY"):
        raise _problem(
            name, "an RGB, CMYK or grey profile", f"{contents.device_space}, which is not supported"
        )


def _tags(content: bytes, size: int, name: str) -> dict[bytes, tuple[int, int]]:
    count = struct.unpack_from(">I", content, 128)[0]
    if not 1 <= count <= MOST_TAGS:
        raise _problem(name, f"1 to {MOST_TAGS} tags", f"{count:,}")
    if 132 + 12 * count > size:
        raise _problem(name, f"a table of {count} tags", "the end of the file inside it")
    tags: dict[bytes, tuple[int, int]] = {}
    for index in range(count):
        signature, offset, length = struct.unpack_from(">4sII", content, 132 + 12 * index)
        if offset < 132 or offset + length > size or length < 8:
            raise _problem(
                name,
                f"tag “{_letters(signature)}” inside the file",
                f"{length:,} bytes from byte {offset:,} of {size:,}",
            )
        tags[signature] = (offset, length)
    return tags


def _check_table(tag: bytes, signature: bytes, name: str) -> None:
    """Grid and length of a colour table; grid 0 “works” in engines and gives nonsense."""
    kind = tag[:4]
    label = f"tag “{_letters(signature)}”"
    if kind in (b"mft1", b"mft2"):
        wide = 1 if kind == b"mft1" else 2
        if len(tag) < 52:
            raise _problem(name, f"{label} with a table", f"{len(tag)} bytes")
        inputs, outputs, grid = tag[8], tag[9], tag[10]
        entries_in, entries_out = (256, 256) if wide == 1 else struct.unpack_from(">HH", tag, 48)
        if not (1 <= inputs <= 15 and 1 <= outputs <= 15):
            raise _problem(name, f"{label} with 1 to 15 channels", f"{inputs} in and {outputs} out")
        if grid < 2 or entries_in < 2 or entries_out < 2:
            raise _problem(
                name, f"{label} with a grid of at least 2", str(min(grid, entries_in, entries_out))
            )
        needs = (48 if wide == 1 else 52) + wide * (
            inputs * entries_in + grid**inputs * outputs + outputs * entries_out
        )
        if len(tag) < needs:
            raise _problem(name, f"{label} of {needs:,} bytes", f"{len(tag):,}")
    elif kind in (b"mAB ", b"mBA "):
        _check_stages(tag, label, name)


def _check_stages(tag: bytes, label: str, name: str) -> None:
    if len(tag) < 32:
        raise _problem(name, f"{label} with its stages", f"{len(tag)} bytes")
    inputs, outputs = tag[8], tag[9]
    offsets = struct.unpack_from(">5I", tag, 12)
    if not (1 <= inputs <= 15 and 1 <= outputs <= 15) or any(offset >= len(tag) for offset in offsets):
        raise _problem(name, f"{label} with its stages inside it", "stages outside")
    clut = offsets[3]
    if clut:
        if clut + 20 > len(tag):
            raise _problem(name, f"{label} with a table", "its end")
        grid, wide = tag[clut : clut + inputs], tag[clut + 16]
        if min(grid) < 2 or wide not in (1, 2):
            raise _problem(name, f"{label} with a grid of at least 2", str(min(grid)))
        needs = clut + 20 + prod(grid) * outputs * wide
        if len(tag) < needs:
            raise _problem(name, f"{label} of {needs:,} bytes", f"{len(tag):,}")


def _oddities(content: bytes, tags: dict[bytes, tuple[int, int]]) -> list[str]:
    odd = []
    if b"wtpt" not in tags:
        odd.append("The media white is not stated.")
    if content[12:16] == b"prtr" and b"A2B1" not in tags and b"A2B0" in tags:
        odd.append("It has no relative colorimetric table; the perceptual one stands in for it.")
    return odd


def _content(content: bytes, tags: dict[bytes, tuple[int, int]], signature: bytes) -> bytes:
    offset, length = tags.get(signature, (0, 0))
    return content[offset : offset + length]


def _xyz(tag: bytes) -> tuple[float, float, float] | None:
    if len(tag) < 20 or tag[:4] != b"XYZ ":
        return None
    x, y, z = (value / 65536 for value in struct.unpack_from(">3i", tag, 8))
    return round(x, 5), round(y, 5), round(z, 5)


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


def _letters(signature: bytes) -> str:
    return shortened(signature.decode("latin-1").strip(), 12)


def _problem(name: str, expected: str, found: str) -> ProfileProblem:
    return ProfileProblem(
        "The profile was not used.",
        where=name,
        expected=expected,
        found=found,
        remedy="Export it again, or name another.",
    )
