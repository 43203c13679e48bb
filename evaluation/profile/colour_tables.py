"""Colour tables of a profile, checked for kind, channels, grid and length before an engine reads them.

Layouts: ICC.1:2022 10.10 (lut16Type), 10.11 (lut8Type), 10.12 (lutAToBType), 10.13 (lutBToAType). Engines
accept a grid of 0, or a table that ends early, and return nonsense.
"""

import struct
from math import prod
from typing import Final

from evaluation.profile.curves import check_curve
from evaluation.profile.tags import TOWARDS_COLOUR, letters, refused

_TO_DEVICE: Final = (b"B2A0", b"B2A1", b"B2A2")
_KINDS: Final = {b"mft1", b"mft2", b"mAB ", b"mBA "}


def check_table(tag: bytes, signature: bytes, name: str, channels: int) -> None:
    """Raise ProfileProblem for a tag that is a colour table and not sound; other tags pass.

    `name` is what messages call the profile, `channels` the number in its device space. A table between
    device and colour must be of a known kind and have that many channels on the device side.
    """
    kind, label = tag[:4], f"tag “{letters(signature)}”"
    directed = signature in TOWARDS_COLOUR or signature in _TO_DEVICE
    if kind not in _KINDS:
        if directed:
            raise refused(name, f"{label} with a table of ICC.1", f"one of kind “{letters(kind)}”")
        return
    if len(tag) < 32:
        raise refused(name, f"{label} with a table", f"{len(tag)} bytes")
    inputs, outputs = tag[8], tag[9]
    if not (1 <= inputs <= 15 and 1 <= outputs <= 15):
        raise refused(name, f"{label} with 1 to 15 channels", f"{inputs} in and {outputs} out")
    if directed:
        wanted = (channels, 3) if signature in TOWARDS_COLOUR else (3, channels)
        if (inputs, outputs) != wanted:
            raise refused(
                name, f"{label} with {wanted[0]} in and {wanted[1]} out", f"{inputs} in and {outputs} out"
            )
    if kind in (b"mft1", b"mft2"):
        _check_whole(tag, label, name)
    else:
        _check_stages(tag, label, name)


def _check_whole(tag: bytes, label: str, name: str) -> None:
    """Check lut8Type and lut16Type, whose parts follow each other."""
    if len(tag) < 52:
        raise refused(name, f"{label} with a table", f"{len(tag)} bytes")
    wide = 1 if tag[:4] == b"mft1" else 2
    inputs, outputs, grid = tag[8], tag[9], tag[10]
    entries_in, entries_out = (256, 256) if wide == 1 else struct.unpack_from(">HH", tag, 48)
    if min(grid, entries_in, entries_out) < 2:
        raise refused(name, f"{label} with a grid of at least 2", str(min(grid, entries_in, entries_out)))
    values = inputs * entries_in + grid**inputs * outputs + outputs * entries_out
    needs = (48 if wide == 1 else 52) + wide * values
    if len(tag) < needs:
        raise refused(name, f"{label} of {needs:,} bytes", f"{len(tag):,}")
    if label[5:8] == "A2B":
        start = (48 if wide == 1 else 52) + wide * inputs * entries_in
        _check_varied(tag[start : start + wide * grid**inputs * outputs], wide * outputs, label, name)


def _check_varied(points: bytes, width: int, label: str, name: str) -> None:
    """Refuse a table towards colour that holds one colour throughout, as zeroed files do."""
    if points == points[:width] * (len(points) // width):
        raise refused(name, f"{label} with colours that differ", "one colour throughout")


def _check_stages(tag: bytes, label: str, name: str) -> None:
    """Check lutAToBType and lutBToAType: stages at offsets, the curves beside the PCS required."""
    inputs, outputs = tag[8], tag[9]
    beside_pcs, matrix, before_matrix, table, beside_device = struct.unpack_from(">5I", tag, 12)
    pcs, device = (outputs, inputs) if tag[:4] == b"mAB " else (inputs, outputs)
    if not beside_pcs:
        raise refused(name, f"{label} with its curves", "none")
    if not table and inputs != outputs:
        raise refused(name, f"{label} with a table", "none")
    for offset, curves in ((beside_pcs, pcs), (before_matrix, pcs), (beside_device, device)):
        if offset:
            _check_curves(tag, offset, curves, label, name)
    if matrix and not 32 <= matrix <= len(tag) - 48:
        raise refused(name, f"{label} with its stages inside it", "stages outside")
    if table:
        if not 32 <= table <= len(tag) - 20:
            raise refused(name, f"{label} with its stages inside it", "stages outside")
        grid, wide = tag[table : table + inputs], tag[table + 16]
        if min(grid) < 2:
            raise refused(name, f"{label} with a grid of at least 2", str(min(grid)))
        if wide not in (1, 2):
            raise refused(name, f"{label} with values of 1 or 2 bytes", str(wide))
        needs = table + 20 + prod(grid) * outputs * wide
        if len(tag) < needs:
            raise refused(name, f"{label} of {needs:,} bytes", f"{len(tag):,}")
        if tag[:4] == b"mAB ":
            _check_varied(tag[table + 20 : needs], outputs * wide, label, name)


def _check_curves(tag: bytes, offset: int, count: int, label: str, name: str) -> None:
    """Check curves that follow each other, each at a multiple of four bytes, all inside the tag."""
    for _ in range(count):
        if offset < 32:
            raise refused(name, f"{label} with its curves inside it", "something else")
        length = check_curve(tag[offset:], label, name)
        offset += length + -length % 4
