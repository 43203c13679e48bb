"""Curves over an axis, each named at its end: names pushed apart, with a hair to the line they left."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.appendix.drawing.letters import fitted, width
from evaluation.appendix.drawing.marks import (
    FAINT,
    SIZE,
    SMALL,
    SOFT,
    XY,
    Drawing,
    Label,
    band,
    dot,
    drawing,
    path,
    ring,
    rule,
    square,
)
from evaluation.appendix.drawing.scales import Scale, pushed, scale, tick_words
from evaluation.telling.figure import Figure, Line

_LEFT: Final = 20.0
_TOP: Final = 16.0
_BARE: Final = 7.0  # above the curves, where the axis has no title
_FOOT: Final = 24.0
_APART: Final = 8.6  # of the baselines of two names
_ONE: Final = 3.2  # curves nowhere further apart share a name
_MOST_NAMED: Final = 6
_DASHES: Final = ("", "3 1.6", "", "5 1.6 1 1.6", "1.6 1.2", "7 2")


@dataclass(frozen=True, slots=True)
class _Name:
    text: str
    end: XY
    points: tuple[XY, ...]
    lead: bool


def curves(figure: Figure, wide: float) -> Drawing:
    names = list(dict.fromkeys(_called(line) for line in _named(figure.lines)))
    room = 8.0
    high = 92.0 if wide < 200 else 120.0 if wide < 300 else 220.0
    top, foot = _TOP if figure.y else _BARE, _FOOT if figure.x else _FOOT - 9
    high = max(high, min(len(names), _MOST_NAMED) * _APART + top + foot + 4)
    up = scale((y for line in figure.lines for y in line.y), figure.y_range, high - foot, top)
    across = _across(figure, wide - room)
    if len(names) > 1:  # first without room for the names, to see which of them are one
        texts = [name.text for name in _ends(figure, names, across, up)]
        room = min(max(width(text, SIZE) for text in texts) * 1.24 + 10, wide * 0.42)
        across = _across(figure, wide - room)
    strokes, words = _frame(figure, across, up, wide, high)
    for line in figure.lines:
        strokes += _curve(line, names, across, up)
    if len(names) > 1:
        for hair, name in _names(_ends(figure, names, across, up), across, up, wide):
            strokes += hair
            words.append(name)
    return drawing(wide, high, strokes, words)


def _across(figure: Figure, end: float) -> Scale:
    return scale((x for line in figure.lines for x in line.x), figure.x_range, _LEFT, end)


def _named(lines: Sequence[Line]) -> Iterator[Line]:
    """Curves that have a name of their own: readings that do not count share that of their curve."""
    yield from (line for line in lines if line.drawn != "hollow" and line.x)


def _called(line: Line) -> str:
    return f"{line.name}" if not line.label or line.label == line.name else line.label


def _frame(
    figure: Figure, across: Scale, up: Scale, wide: float, high: float
) -> tuple[list[str], list[Label]]:
    strokes: list[str] = []
    words = [
        Label(fitted(figure.y, SMALL, wide - 4), 0, 7, size=SMALL, italic=True, soft=True),
        _under(figure.x, across, wide, high),
    ]
    if figure.band:
        top, bottom = up(min(figure.band, up.high)), up(max(-figure.band, up.low))
        strokes.append(band(across.start, top, across.end - across.start, bottom - top))
    for value in up.ticks():
        y = up(value)
        base = abs(value) < up.step / 1e6 and figure.zero
        strokes.append(rule(across.start, y, across.end, y, 0.5, 0.55 if base else FAINT))
        text = tick_words(value, up.step, signed=figure.zero)
        words.append(Label(text, across.start - 3, y + 2.3, "end", SMALL, soft=True))
    ticks = across.ticks()
    widest = max(width(tick_words(each, across.step, signed=False), SMALL) for each in ticks) + 4
    fit = max(1, round(0.5 + widest * len(ticks) / max(1.0, across.end - across.start)))
    for value in ticks[::fit]:
        text = tick_words(value, across.step, signed=False)
        strokes.append(rule(across(value), up.start, across(value), up.start + 2, 0.5, 0.5))
        words.append(Label(text, across(value), up.start + 10.5, "middle", SMALL, soft=True))
    return strokes, [each for each in words if each.text]


def _under(text: str, across: Scale, wide: float, high: float) -> Label:
    """The title of the x axis under its middle, or as near as the figure's sides allow."""
    text = fitted(text, SMALL, wide - 2)
    half = width(text, SMALL) * 0.6
    middle = min(max((across.start + across.end) / 2, half), wide - half) if 2 * half < wide else wide / 2
    return Label(text, middle, high - 2, "middle", SMALL, soft=True, italic=True)


