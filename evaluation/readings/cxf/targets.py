"""CxF3 keeps what was printed and what was measured in separate objects; here they are joined."""

import re
from collections.abc import Callable, Hashable, Sequence
from functools import lru_cache
from typing import Final

from evaluation.readings.cxf.document import Item, place_on_sheet

_LAST_NUMBER: Final = re.compile(r"(\d+)\D*$")
_DEVICE: Final = ("ColorRGB", "ColorCMYK", "ColorCMYKPlusN", "ColorHTML")


def device_group(item: Item) -> int | None:
    """The group sent to the printer, by number; never a ColorSRGB, which is a preview. None without any."""
    return _device_among(item.elements)


@lru_cache(maxsize=64)
def _device_among(elements: tuple[str, ...]) -> int | None:
    return next((number for number, element in enumerate(elements) if element in _DEVICE), None)


def is_measured(item: Item) -> bool:
    """Whether an object holds a measured colour."""
    return item.has_spectra or any(
        element in ("ColorCIELab", "ColorCIEXYZ", "ColorCIELCh") for element in item.elements
    )


def number_in(name: str) -> str | None:
    """The last number in a name, without leading zeros, which separate objects of one patch share."""
    match = _LAST_NUMBER.search(name)
    return (match[1].lstrip("0") or "0") if match else None


def joined(measured: Sequence[Item], targets: Sequence[Item]) -> tuple[list[Item | None], str]:
    """The target of each measured object, None where there is none, and what they were joined by, or "".

    By equal names, by the number in the names, or by page, row and column: the first that finds a target for
    every measurement, else the one that finds most. One in which two targets share a key is not used.
    """
    best: tuple[list[Item | None], str] = ([None] * len(measured), "")
    if not targets:
        return best
    most = 0
    ways: tuple[tuple[str, Callable[[Item], Hashable]], ...] = (
        ("name", lambda item: item.name or None),
        ("number in the name", lambda item: number_in(item.name)),
        ("page, row and column", lambda item: place_on_sheet(item) or None),
    )
    for way, key in ways:
        by_key = {key(target): target for target in targets if key(target) is not None}
        if len(by_key) < len(targets):
            continue
        found = [by_key.get(key(item)) for item in measured]
        count = sum(1 for target in found if target is not None)
        if count > most:
            best, most = (found, way), count
        if count == len(measured):
            break
    return best
