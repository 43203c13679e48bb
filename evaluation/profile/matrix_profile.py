"""Matrix profiles of the standard RGB encodings, written byte by byte: ICC.1:2022 (version 4.4).

Display class, XYZ connection space, one curve shared by the three channels. A D65 encoding has ten tags, a
D50 one nine, as it needs no chromatic adaptation tag. The same encoding always gives the same bytes.
"""

import hashlib
import struct
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.adaptation import bradford
from evaluation.colorimetry.encodings import ENCODINGS, RgbEncoding
from evaluation.colorimetry.lab import D50_WHITE, KAPPA

Array = NDArray[np.float64]

NAMES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "srgb": "sRGB IEC 61966-2-1",
        "oprgb": "opRGB IEC 61966-2-5",
        "ecirgb-v2": "eciRGB v2 ISO 22028-4",
        "romm-rgb": "ROMM RGB ISO 22028-2",
    }
)

_COPYRIGHT: Final = "Written from the published figures of the encoding. No rights reserved."
_ONE: Final = 65536  # s15Fixed16Number: 1.0
_PCS_WHITE: Final = (0xF6D6, 0x10000, 0xD32D)  # D50 of the connection space, ICC.1:2022 7.2.16
_VERSION: Final = 0x04400000
_DATE: Final = (2024, 1, 1, 0, 0, 0)  # fixed: the bytes must not depend on the date of writing

# Parameters of parametricCurveType (ICC.1:2022 10.18). Function 3 is (a X + b)^g from d up, c X below;
# function 0 is X^g.
_CURVES: Final[Mapping[str, tuple[int, tuple[float, ...]]]] = MappingProxyType(
    {
        "srgb": (3, (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)),
        "oprgb": (0, (563 / 256,)),
        "ecirgb-v2": (3, (3.0, 1 / 1.16, 0.16 / 1.16, 100 / KAPPA, 0.08)),
        "romm-rgb": (3, (1.8, 1.0, 0.0, 1 / 16, 16 / 512)),
    }
)


def matrix_profile(encoding: str) -> bytes:
    """The bytes of the ICC profile of an encoding. Raises KeyError for one that is not in `NAMES`.

    White is that of the connection space to the last bit, so neutrals are neutral; everything else is rounded
    to 1/65536, which is below 0.01 dE*ab.
    """
    space = ENCODINGS[encoding]
    columns = _columns(space)
    curve = _curve(*_CURVES[encoding])
    tags = {
        b"desc": _text(NAMES[encoding]),
        b"cprt": _text(_COPYRIGHT),
        b"wtpt": _xyz(_PCS_WHITE),
        b"rXYZ": _xyz(columns[0]),
        b"gXYZ": _xyz(columns[1]),
        b"bXYZ": _xyz(columns[2]),
        b"rTRC": curve,
        b"gTRC": curve,
        b"bTRC": curve,
    }
    if space.white is not None:
        tags[b"chad"] = _adaptation(space)
    return _with_id(_profile(tags))


def _columns(space: RgbEncoding) -> list[tuple[int, ...]]:
    """XYZ of the three primaries in 1/65536; each axis adds up to the white of the connection space."""
    white = np.array(_PCS_WHITE, dtype=np.float64)
    exact = space.matrix / D50_WHITE[:, None] * white[:, None]
    rounded = np.rint(exact).astype(np.int64)
    rounded[:, 1] += np.rint(white).astype(np.int64) - rounded.sum(axis=1)  # green takes the last unit
    return [tuple(int(value) for value in column) for column in rounded.T]


def _adaptation(space: RgbEncoding) -> bytes:
    assert space.white is not None
    x, y = space.white
    white = np.array([x / y, 1.0, (1 - x - y) / y]) * 100
    matrix = bradford(np.eye(3), white, D50_WHITE).T
    units = np.rint(matrix * _ONE).astype(np.int64).ravel()
    return struct.pack(">4sI9i", b"sf32", 0, *(int(value) for value in units))


def _curve(function: int, parameters: tuple[float, ...]) -> bytes:
    units = [round(value * _ONE) for value in parameters]
    return struct.pack(f">4sIHH{len(units)}i", b"para", 0, function, 0, *units)


def _xyz(units: tuple[int, ...]) -> bytes:
    return struct.pack(">4sI3i", b"XYZ ", 0, *units)


def _text(words: str) -> bytes:
    """multiLocalizedUnicodeType with one record, English."""
    encoded = words.encode("utf-16-be")
    return struct.pack(">4sIII2s2sII", b"mluc", 0, 1, 12, b"en", b"US", len(encoded), 28) + encoded


def _profile(tags: Mapping[bytes, bytes]) -> bytes:
    """Header, tag table and tag data; equal data is stored once, and each begins at a multiple of four."""
    places: dict[bytes, int] = {}
    start = 128 + 4 + 12 * len(tags)
    body = b""
    table = struct.pack(">I", len(tags))
    for name, data in tags.items():
        if data not in places:
            places[data] = start + len(body)
            body += data + bytes(-len(data) % 4)
        table += struct.pack(">4sII", name, places[data], len(data))
    size = start + len(body)
    header = struct.pack(
        ">I4xI4s4s4s6H4s4xI4x4x8xI3i4x16x28x",
        size,
        _VERSION,
        b"mntr",
        b"RGB ",
        b"XYZ ",
        *_DATE,
        b"acsp",
        0,  # flags: may be embedded, may be used alone
        1,  # rendering intent: media-relative colorimetric
        *_PCS_WHITE,
    )
    return header + table + body


def _with_id(profile: bytes) -> bytes:
    """The profile with its MD5 in the header (ICC.1:2022 7.2.18), calculated with flags, intent, id zero."""
    counted = bytearray(profile)
    counted[44:48] = counted[64:68] = bytes(4)
    counted[84:100] = bytes(16)
    digest = hashlib.md5(bytes(counted), usedforsecurity=False).digest()
    return profile[:84] + digest + profile[100:]
