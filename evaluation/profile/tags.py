"""The tags of an ICC profile: which there are, and where their bytes lie (ICC.1:2022 7.3)."""

import struct
from dataclasses import dataclass
from typing import Final

from evaluation.errors import ProfileProblem
from evaluation.plain_text import counted, shortened
from evaluation.published.limits import whole

MOST_TAGS: Final = whole("profile_tags")
_FIRST: Final = 132  # the first byte that can belong to a tag's data
TOWARDS_COLOUR: Final = (b"A2B0", b"A2B1", b"A2B2")
_LEAST: Final = 8  # bytes: a type and four that are reserved
# The tags that ICC.1:2022 clause 9 defines and engines read: of any other two may share a name.
KNOWN: Final = frozenset(
    b"A2B0 A2B1 A2B2 A2B3 B2A0 B2A1 B2A2 B2A3 D2B0 D2B1 D2B2 D2B3 B2D0 B2D1 B2D2 B2D3 bXYZ gXYZ rXYZ "
    b"bTRC gTRC rTRC kTRC calt chad chrm clro clrt ciis cprt desc dmdd dmnd gamt lumi meas bkpt wtpt meta "
    b"ncl2 pre0 pre1 pre2 pseq psid resp rig0 rig2 targ tech vued view".split()
)


@dataclass(frozen=True, slots=True)
class Tags:
    """Where the data of each tag lies, the first of each name; `doubled` names those that come again."""

    content: bytes
    places: dict[bytes, tuple[int, int]]
    doubled: tuple[bytes, ...] = ()

    def __contains__(self, signature: bytes) -> bool:
        return signature in self.places

    def data(self, signature: bytes) -> bytes:
        """The bytes of a tag, its type first; b"" where there is none."""
        offset, length = self.places.get(signature, (0, 0))
        return bytes(self.content[offset : offset + length])


def tags_of(content: bytes, name: str) -> Tags:
    """The tags of a profile, each inside the size that its header states and inside the file.

    `name` is what messages call the profile. Raises ProfileProblem for a table of tags that is damaged, and
    for two tags of one name that ICC.1 defines: engines choose differently between them.
    """
    size = min(struct.unpack_from(">I", content)[0], len(content))
    if len(content) < _FIRST:
        raise refused(name, "a header and a table of tags", counted(len(content), "byte"))
    count = struct.unpack_from(">I", content, 128)[0]
    if not 1 <= count <= MOST_TAGS:
        raise refused(name, f"1 to {MOST_TAGS} tags", f"{count:,}")
    if _FIRST + 12 * count > size:
        raise refused(name, f"a table of {counted(count, 'tag')}", "the end of the file inside it")
    places: dict[bytes, tuple[int, int]] = {}
    doubled: list[bytes] = []
    for index in range(count):
        signature, offset, length = struct.unpack_from(">4sII", content, _FIRST + 12 * index)
        named = f"tag “{letters(signature)}”"
        if offset < _FIRST or offset + length > size:
            found = f"{length:,} bytes from byte {offset:,} of {size:,}"
            raise refused(name, f"{named} inside the file", found)
        if length < _LEAST:
            raise refused(name, f"{named} of at least {_LEAST} bytes", f"{length}")
        if signature in KNOWN and signature in places:
            raise refused(name, f"one {named}", "two, of which engines choose differently")
        if signature in places:
            doubled.append(signature)
        places.setdefault(signature, (offset, length))
    return Tags(content, places, tuple(doubled))


def refused(name: str, expected: str, found: str) -> ProfileProblem:
    """The refusal of a profile."""
    return ProfileProblem(
        "The profile was not used.",
        where=name,
        expected=expected,
        found=found,
        remedy="Export it again, or name another.",
    )


def letters(signature: bytes) -> str:
    """A four-letter signature as text, whatever its bytes."""
    return shortened(signature.decode("latin-1").strip(), 12)
