"""The description of an ICC profile: the older text form and the multilingual one (ICC.1, `desc` tag)."""

import struct


def description(tag: bytes) -> str:
    """The text of a `desc` tag, English where there is a choice; "" where none can be read."""
    if tag[:4] == b"desc" and len(tag) >= 12:
        length = struct.unpack_from(">I", tag, 8)[0]
        return tag[12 : 12 + length].split(b"\0", 1)[0].decode("latin-1")
    if tag[:4] == b"mluc" and len(tag) >= 16:
        return _multilingual(tag)
    return ""


def _multilingual(tag: bytes) -> str:
    count, width = struct.unpack_from(">II", tag, 8)
    texts: dict[bytes, str] = {}
    for index in range(min(count, 500)):
        place = 16 + index * width
        if width < 12 or place + 12 > len(tag):
            break
        language, length, offset = struct.unpack_from(">2s2xII", tag, place)
        texts[language] = tag[offset : offset + length].decode("utf-16-be", "replace").rstrip("\0")
    return texts.get(b"en") or next(iter(texts.values()), "")
