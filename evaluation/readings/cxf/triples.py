"""From CxF3 colours of several parts, one per object, to an array."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from evaluation.errors import FileProblem
from evaluation.readings.cxf.document import Group, Item
from evaluation.readings.cxf.numbers import table_of_cells
from evaluation.readings.run import Array
from evaluation.readings.source import EXPORT_AGAIN, NOTHING_TAKEN, Source

TRIPLES: Final = {
    "ColorCIELab": ("L", "A", "B"),
    "ColorCIELCh": ("L", "C", "H"),
    "ColorCIEXYZ": ("X", "Y", "Z"),
}


def values_of(
    items: Sequence[Item], groups: Sequence[Group], parts: tuple[str, ...], source: Source
) -> Array:
    """(n, len(parts)) values of some parts. Raises FileProblem for the first missing or not a number."""
    try:
        rows = [[group.parts[part] for part in parts] for group in groups]
    except KeyError:
        row = next(row for row, group in enumerate(groups) if any(part not in group.parts for part in parts))
        missing = [part for part in parts if part not in groups[row].parts]
        raise FileProblem(
            NOTHING_TAKEN,
            where=items[row].place(source, groups[row].element, groups[row].at),
            expected=", ".join(parts),
            found=f"no {' and no '.join(missing)}",
            remedy=EXPORT_AGAIN,
        ) from None
    return table_of_cells(rows, lambda row: items[row].place(source, groups[row].element, groups[row].at))


def triples(items: Sequence[Item], groups: Sequence[Group], source: Source) -> Array:
    """(n, 3) the CIELAB or XYZ of groups of one element, CIELCh converted to CIELAB. Raises FileProblem."""
    values = values_of(items, groups, TRIPLES[groups[0].element], source)
    if groups[0].element == "ColorCIELCh":
        angle = np.radians(values[:, 2])
        return np.column_stack((values[:, 0], values[:, 1] * np.cos(angle), values[:, 1] * np.sin(angle)))
    return values
