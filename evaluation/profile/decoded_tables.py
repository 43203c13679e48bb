"""The tables of a profile towards colour as arrays, decoded by the bytes alone.

Layouts: ICC.1:2022 10.10 (lut16Type), 10.11 (lut8Type), 10.12 (lutAToBType); coding of CIELAB: 6.3.4.
"""

import struct
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evaluation.colorimetry.lab import Array, lab_from_xyz
from evaluation.profile.curves import PARAMETERS


@dataclass(frozen=True, slots=True)
class DecodedTable:
    """One table: the curves before its grid, the colours at its points as they leave it, the curves after it.

    before, after  a curve each, 0..1
    lab            (grid, ..., grid, 3) CIELAB; None where the connection space is XYZ
    lightness      (grid, ..., grid) L*; None where a matrix follows the grid
    """

    before: Sequence[Array]
    after: Sequence[Array]
    lab: Array | None = None
    lightness: Array | None = None


def decoded(tag: bytes, pcs: str) -> DecodedTable | None:
    """The table of a tag whose layout was checked; `pcs` is "Lab" or "XYZ". None for one without a grid."""
    return _whole(tag, pcs) if tag[:4] in (b"mft1", b"mft2") else _of_stages(tag, pcs)


def _whole(tag: bytes, pcs: str) -> DecodedTable:
    """lut8Type and lut16Type: curves, grid and curves follow each other."""
    wide = 1 if tag[:4] == b"mft1" else 2
    inputs, outputs, grid = tag[8], tag[9], tag[10]
    entries, after = (256, 256) if wide == 1 else struct.unpack_from(">HH", tag, 48)
    counts = (inputs * entries, grid**inputs * outputs, outputs * after)
    start = 48 if wide == 1 else 52
    every = np.frombuffer(tag, ">u1" if wide == 1 else ">u2", sum(counts), start) / (256**wide - 1)
    first, points, last = np.split(every, np.cumsum(counts)[:2])
    colours = points.reshape(*[grid] * inputs, outputs)
    scale = 65535 / 65280 if wide == 2 else 1.0  # version 2 codes L* 100 as FF00
    return _coloured(list(first.reshape(inputs, -1)), colours, list(last.reshape(outputs, -1)), pcs, scale)


def _of_stages(tag: bytes, pcs: str) -> DecodedTable | None:
    """lutAToBType: curves, grid, curves, matrix, curves, each at an offset."""
    inputs, outputs = tag[8], tag[9]
    beside_pcs, matrix, before_matrix, table, beside_device = struct.unpack_from(">5I", tag, 12)
    if not table:
        return None
    before = _curves(tag, beside_device, inputs) if beside_device else []
    after = _curves(tag, beside_pcs, outputs)
    if matrix or before_matrix:
        return DecodedTable(before, after)
    grid, wide = tuple(tag[table : table + inputs]), tag[table + 16]
    count = outputs * int(np.prod(grid))
    points = np.frombuffer(tag, ">u1" if wide == 1 else ">u2", count, table + 20) / (256**wide - 1)
    return _coloured(before, points.reshape(*grid, outputs), after, pcs, 1.0)


def _coloured(
    before: Sequence[Array], points: Array, after: Sequence[Array], pcs: str, scale: float
) -> DecodedTable:
    """A table with its points (grid, ..., grid, 3), 0..1, taken through the curves after it and decoded."""
    out = np.stack(
        [
            np.interp(points[..., place], np.linspace(0, 1, len(curve)), curve)
            for place, curve in enumerate(after)
        ],
        axis=-1,
    )
    if pcs == "Lab":
        lab = out * scale * np.array([100.0, 255.0, 255.0]) - np.array([0.0, 128.0, 128.0])
        return DecodedTable(before, after, lab, lab[..., 0])
    xyz = out * (1 + 32767 / 32768) * 100  # u1Fixed15Number
    return DecodedTable(before, after, None, lab_from_xyz(xyz)[..., 0])


def _curves(tag: bytes, offset: int, count: int) -> list[Array]:
    """Curves that follow each other, each at a multiple of four bytes, as entries 0..1."""
    found: list[Array] = []
    for _ in range(count):
        if tag[offset : offset + 4] == b"curv":
            entries = struct.unpack_from(">I", tag, offset + 8)[0]
            values = np.frombuffer(tag, ">u2", entries, offset + 12)
            gamma = values[0] / 256 if entries == 1 else 1.0
            found.append(
                values / 65535 if entries > 1 else np.linspace(0, 1, 2 if gamma == 1 else 256) ** gamma
            )
            offset += 12 + 2 * entries
        else:
            function = struct.unpack_from(">H", tag, offset + 8)[0]
            length = PARAMETERS[function]
            found.append(
                _parametric(
                    function, [v / 65536 for v in struct.unpack_from(f">{length}i", tag, offset + 12)]
                )
            )
            offset += 12 + 4 * length
        offset += -offset % 4
    return found


def _parametric(function: int, p: list[float]) -> Array:
    """parametricCurveType, ICC.1:2022 table 68: Y = (aX + b)^g + c from d up, another line below."""
    x = np.linspace(0, 1, 256)
    a, b = (p[1], p[2]) if function else (1.0, 0.0)
    y = np.maximum(a * x + b, 0) ** p[0]
    if function == 2:
        y = y + p[3]
    elif function > 2:
        upper, lower = (p[5], p[6]) if function == 4 else (0.0, 0.0)
        y = np.where(x >= p[4], y + upper, p[3] * x + lower)
    return np.asarray(np.clip(y, 0, 1), np.float64)
