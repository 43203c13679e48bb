"""Curves in cells: characters are the markers, dots draw what is only aimed at; numbers stand beside.

Pure text, so that a curve means the same without colour, in a file and over a slow line.
"""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

BOTH: Final = "*"
_BRAILLE: Final = 0x2800
# Bits of a braille cell by column and row from the top.
_BITS: Final = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))


@dataclass(frozen=True, slots=True)
class Curve:
    """Points of one curve. `mark` is the character it is drawn with; "" draws dots from point to point."""

    points: Sequence[tuple[float, float]]
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Axis:
    """An axis from `low` to `high`; `ticks` are (value, text)."""

    low: float
    high: float
    ticks: tuple[tuple[float, str], ...] = ()


def plot(curves: Sequence[Curve], x: Axis, y: Axis, width: int, height: int, title: str = "") -> list[str]:
    """Rows of text: the field is `width` x `height` cells, plus its axis on the left and below, and x ticks.

    Curves with marks cover dotted ones; where two marks meet stands `*`.
    """
    field = _dots([curve for curve in curves if not curve.mark], x, y, width, height)
    for curve in curves:
        if curve.mark:
            _marks(field, curve, x, y, width, height)
    margin = max([len(text) for _, text in y.ticks] + [len(title), 1])
    labels = {_row(value, y, height): text for value, text in y.ticks}
    rows = []
    for row in range(height):
        label = labels.get(row, "")
        if row == 0 and title:
            label = f"{title} {label}" if label else title
        rows.append(f"{label:>{margin + (len(title) + 1 if title else 0)}} │{''.join(field[row])}".rstrip())
    left = margin + (len(title) + 1 if title else 0)
    rows.append(" " * left + " └" + "─" * width)
    rows.append(_ticks(x, width, left + 2))
    return rows


def under(marks: Sequence[tuple[float, str]], x: Axis, width: int, left: int) -> str:
    """A row of characters under the axis, each at its x; two at one place become B (both)."""
    cells = [" "] * width
    for value, mark in marks:
        column = _column(value, x, width)
        cells[column] = mark if cells[column] == " " else "B"
    return (" " * left + "".join(cells)).rstrip()


def nice(low: float, high: float, most: int = 4) -> tuple[float, ...]:
    """Round values inside a range, at most `most` of them, for ticks."""
    span = high - low
    if not math.isfinite(span) or span <= 0:
        return (low,)
    raw = span / max(1, most)
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(factor * power for factor in (1, 2, 2.5, 5, 10) if factor * power >= raw)
    first = math.ceil(low / step - 1e-9) * step
    count = int((high - first) / step + 1e-9) + 1
    return tuple(round(first + index * step, 10) for index in range(count))


def ticks(low: float, high: float, most: int = 4) -> tuple[tuple[float, str], ...]:
    return tuple((value, f"{value:g}") for value in nice(low, high, most))


def whole_ticks(low: float, high: float, most: int = 6) -> tuple[tuple[float, str], ...]:
    """Ticks for things that are counted: the first, then round numbers."""
    first, last = math.ceil(low), math.floor(high)
    step = next(
        (each for each in (1, 2, 4, 5, 10, 20, 25, 50, 100, 200) if (last - first) / each <= most), 500
    )
    values = [first, *(value for value in range(0, last + 1, step) if value - first >= max(1, step // 2))]
    return tuple((float(value), str(value)) for value in values)


def _column(value: float, axis: Axis, width: int) -> int:
    share = (value - axis.low) / ((axis.high - axis.low) or 1.0)
    return max(0, min(width - 1, round(share * (width - 1))))


def _row(value: float, axis: Axis, height: int) -> int:
    share = (value - axis.low) / ((axis.high - axis.low) or 1.0)
    return max(0, min(height - 1, round((1.0 - share) * (height - 1))))


def _fine_column(value: float, axis: Axis, width: int) -> int:
    """Half cells from the left; a value stands in the middle of the cell its mark would have."""
    share = (value - axis.low) / ((axis.high - axis.low) or 1.0)
    return max(0, min(width * 2 - 1, int(share * (width - 1) * 2 + 0.5)))


def _fine_row(value: float, axis: Axis, height: int) -> int:
    """Quarters of cells from the top, likewise."""
    share = (value - axis.low) / ((axis.high - axis.low) or 1.0)
    return max(0, min(height * 4 - 1, int((1.0 - share) * (height - 1) * 4 + 1.5)))


def _dots(curves: Sequence[Curve], x: Axis, y: Axis, width: int, height: int) -> list[list[str]]:
    bits = [[0] * width for _ in range(height)]
    for curve in curves:
        places = [
            (_fine_column(px, x, width), _fine_row(py, y, height))
            for px, py in curve.points
            if math.isfinite(px) and math.isfinite(py)
        ]
        for (left, top), (right, bottom) in itertools.pairwise(places):
            steps = max(abs(right - left), abs(bottom - top), 1)
            for step in range(steps + 1):
                column = round(left + (right - left) * step / steps)
                row = round(top + (bottom - top) * step / steps)
                bits[row // 4][column // 2] |= _BITS[column % 2][row % 4]
    return [[chr(_BRAILLE + cell) if cell else " " for cell in row] for row in bits]


def _marks(field: list[list[str]], curve: Curve, x: Axis, y: Axis, width: int, height: int) -> None:
    for px, py in curve.points:
        if not (math.isfinite(px) and math.isfinite(py)):
            continue
        row, column = _row(py, y, height), _column(px, x, width)
        there = field[row][column]
        taken = there.isascii() and there not in (" ", curve.mark)
        field[row][column] = BOTH if taken else curve.mark


def _ticks(axis: Axis, width: int, left: int) -> str:
    cells = [" "] * (left + width + 8)
    free = 0
    for value, text in axis.ticks:
        start = left + _column(value, axis, width) - len(text) // 2
        if start < free:
            continue
        for offset, char in enumerate(text):
            if 0 <= start + offset < len(cells):
                cells[start + offset] = char
        free = start + len(text) + 1
    return "".join(cells).rstrip()
