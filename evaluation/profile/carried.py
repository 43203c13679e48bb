"""Measurements that an ICC profile carries: what it was made from, found in its tags, not yet read.

ICC.1:2022 defines the tag “targ” for characterization data as text. Programs also keep device values and
their colours as text in “DevD” and “CIED”, and CxF3 (ISO 17972), plain or compressed, in tags of their own:
a tag counts by its content. What is unpacked is bounded, and what is packed twice is refused.
"""

import re
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Final

from evaluation.errors import ProfileProblem
from evaluation.profile.icc_facts import is_profile
from evaluation.profile.tags import MOST_TAGS, letters, tags_of
from evaluation.published.limits import whole

MOST_UNPACKED: Final = whole("file_bytes")  # as of a file of readings
DEVICE, COLOURS = b"DevD", b"CIED"  # two halves of one table
_NAME_ALONE: Final = b"ICCHDAT"  # ICC.1: the data are not inside, only the name of a registered set
_STARTS: Final = (8, 12, 16)  # after the type, after flags, after a size
_SNIFFED: Final = 4096  # bytes
_LEAST: Final = 64  # bytes: nothing shorter holds a table
# Types of ICC.1:2022 clause 10 that hold numbers or names, never a table of text.
_OTHER_TYPES: Final = frozenset(
    (
        *(b"mft1", b"mft2", b"mAB ", b"mBA ", b"mpet", b"curv", b"para", b"XYZ ", b"desc", b"mluc", b"sf32"),
        *(b"uf32", b"ui08", b"ui16", b"ui32", b"ui64", b"fl16", b"fl32", b"fl64", b"sig ", b"dtim", b"view"),
        *(b"meas", b"chrm", b"clro", b"clrt", b"cicp", b"crdi", b"dict", b"ncl2", b"ncol", b"pseq", b"psid"),
        *(b"rcs2", b"scrn", b"ucrb", b"vcgt"),
    )
)
_BLOCK: Final = re.compile(rb"BEGIN_DATA(_FORMAT)?\s", re.I)
_TWICE: Final = "data packed twice"


@dataclass(frozen=True, slots=True)
class Carried:
    """What one tag holds: readings as text or XML, not yet read; or why they cannot be had.

    tag      its name, for people
    content  the unpacked bytes; b"" where `trouble` says what is wrong
    trouble  "" where nothing is
    """

    tag: str
    content: bytes
    trouble: str = ""


def carried(content: bytes, name: str) -> tuple[Carried, ...]:
    """What the tags of a profile carry of readings, in the order of its tags; `name` is for messages.

    Raises ProfileProblem where the table of tags itself is damaged.
    """
    tags = tags_of(content, name)
    met: dict[tuple[int, int], None] = {}
    found = []
    for signature, place in tags.places.items():
        if place in met:
            continue  # tags may share their bytes
        met[place] = None
        one = _of_tag(signature, tags.data(signature))
        if one is not None:
            found.append(one)
    return tuple(found)


def name_of_data(content: bytes, name: str) -> str:
    """The name of the registered data that a profile says it was made from; "" where it says nothing."""
    text = tags_of(content, name).data(b"targ")[8:]
    if not text.startswith(_NAME_ALONE):
        return ""
    return text[len(_NAME_ALONE) :].strip(b" \0\r\n\t").decode("latin-1")[:120]


def _of_tag(signature: bytes, data: bytes) -> Carried | None:
    packed = _packed_from(data)
    if data[:4] in _OTHER_TYPES or (len(data) < _LEAST and not packed):
        return None
    tag = letters(signature)
    if packed:
        unpacked, trouble = _unpacked(data[packed:])
        if trouble:
            meant = signature == b"targ" or signature[:3].lower() == b"cxf" or _looks_like(unpacked)
            return Carried(tag, b"", trouble) if meant or trouble == _TWICE else None
        return Carried(tag, unpacked) if _looks_like(unpacked) else None
    start = next((at for at in _STARTS if _looks_like(data[at:])), None)
    if start is None:
        return None
    return Carried(tag, data[start:].rstrip(b"\0"))


def _packed_from(data: bytes) -> int:
    """Where a zlib stream begins in a tag, by its first two bytes (RFC 1950); 0 where none does."""
    for at in _STARTS:
        head = data[at : at + 2]
        if len(head) == 2 and head[0] == 0x78 and not int.from_bytes(head, "big") % 31:
            return at
    return 0


def _unpacked(packed: bytes) -> tuple[bytes, str]:
    """The content of a zlib stream, as far as it goes, and what is wrong with it or ""."""
    stream = zlib.decompressobj()
    found = bytearray()
    try:
        for start in range(0, len(packed), 2**16):
            found += stream.decompress(packed[start : start + 2**16], MOST_UNPACKED + 1 - len(found))
            if len(found) > MOST_UNPACKED:
                return bytes(found[:_SNIFFED]), f"more than {MOST_UNPACKED >> 20} MB when unpacked"
            if stream.eof:
                break
    except zlib.error:
        return bytes(found), "compressed data that are damaged"
    if not stream.eof:
        return bytes(found), "compressed data that end too early"
    if _packed_from(b"\0" * 8 + found) == 8 or is_profile(bytes(found[:132])):
        return bytes(found[:_SNIFFED]), _TWICE
    return bytes(found), ""


def _looks_like(data: bytes) -> bool:
    """Whether bytes begin as CxF3 does, or hold a table of ISO 28178 text."""
    head = data[:_SNIFFED].lstrip(b"\xef\xbb\xbf \t\r\n\0")
    if head.startswith(b"<"):
        return b"CxF" in head
    return head[:1].isalpha() and _BLOCK.search(data) is not None


@lru_cache(maxsize=1_000)
def carries(path: Path, modified: float, size: int) -> bool:
    """Whether a file is a profile with tags that may hold readings, by its first bytes and those of its tags.

    `modified` and `size` are the file's own: one that was changed is looked at anew. False for a file that
    cannot be opened or understood.
    """
    try:
        with path.open("rb") as file:
            head = file.read(132 + 12 * MOST_TAGS)
            if len(head) < 144 or not is_profile(head):
                return False
            for signature, offset, length in _entries(head):
                file.seek(offset)
                if _may_hold(signature, file.read(min(length, _SNIFFED))):
                    return True
    except (OSError, ValueError, ProfileProblem):
        return False
    return False


def _entries(head: bytes) -> Iterator[tuple[bytes, int, int]]:
    count = min(struct.unpack_from(">I", head, 128)[0], MOST_TAGS)
    for index in range(count):
        if 132 + 12 * (index + 1) <= len(head):
            yield struct.unpack_from(">4sII", head, 132 + 12 * index)


def _may_hold(signature: bytes, data: bytes) -> bool:
    if data[:4] in _OTHER_TYPES or len(data) < _LEAST:
        return False
    packed = _packed_from(data)
    if packed:
        return _looks_like(_unpacked(data[packed:])[0])
    return any(_looks_like(data[at:]) for at in _STARTS) or (
        signature in (b"targ", COLOURS) and _NAME_ALONE not in data[:16]
    )
