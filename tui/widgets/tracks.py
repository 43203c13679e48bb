"""Curves below each other over one axis, each in a track of its own under its name, all to one scale.

Pure text, as the plot: lines in braille, the aim as a dashed line at 0.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from tui.widgets.plot import Axis, Curve, plot

_ZERO: Final = "┄"
LEAST: Final = 3  # rows of a track


@dataclass(frozen=True, slots=True)
class Track:
    """One curve. `name` stands above it; `up` and `down` are what a value above and below 0 means."""

    name: str
    points: Sequence[tuple[float, float]]
    up: str = ""
    down: str = ""


def rows_for(height: int, count: int) -> int:
    """Rows of each of so many tracks in a picture of `height` rows, with names and the axis; 0: no room."""
    each = (height - 2) // count - 1
    return each if each >= LEAST else 0


def tracks(shown: Sequence[Track], x: Axis, y: Axis, width: int, height: int) -> list[str]:
    """Rows of text: for each track its name and `height` rows of `width` cells, then the axis and its ticks.

    `y` is the axis of every track, so that equal heights are equal values.
    """
    found: list[str] = []
    for place, track in enumerate(shown):
        drawn = plot([Curve(track.points)], x, y, width, height)
        left = drawn[0].index("│") + 1
        told = f"{track.name}   + {track.up}, - {track.down}" if track.up else track.name
        field = [row.ljust(left + width) for row in drawn[:height]]
        if y.low < 0 < y.high:
            zero = round((1 - (0 - y.low) / (y.high - y.low)) * (height - 1))
            head, line = field[zero][:left], field[zero][left:]
            field[zero] = head + line.replace(" ", _ZERO)
        found += [" " * left + told, *(row.rstrip() for row in field)]
        if place == len(shown) - 1:
            found += drawn[height:]
    return found
