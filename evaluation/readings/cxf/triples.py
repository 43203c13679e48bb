"""From CxF3 colours of several parts, one per object, to an array."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from evaluation.errors import FileProblem
from evaluation.readings.cxf.document import Item, place
from evaluation.readings.cxf.numbers import table_of_cells
from evaluation.readings.run import Array
from evaluation.readings.source import EXPORT_AGAIN, NOTHING_TAKEN, Source

TRIPLES: Final = {
    "ColorCIELab": ("L", "A", "B"),
    "ColorCIELCh": ("L", "C", "H"),
    "ColorCIEXYZ": ("X", "Y", "Z"),
}


def values_of(items: Sequence[Item], groups: Sequence[int], parts: tuple[str, ...], source: Source) -> Array:
    """(n, len(parts)) values of some parts of a group of each object.

    Raises FileProblem for the first that is missing or not a number.
    """
    try:
        rows = [item.texts(group, parts) for item, group in zip(items, groups, strict=True)]
    except KeyError:
        written = [item.groups[group].parts for item, group in zip(items, groups, strict=True)]
        row = next(row for row, found in enumerate(written) if any(part not in found for part in parts))
        missing = [part for part in parts if part not in written[row]]
        raise FileProblem(
            NOTHING_TAKEN,
            where=place_of(items[row], groups[row], source),
            expected=", ".join(parts),
            found=f"no {' and no '.join(missing)}",
            remedy=EXPORT_AGAIN,
        ) from None
    return table_of_cells(rows, lambda row: place_of(items[row], groups[row], source))


def place_of(item: Item, group: int, source: Source) -> str:
    """The place of a group of an object, for messages."""
    found = item.groups[group]
    return place(item, source, found.element, found.at)


def triples(items: Sequence[Item], groups: Sequence[int], source: Source) -> Array:
    """(n, 3) the CIELAB or XYZ of groups of one element, CIELCh converted to CIELAB. Raises FileProblem."""
    element = items[0].elements[groups[0]]
    values = values_of(items, groups, TRIPLES[element], source)
    if element == "ColorCIELCh":
        angle = np.radians(values[:, 2])
        return np.column_stack((values[:, 0], values[:, 1] * np.cos(angle), values[:, 1] * np.sin(angle)))
    return values
