"""Small profiles of our own: CMYK with a colour for each intent, and every part where damage is done to one.

Layout of lut16Type: ICC.1:2022 10.10 (version 2 Lab coding: L* 100 is 0xFF00, a* b* 0 is 0x8000).
"""

import struct
from itertools import product

INTENT_TAGS = {"perceptual": b"0", "relative colorimetric": b"1", "saturation": b"2"}

# CIELAB that CMYK 50, 0, 0, 0 shows in the table of each intent, and the device black that each one prints.
SHOWN = {
    "perceptual": (91.0, -8.0, -4.0),
    "relative colorimetric": (54.0, -20.0, -30.0),
    "saturation": (24.0, 10.0, -40.0),
}
INK_OF = {"perceptual": 0.2, "relative colorimetric": 0.5, "saturation": 0.8}  # K that the intent asks for


def coded(lab: tuple[float, float, float]) -> tuple[int, int, int]:
    """Version 2 coding of CIELAB in 16 bits."""
    return round(lab[0] * 652.8), round((lab[1] + 128) * 256), round((lab[2] + 128) * 256)


def lut16(inputs: int, grid: int, table: list[int], outputs: int) -> bytes:
    """A lut16 with straight curves."""
    head = struct.pack(">4s4x4B", b"mft2", inputs, outputs, grid, 0)
    matrix = struct.pack(">9i", 65536, 0, 0, 0, 65536, 0, 0, 0, 65536)
    straight = struct.pack(">HH", 0, 65535)
    curves, grid_values = struct.pack(">HH", 2, 2) + straight * inputs, struct.pack(f">{len(table)}H", *table)
    return head + matrix + curves + grid_values + straight * outputs


def profile(tags: dict[bytes, bytes], *, space: bytes = b"CMYK", device_class: bytes = b"prtr") -> bytes:
    """Header, tag table and tags: version 2.4, Lab."""
    place, body, table = 128 + 4 + 12 * len(tags), b"", struct.pack(">I", len(tags))
    for signature, data in tags.items():
        table += struct.pack(">4sII", signature, place + len(body), len(data))
        body += data + bytes(-len(data) % 4)
    header = struct.pack(">I4xI4s4s4s", place + len(body), 0x02400000, device_class, space, b"Lab ")
    header += struct.pack(">6H4s", 2026, 3, 2, 9, 30, 0, b"acsp") + bytes(24) + struct.pack(">I", 1)
    header += struct.pack(">3i", 63190, 65536, 54061)
    return header.ljust(128, b"\0") + table + body


def four_inks() -> bytes:
    """A CMYK profile of two steps a channel, whose three intents differ as nobody's would.

    Towards colour: paper without ink, black with all; half of the cyan shows the colour of SHOWN. Towards the
    device: any colour is printed with one amount of black, that of INK_OF.
    """
    tags = {
        b"desc": b"desc" + struct.pack(">4xI", 6) + b"probe\0" + bytes(78),
        b"wtpt": b"XYZ " + struct.pack(">4x3i", 55000, 57000, 46000),
    }
    for intent, digit in INTENT_TAGS.items():
        table = []
        for c, m, y, k in product((0, 1), repeat=4):
            full = tuple(2 * value - paper for value, paper in zip(SHOWN[intent], (100, 0, 0), strict=True))
            lightness = (full[0] if c else 100.0) * (1 - k) - 10 * (m + y) * (1 - k)
            lab = (max(lightness, 0.0), full[1] * c * (1 - k), full[2] * c * (1 - k))
            table += coded(lab)
        tags[b"A2B" + digit] = lut16(4, 2, table, 3)
        ink = round(INK_OF[intent] * 65535)
        tags[b"B2A" + digit] = lut16(3, 2, [0, 0, 0, ink] * 8, 4)
    return profile(tags)


def changed(content: bytes, at: int, new: bytes) -> bytes:
    """The same bytes with some overwritten."""
    return content[:at] + new + content[at + len(new) :]


def tag_at(content: bytes, signature: bytes) -> tuple[int, int, int]:
    """Where the entry of a tag stands in the tag table, its offset and its length. Raises KeyError."""
    for index in range(struct.unpack_from(">I", content, 128)[0]):
        found, offset, length = struct.unpack_from(">4sII", content, 132 + 12 * index)
        if found == signature:
            return 132 + 12 * index, offset, length
    raise KeyError(signature)


def in_tag(content: bytes, signature: bytes, at: int, new: bytes) -> bytes:
    """The same profile with some bytes inside a tag overwritten."""
    return changed(content, tag_at(content, signature)[1] + at, new)


def in_entry(content: bytes, signature: bytes, at: int, new: bytes) -> bytes:
    """The same profile with some bytes of a tag's entry overwritten: 0 signature, 4 offset, 8 length."""
    return changed(content, tag_at(content, signature)[0] + at, new)


def without(content: bytes, *signatures: bytes) -> bytes:
    """The same profile with some tags under names that nobody knows."""
    for signature in signatures:
        content = in_entry(content, signature, 0, b"zz" + signature[2:])
    return content


# What each ink keeps of red, green and blue light: cyan, magenta, yellow, black. Invented.
_KEEPS = ((0.06, 0.45, 0.65), (0.62, 0.08, 0.30), (0.94, 0.75, 0.06), (0.04, 0.04, 0.04))


def four_inks_mixed(grid: int = 9) -> bytes:
    """A CMYK profile of a plausible print: inks filter light one after the other, media-relative.

    Every table towards the device asks for all of black and 0.6 of the others: a total of 2.8.
    """
    import numpy as np

    from evaluation.colorimetry.encodings import xyz_from_rgb
    from evaluation.colorimetry.lab import lab_from_xyz

    steps = np.linspace(0, 1, grid)
    inks = np.stack(np.meshgrid(steps, steps, steps, steps, indexing="ij"), axis=-1).reshape(-1, 4)
    light = np.prod(
        [1 - inks[:, k : k + 1] * (1 - np.array(keeps)) for k, keeps in enumerate(_KEEPS)], axis=0
    )
    lab = lab_from_xyz(xyz_from_rgb(light ** (1 / 2.2), "oprgb"))
    table = [value for row in lab for value in coded((float(row[0]), float(row[1]), float(row[2])))]
    most = [round(value * 65535) for value in (0.6, 0.6, 0.6, 1.0)]
    tags = {b"wtpt": b"XYZ " + struct.pack(">4x3i", 55000, 57000, 46000)}
    for digit in (b"0", b"1"):
        tags[b"A2B" + digit] = lut16(4, grid, table, 3)
        tags[b"B2A" + digit] = lut16(3, 2, most * 8, 4)
    return profile(tags)
