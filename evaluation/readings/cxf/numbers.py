"""From the text of CxF3 elements to numbers: many at once, and one by one only to name a wrong one."""

from collections.abc import Callable, Sequence
from itertools import chain

import numpy as np

from evaluation.errors import FileProblem
from evaluation.plain_text import shortened
from evaluation.readings.cxf.specification import number
from evaluation.readings.run import Array
from evaluation.readings.source import NOTHING_TAKEN

Place = Callable[[int], str]  # the place of a row, for messages


def one_line(text: str) -> str:
    """A list of values separated by single blanks, so that its blanks count its values."""
    text = text.strip()
    if "  " in text or "\n" in text or "\t" in text:
        return " ".join(text.split())
    return text


def table_of_lists(texts: Sequence[str], place: Place) -> Array:
    """(n, m) the values of lists of one line each and of equal length.

    Raises FileProblem for the first list that is empty or holds anything but finite numbers.
    """
    try:
        if all(texts):
            values = np.loadtxt(texts, comments=None, ndmin=2)
            if len(values) == len(texts):
                return _finite(values, place)
    except ValueError:
        pass
    return _one_by_one([text.split() for text in texts], place)


def table_of_cells(rows: Sequence[Sequence[str]], place: Place) -> Array:
    """(n, m) the values of rows of single values. Raises FileProblem as `table_of_lists`."""
    flat = list(chain.from_iterable(rows))
    together = "".join(flat)
    if "_" not in together and together.isascii():
        try:
            return _finite(np.array(list(map(float, flat))).reshape(len(rows), -1), place)
        except ValueError:
            pass
    return _one_by_one(rows, place)


def _finite(values: Array, place: Place) -> Array:
    wrong = np.argwhere(~np.isfinite(values))
    if len(wrong):
        row, column = wrong[0]
        raise _no_numbers(place(int(row)), f"{values[row, column]}")
    return values


def _one_by_one(rows: Sequence[Sequence[str]], place: Place) -> Array:
    found: list[list[float]] = []
    for row, cells in enumerate(rows):
        values = [value for cell in cells if (value := number(cell)) is not None]
        if len(values) < len(cells) or not cells:
            bad = next((cell for cell in cells if number(cell) is None), None)
            raise _no_numbers(place(row), "none" if bad is None else bad.strip() or "an empty element")
        if found and len(values) != len(found[0]):
            raise _no_numbers(place(row), f"{len(values)} values instead of {len(found[0])}")
        found.append(values)
    return np.array(found)


def _no_numbers(where: str, found: str) -> FileProblem:
    return FileProblem(
        NOTHING_TAKEN,
        where=where,
        expected="numbers",
        found=shortened(found),
        remedy="Export the file again, or leave that object out.",
    )