def _curve(line: Line, names: Sequence[str], across: Scale, up: Scale) -> Iterator[str]:
    base = _called(line) if line.drawn != "hollow" else line.name.removesuffix(", not counted")
    kinds = [name for name in names if name != "aim"]
    k = kinds.index(base) if base in kinds else 0
    points = [(across(x), up(y)) for x, y in line.points]
    strength = 1.0 if k < 2 else SOFT
    mark = ring if k % 2 else dot
    if line.drawn == "aim":
        yield path(points, 0.9, "0.8 1.8")
    elif line.drawn == "line":
        yield path(points, 1.2 if k == 0 else 0.9, _DASHES[k % len(_DASHES)], strength)
    elif line.drawn == "read":
        yield path(points, 1.2 if k == 0 else 0.9, _DASHES[k % len(_DASHES)], strength)
        yield from (mark(x, y, 1.3, strength) for x, y in points)
    elif line.drawn == "hollow":
        yield from (square(x, y, 2.8, SOFT) for x, y in points)
    else:
        yield from (mark(x, y, 1.5, strength) for x, y in points)


def _ends(figure: Figure, names: Sequence[str], across: Scale, up: Scale) -> list[_Name]:
    """Every name with the end of its curve; one name for curves that lie on each other."""
    found = []
    for name in names:
        points = [
            (across(x), up(y))
            for line in _named(figure.lines)
            if _called(line) == name
            for x, y in line.points
        ]
        points.sort()
        lead = name == names[0]
        found.append(_Name(name, max(points), tuple(points), lead))
    return _shared(_most_telling(found))


def _names(
    found: Sequence[_Name], across: Scale, up: Scale, wide: float
) -> Iterator[tuple[list[str], Label]]:
    ends = [name.end[1] + 2.4 for name in found]
    places = pushed(ends, _APART, up.end - 2, up.start + 4)
    x = across.end + 8
    for name, wanted, y in zip(found, ends, places, strict=True):
        hair = []
        if abs(y - wanted) > 3 or across.end - name.end[0] > 12:
            hair.append(rule(name.end[0] + 2, name.end[1], x - 1, y - 2.4, 0.3, 0.6))
        yield (
            hair,
            Label(fitted(name.text, SIZE, (wide - x) / (1.24 if name.lead else 1.16)), x, y, bold=name.lead),
        )


def _most_telling(names: list[_Name]) -> list[_Name]:
    """All names, or where there are too many those that lie furthest from the middle of all curves."""
    if len(names) <= _MOST_NAMED:
        return names
    every = [np.asarray(name.points) for name in names]
    at = np.linspace(min(each[0, 0] for each in every), max(each[-1, 0] for each in every), 60)
    laid = np.array([np.interp(at, each[:, 0], each[:, 1]) for each in every])
    off = dict(zip(names, np.abs(laid - np.median(laid, axis=0)).max(axis=1), strict=True))
    order = sorted(names, key=lambda name: -off[name])
    kept = order[: _MOST_NAMED - 1]
    rest = order[_MOST_NAMED - 1 :]
    others = _Name(f"{len(rest)} others", rest[0].end, rest[0].points, False)
    return [*(name for name in names if name in kept), others]


def _shared(names: list[_Name]) -> list[_Name]:
    """Curves that lie on each other share one name."""
    found: list[_Name] = []
    for name in names:
        k = next((k for k, other in enumerate(found) if _together(name.points, other.points)), None)
        if k is None:
            found.append(name)
        else:
            other = found[k]
            found[k] = _Name(f"{other.text}, {name.text}", other.end, other.points, other.lead or name.lead)
    return found


def _together(one: Sequence[XY], other: Sequence[XY]) -> bool:
    """Whether one curve lies within a hair of the other, over the stretch that both have."""
    a, b = np.asarray(one), np.asarray(other)
    low, high = max(a[0, 0], b[0, 0]), min(a[-1, 0], b[-1, 0])
    if high - low < 0.5 * (max(a[-1, 0], b[-1, 0]) - min(a[0, 0], b[0, 0])):
        return False
    at = np.linspace(low, high, 60)
    apart = np.interp(at, a[:, 0], a[:, 1]) - np.interp(at, b[:, 0], b[:, 1])
    return bool(np.abs(apart).max() <= _ONE)
