"""Small multiples: one panel a part, all to one scale, so that they are compared at a glance."""

from typing import Final

from evaluation.appendix.drawing.letters import fitted, width
from evaluation.appendix.drawing.marks import (
    FAINT,
    SIZE,
    SMALL,
    SOFT,
    Drawing,
    Label,
    dot,
    drawing,
    path,
    rule,
)
from evaluation.appendix.drawing.scales import Scale, scale, tick_words
from evaluation.telling.figure import Figure, Line

_LEFT: Final = 20.0  # of a panel, for the ticks of the first column
_RIGHT: Final = 8.0  # for half a number under the last tick
_HEAD: Final = 22.0
_FOOT: Final = 14.0
_APART: Final = 10.0
_HIGH: Final = 96.0  # of a panel's field
_KEY: Final = 14.0
_FEWEST: Final = 150.0  # points across a panel, below which fewer stand side by side
_MOST: Final = 3
_SAMPLE: Final = 16.0  # of a line in the key


def multiples(figure: Figure, wide: float) -> Drawing:
    """The panels of a figure in rows, the key of its lines once, below."""
    across = max(1, min(_MOST, int(wide // _FEWEST)))
    each = (wide - _LEFT - _RIGHT - _APART * (across - 1)) / across
    strokes: list[str] = []
    words = [Label(fitted(figure.y, SMALL, wide / 2), 0, 7, size=SMALL, italic=True, soft=True)]
    for place, panel in enumerate(figure.panels):
        row, column = divmod(place, across)
        left = _LEFT + column * (each + _APART)
        top = _HEAD + row * (_HIGH + _HEAD + _FOOT)
        x = scale((x for line in figure.lines for x in line.x), figure.x_range, left, left + each)
        y = scale((y for line in figure.lines for y in line.y), figure.y_range, top + _HIGH, top)
        words.append(Label(panel, left, top - 5, bold=True))
        _frame(strokes, words, x, y, top + _HIGH, first=column == 0)
        for line in figure.lines:
            if line.label == panel:
                strokes += _drawn(line, x, y)
    rows = -(-len(figure.panels) // across)
    high = 8 + rows * (_HIGH + _HEAD + _FOOT)
    named = fitted(figure.x, SMALL, wide / 4)
    words.append(Label(named, wide, high - 1, "end", SMALL, soft=True, italic=True))
    _key(strokes, words, figure, high + _KEY - 4, wide)
    return drawing(wide, high + _KEY, strokes, words)


def _frame(strokes: list[str], words: list[Label], x: Scale, y: Scale, foot: float, *, first: bool) -> None:
    for value in y.ticks():
        strokes.append(rule(x.start, y(value), x.end, y(value), 0.5, FAINT))
        if first:
            text = tick_words(value, y.step, signed=False)
            words.append(Label(text, x.start - 3, y(value) + 2.3, "end", SMALL, soft=True))
    ticks = x.ticks()
    texts = [tick_words(value, x.step, signed=False) for value in ticks]
    widest = max(width(text, SMALL) for text in texts) + 6
    fit = max(1, round(0.5 + widest * len(ticks) / max(1.0, x.end - x.start)))
    for value, text in list(zip(ticks, texts, strict=True))[::fit]:
        strokes.append(rule(x(value), foot, x(value), foot + 2, 0.5, 0.5))
        words.append(Label(text, x(value), foot + 9, "middle", SMALL, soft=True))


def _drawn(line: Line, x: Scale, y: Scale) -> list[str]:
    points = [(x(across), y(up)) for across, up in line.points]
    if line.drawn == "point":
        return [dot(a, b, 1.1) for a, b in points]
    if line.drawn == "aim":
        return [dot(a, b, 0.8, SOFT / 2) for a, b in points]
    return [path(points, 0.9)]


def _key(strokes: list[str], words: list[Label], figure: Figure, y: float, wide: float) -> None:
    at = _LEFT
    for name, drawn in dict.fromkeys((line.name, line.drawn) for line in figure.lines):
        room = wide - at - _SAMPLE - 4
        if room < 30:
            return
        text = fitted(name, SIZE, min(room, 150.0))
        if drawn == "line":
            strokes.append(rule(at, y - 2.4, at + _SAMPLE, y - 2.4, 0.9))
        else:
            size, strength = (1.1, 1.0) if drawn == "point" else (0.8, SOFT / 2)
            strokes += [dot(at + step * _SAMPLE / 3, y - 2.4, size, strength) for step in range(4)]
        words.append(Label(text, at + _SAMPLE + 4, y))
        at += _SAMPLE + 4 + width(text, SIZE) * 1.24 + 12
