"""Marks painted strip by strip."""

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from evaluation.sheet.marks import FULL, Mark, Pixels

STRIP_ROWS: Final = 256


def strips(width: int, height: int, marks: Sequence[Mark], rows: int = STRIP_ROWS) -> Iterator[Pixels]:
    """The page from top to bottom as arrays (rows, width, 3), 16 bit; bare paper where there is no mark."""
    waiting = sorted(enumerate(marks), key=lambda item: item[1].box.top)
    begun: list[tuple[int, Mark]] = []
    at = 0
    for top in range(0, height, rows):
        count = min(rows, height - top)
        canvas: Pixels = np.full((count, width, 3), FULL, dtype=np.uint16)
        while at < len(waiting) and waiting[at][1].box.top < top + count:
            begun.append(waiting[at])
            at += 1
        begun = [item for item in begun if item[1].box.top + item[1].box.height > top]
        for _, mark in sorted(begun, key=lambda item: item[0]):
            box = mark.box
            first, last = max(box.top, top), min(box.top + box.height, top + count)
            mark.paint(canvas[first - top : last - top, box.left : box.left + box.width], first - box.top)
        yield canvas
