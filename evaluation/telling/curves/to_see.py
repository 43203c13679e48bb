"""What there is to see in the figure of a region, as a sentence under it; numbers stand in its alt text."""

import math
from collections.abc import Iterator
from typing import Final

from evaluation.plain_text import lower_first
from evaluation.telling.figure import Figure, Line
from evaluation.telling.numbers import minus, number, signed

_NEAR: Final = 0.5  # L* from the aim, below which a figure of steps shows nothing: project's own choice


def caption(figure: Figure) -> str:
    """One sentence or two; "" for a figure whose title says enough."""
    if figure.square:
        return _in_the_plane(figure)
    if figure.zero and figure.band:
        return _off_the_aim(figure)
    apart = _steps_apart(figure)
    if apart is None:
        return ""
    by, at = apart
    if abs(by) < _NEAR:
        return "What was read lies on the dotted aim."
    way = "above" if by > 0 else "below"
    return (
        f"At L* {number(at, 0)} of the source, what was read lies {number(abs(by), 1)} {way} the dotted aim."
    )


def shows(figure: Figure) -> bool:
    """Whether there is anything to see: steps that lie on their aim are told in words."""
    apart = None if figure.square or figure.zero else _steps_apart(figure)
    return apart is None or abs(apart[0]) >= _NEAR


def furthest(figure: Figure) -> tuple[float, str, float, float] | None:
    """How far the furthest reading that counts lies from zero, on which line, its value, and where."""
    counted = [line for line in figure.lines if line.drawn == "read"]
    found = [(abs(y), line.name, y, x) for line in counted for x, y in line.points]
    return max(found, default=None)


def ends_short(figure: Figure) -> str:
    """How far the ends of the ramps fall short of what the file asks, in chroma; "" without ramps."""
    short = [
        (math.hypot(*aim.points[-1]) - math.hypot(*read.points[-1]), read.label)
        for aim, read in _pairs(figure)
        if read.label
    ]
    if not short:
        return ""
    mean = sum(by for by, _ in short) / len(short)
    most, name = max(short)
    return f"Ends fall short by {number(mean, 0)} on average, {lower_first(name)} by {number(most, 0)}."


def _off_the_aim(figure: Figure) -> str:
    found = furthest(figure)
    if found is None:
        return ""
    off, axis, y, x = found
    band, where = f"±{figure.band:g}", f"L* {number(x, 0)}"
    if off <= figure.band:
        return f"No grey leaves the band of {band}, which few eyes notice."
    return f"Furthest off: {axis} {minus(signed(y, 1))} near {where}. Few eyes notice {band}, the band."


def _in_the_plane(figure: Figure) -> str:
    drawn = "Dotted what the file asks, solid what was printed."
    if short := ends_short(figure):
        return f"{drawn} {short}"
    apart = [
        math.dist(a, b) for aim, read in _pairs(figure) for a, b in zip(aim.points, read.points, strict=False)
    ]
    return f"{drawn} They lie at most {number(max(apart), 1)} apart." if apart else drawn


def _pairs(figure: Figure) -> Iterator[tuple[Line, Line]]:
    """Each aim with what was read of it: they come in one order."""
    aims = [line for line in figure.lines if line.drawn == "aim"]
    reads = [line for line in figure.lines if line.drawn != "aim"]
    yield from zip(aims, reads, strict=False)


def _steps_apart(figure: Figure) -> tuple[float, float] | None:
    """The largest distance of a step from its aim, and where; None where there is none to compare."""
    found = [
        (read_y - aim_y, x)
        for aim, read in _pairs(figure)
        for (x, aim_y), (_, read_y) in zip(aim.points, read.points, strict=False)
    ]
    return max(found, key=lambda each: abs(each[0]), default=None)
