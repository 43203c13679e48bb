"""Greys and saturated colours of several prints at one scale, and what to see in them."""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final, Literal

from evaluation.plain_text import lower_first
from evaluation.telling.figure import Figure, Line
from evaluation.telling.numbers import minus, number, signed

_BAND: Final = (
    1.0  # CIELAB from the aim, which few eyes notice: project's own choice, as in the figure of a region
)
SPARK: Final = 5.0  # CIELAB up and down in a cell
Named = tuple[str, Figure]  # a print's name, and its figure


def greys(found: Sequence[Named]) -> tuple[str, tuple[Figure, ...]]:
    """A caption and one figure a print: a* and b* of the greys from their aim, over L*."""
    furthest = max(
        (_furthest(name, line) for name, figure in found for line in _counted(figure)), default=None
    )
    most = max((abs(y) for _, figure in found for one in figure.lines for y in one.y), default=0.0)
    reach = 2.0 * math.ceil(max(2.0, most) / 2)
    figures = tuple(
        replace(figure, title=name, x="", y="", y_range=(-reach, reach), size=_size(found))
        for name, figure in found
    )
    caption = "Greys off their aim in a* and b*, over the lightness read; one scale for all, the band is ±1."
    if furthest is None:
        return caption, figures
    off, name, axis, y, x = furthest
    if off <= _BAND:
        return f"{caption} None leaves the band, which few eyes notice.", figures
    return f"{caption} Furthest off: {name}, {axis} {minus(signed(y, 1))} near L* {number(x, 0)}.", figures


def _size(found: Sequence[Named]) -> Literal["S", "M"]:
    """Two share the measure, more stand three in a row."""
    return "M" if len(found) <= 2 else "S"


def _counted(figure: Figure) -> list[Line]:
    return [line for line in figure.lines if line.drawn == "read"]


def _furthest(name: str, line: Line) -> tuple[float, str, str, float, float]:
    x, y = max(line.points, key=lambda point: abs(point[1]))
    return abs(y), name, line.name, y, x


def planes(found: Sequence[Named]) -> tuple[str, tuple[Figure, ...]]:
    """A caption and one figure a print: colour ramps in the plane of a* and b*, aimed and read."""
    reach = math.ceil(
        max((math.hypot(*at) for _, f in found for one in f.lines for at in one.points), default=1)
    )
    reach = 10 * math.ceil(reach / 10)
    figures = tuple(
        replace(figure, title=name, x_range=(-reach, reach), size=_size(found), caption=_short(figure))
        for name, figure in found
    )
    return (
        "Saturation in the plane of a* and b*, one scale for all, rings at 50 and 100: dotted what the file "
        "asks, solid what was printed. Look at how far each line ends before its dots.",
        figures,
    )


def _short(figure: Figure) -> str:
    """How far the ends of the ramps fall short of what the file asks, in chroma."""
    aims = [line for line in figure.lines if line.drawn == "aim"]
    reads = [line for line in figure.lines if line.label]
    short = [
        (math.hypot(*aim.points[-1]) - math.hypot(*read.points[-1]), read.label)
        for aim, read in zip(aims, reads, strict=False)
    ]
    if not short:
        return ""
    mean = sum(by for by, _ in short) / len(short)
    most, name = max(short)
    return f"Ends {number(mean, 0)} short on average, {lower_first(name)} {number(most, 0)}."


def spark(figure: Figure) -> tuple[str, Figure] | None:
    """b* of the greys as words and as a curve of a word's height; None without readings that count."""
    line = next((line for line in _counted(figure) if line.name == "b*"), None)
    if line is None:
        return None
    low, high = (minus(signed(value, 1)) for value in (min(line.y), max(line.y)))
    drawn = Figure(
        id=f"{figure.id}-spark",
        title="b* of the greys",
        x="L*",
        y="b*",
        lines=(replace(line, drawn="line", names=()),),
        alt=f"b* of the greys from its aim, from {low} to {high}.",
        x_range=(0.0, 100.0),
        y_range=(-SPARK, SPARK),
        band=_BAND,
        size="spark",
    )
    return f"{low} to {high}", drawn
