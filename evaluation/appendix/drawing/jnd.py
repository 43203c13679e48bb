"""The ruler of prints side by side: a row a pair, how far it is apart in JND, with its intervals."""

from typing import Final

from evaluation.appendix.drawing.letters import fitted
from evaluation.appendix.drawing.marks import FAINT, SMALL, Drawing, Label, dot, drawing, rule
from evaluation.telling.figure import Figure
from evaluation.telling.jnd_ruler import APART, OTHERS, THESE
from evaluation.telling.numbers import minus

_ROW: Final = 13.5
_HEAD: Final = 16.0
_WIDE: Final = {THESE: 2.2, OTHERS: 0.7}  # of a stroke, points


def jnd(figure: Figure, wide: float) -> Drawing:
    """Zero, where two prints are alike, is a full line; an interval that reaches it tells nothing apart."""
    left, right = 58.0, wide - 112
    low, high = figure.x_range or (-1.0, 4.0)
    bottom = _HEAD + _ROW * len(figure.row_names)

    def across(value: float) -> float:
        return left + (min(max(value, low), high) - low) / (high - low) * (right - left)

    strokes, words = [], []
    for value in range(round(low), round(high) + 1):
        strokes.append(
            rule(across(value), _HEAD - 4, across(value), bottom, 0.5, 1.0 if value == 0 else FAINT)
        )
        words.append(Label(minus(str(value)), across(value), 9, "middle", bold=value == 0))
    words.append(Label("JND", wide - 2, 9, "end", soft=True))
    for index, name in enumerate(figure.row_names):
        middle = _HEAD + _ROW * (index + 0.5)
        strokes.append(rule(0, _HEAD + _ROW * (index + 1), wide, _HEAD + _ROW * (index + 1), 0.4, FAINT))
        words.append(Label(fitted(name, 7.5, left - 8), 0, middle + 2.4))
        told = "too few"
        for line in figure.lines:
            if index not in line.y:
                continue
            place = line.y.index(index)
            if line.name == APART:
                told = line.told[place]
                strokes.append(dot(across(line.x[place]), middle, 2.6))
            else:
                strokes.append(rule(across(line.x[0]), middle, across(line.x[1]), middle, _WIDE[line.name]))
        words.append(Label(told, wide - 2, middle + 2.4, "end"))
    y, x = bottom + 11, left
    for name, stroke in _WIDE.items():
        if any(line.name == name for line in figure.lines):
            strokes.append(rule(x, y - 2.2, x + 12, y - 2.2, stroke))
            words.append(Label(name, x + 16, y, size=SMALL, soft=True))
            x += 94
    return drawing(wide, y + 5, strokes, words)
