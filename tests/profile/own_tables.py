"""Our own reading and interpolation of a profile's tables, written from ICC.1:2022 alone: a third opinion.

Of lut16Type (10.10, version 2 coding) and of lutAToBType and lutBToAType (10.12, 10.13), with 16 bit tables
and straight curves as the two small profiles of `data` hold them. Plain loops: clear before fast.
"""

import struct
from itertools import permutations, product

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def to_colour(content: bytes, device: Array) -> Array:
    """CIELAB (n, 3) of device values 0..1 by the table A2B1, in tetrahedra."""
    table, scale = _table(content, b"A2B1")
    coded = np.array([_in_tetrahedra(table, row) for row in device])
    return np.asarray(coded * 65535 / scale * np.array([100, 255, 255]) - np.array([0, 128, 128]))


def to_device(content: bytes, signature: bytes, lab: Array) -> Array:
    """Device values (n, 3), 0..1, of CIELAB by a B2A table, in straight lines."""
    table, scale = _table(content, signature)
    coded = np.clip((lab + np.array([0, 128, 128])) / np.array([100, 255, 255]) * scale / 65535, 0, 1)
    return np.array([_in_lines(table, row) for row in coded])


def _table(content: bytes, signature: bytes) -> tuple[Array, float]:
    """The table (grid, grid, grid, 3) of a tag, 0..1, and the number that stands for L* 100 in its coding."""
    at = _place(content, signature)
    kind = content[at : at + 4]
    if kind == b"mft2":
        inputs, outputs, grid = content[at + 8 : at + 11]
        entries, _ = struct.unpack_from(">HH", content, at + 48)
        start = at + 52 + 2 * inputs * entries
        curves = np.frombuffer(content, ">u2", inputs * entries, at + 52).reshape(inputs, -1)
        assert np.array_equal(curves, np.tile(np.linspace(0, 65535, entries), (inputs, 1))), "not straight"
        scale = 65280.0  # version 2: 0xFF00
    else:
        inputs, outputs = content[at + 8 : at + 10]
        places = struct.unpack_from(">5I", content, at + 12)
        curve, matrix, middle, clut, first = places
        assert (matrix, middle) == (0, 0) and all(
            struct.unpack_from(">I", content, at + place + 8) == (0,) for place in (curve, first)
        ), "not straight"
        grid, start, scale = content[at + clut], at + clut + 20, 65535.0
        assert content[at + clut + 16] == 2, "not of 16 bits"
    values = np.frombuffer(content, ">u2", grid**inputs * outputs, start)
    return values.reshape(grid, grid, grid, outputs) / 65535, scale


def _place(content: bytes, signature: bytes) -> int:
    for index in range(struct.unpack_from(">I", content, 128)[0]):
        found, offset, _ = struct.unpack_from(">4sII", content, 132 + 12 * index)
        if found == signature:
            return int(offset)
    raise KeyError(signature)


def _in_tetrahedra(table: Array, row: Array) -> Array:
    """Along the edges of the tetrahedron that holds the point: the longest way first."""
    base, part = _cell(table, row)
    order = next(o for o in permutations(range(3)) if list(part[list(o)]) == sorted(part)[::-1])
    here, value = base.copy(), table[tuple(base)].copy()
    for axis in order:
        there = here.copy()
        there[axis] += 1
        value += part[axis] * (table[tuple(there)] - table[tuple(here)])
        here = there
    return value


def _in_lines(table: Array, row: Array) -> Array:
    """Straight lines along one axis after the other: the eight corners by their share."""
    base, part = _cell(table, row)
    corners = product((0, 1), repeat=3)
    return np.asarray(
        sum(
            np.prod([p if up else 1 - p for p, up in zip(part, corner, strict=True)])
            * table[tuple(base + corner)]
            for corner in corners
        )
    )


def _cell(table: Array, row: Array) -> tuple[NDArray[np.int_], Array]:
    place = row * (len(table) - 1)
    base = np.minimum(place.astype(int), len(table) - 2)
    return base, place - base
