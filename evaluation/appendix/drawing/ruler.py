"""The ruler: grades of eye and instrument on one scale from 1 to 5, a row a region."""

from collections.abc import Callable, Iterator
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
    rule,
    square,
)
from evaluation.session import GRADE_WORDS
from evaluation.telling.figure import Figure, Line

_ROW: Final = 13.5
_CELLS_HEAD: Final = 22.0
_CELL: Final = 12.0  # a row of cells
_NAMED: Final = 80.0  # points of a column, below which its print goes by number
_BOLD: Final = 1.22  # of bold letters in another face, that is 15 per cent wider
_HEAD: Final = 26.0
_OFF: Final = 2.4  # of each opinion from the middle of its row


def ruler(figure: Figure, wide: float) -> Drawing:
    """`wide` below 300 pt: names stand above their rows, for a phone."""
    narrow = wide < 300
    row = 2 * _ROW if narrow else _ROW
    left, right = (12.0, wide - 112) if narrow else (112.0, wide - 108)
    low, high = figure.x_range or (1.0, 5.0)
    bottom = _HEAD + row * len(figure.row_names)

    def across(grade: float) -> float:
        return left + (min(max(grade, low), high) - low) / (high - low) * (right - left)

    strokes, words = [], []
    for value in range(round(low), round(high) + 1):
        strokes.append(rule(across(value), _HEAD - 4, across(value), bottom, 0.5, FAINT))
        words.append(Label(str(value), across(value), 9, "middle", bold=True))
        if not narrow:
            name = GRADE_WORDS[value].removesuffix(", but not annoying")
            words.append(Label(name, across(value), 18, "middle", SMALL, soft=True))
    ends = [wide - 2 - 54 * (len(figure.lines) - 1 - k) for k in range(len(figure.lines))]
    for k, line in enumerate(figure.lines):
        words.append(Label(line.name, ends[k], 9, "end", soft=k > 0))
    for index, name in enumerate(figure.row_names):
        middle = _HEAD + row * (index + (0.72 if narrow else 0.5))
        strokes.append(rule(0, _HEAD + row * (index + 1), wide, _HEAD + row * (index + 1), 0.4, FAINT))
        flagged = name in figure.flags
        base = middle - _ROW * 0.72 if narrow else middle + 2.4
        words.append(Label(fitted(name, 7.5, wide * 0.9 if narrow else 104), 0, base, bold=flagged))
        if flagged:
            words.append(Label("≠", across(low) + 6, middle + 2.4, "middle", bold=True, flag=True))
        for k, line in enumerate(figure.lines):
            strokes += _opinion(line, k, index, middle, across)
            told = next((text for text, y in zip(line.told, line.y, strict=False) if y == index), "–")
            words.append(Label(told, ends[k], middle + 2.4, "end", soft=k > 0))
    legend_strokes, legend = _legend(figure, bottom + 11, left)
    return drawing(wide, bottom + 16, (*strokes, *legend_strokes), (*words, *legend))


def _opinion(line: Line, k: int, row: int, middle: float, across: Callable[[float], float]) -> Iterator[str]:
    y = middle + (_OFF if k else -_OFF)
    for n, at in enumerate(line.y):
        if at != row:
            continue
        grade, spread = line.x[n], line.spread[n] if line.spread else 0.0
        strength = SOFT if k else 1.0
        if spread:
            yield rule(across(grade - spread), y, across(grade + spread), y, 0.9 if k else 1.3, strength)
        yield square(across(grade), y, 4.2, strength) if k else dot(across(grade), y, 2.3)


def _legend(figure: Figure, y: float, left: float) -> tuple[list[str], list[Label]]:
    strokes: list[str] = []
    words: list[Label] = []
    x = left
    for line in figure.lines:
        second = line.name != "eye"
        strokes.append(square(x + 2, y - 2.2, 4.2, SOFT) if second else dot(x + 2, y - 2.2, 2.3))
        words.append(Label(line.name, x + 7, y, size=SMALL, soft=second))
        x += 48 if second else 24
    strokes.append(rule(x + 2, y - 2.2, x + 14, y - 2.2, 1.3))
    words.append(Label("± one standard error, cut at 5", x + 18, y, size=SMALL, soft=True))
    return strokes, words


def cells(figure: Figure, wide: float) -> Drawing:
    """One narrow ruler a cell: prints as columns, regions as rows, eye and instrument in each."""
    narrow = wide < 300
    left = 84.0 if narrow else 100.0
    column = (wide - left) / max(1, len(figure.panels))
    inner = column - (8 if narrow else 16)
    bottom = _CELLS_HEAD + _CELL * len(figure.row_names)
    strokes, words = [], []
    for k, panel in enumerate(figure.panels):
        middle = left + column * (k + 0.5)
        name, _, more = panel.partition(", ")
        if column < _NAMED:  # the number alone: the verdicts above say of which paper
            name, more = name.partition(" ")[0], ""
        size = next((each for each in (SIZE, SMALL) if width(name, each) * _BOLD <= column), 6.5)
        words.append(Label(fitted(name, size, column / _BOLD), middle, 9, "middle", size, bold=True))
        if more:
            words.append(Label(fitted(more, SMALL, column / 1.16), middle, 18, "middle", SMALL, soft=True))
        for tick in (1, 3, 5):
            x = middle + (tick - 3) / 4 * inner
            words.append(Label(str(tick), x, bottom + 7, "middle", 6, soft=True))
    for index, name in enumerate(figure.row_names):
        middle = _CELLS_HEAD + _CELL * (index + 0.5)
        words.append(Label(fitted(name, 7.5, left - 6), 0, middle + 2.4))
        for k, panel in enumerate(figure.panels):
            start = left + column * (k + 0.5) - inner / 2
            found = [line for line in figure.lines if line.label == panel and index in line.y]
            if not found:
                words.append(
                    Label("not judged", start + inner / 2, middle + 2.2, "middle", 6, soft=True, italic=True)
                )
                continue
            strokes.append(rule(start, middle, start + inner, middle, 0.4, 0.35))
            strokes += [
                rule(start + inner * n / 4, middle - 2, start + inner * n / 4, middle + 2, 0.4, 0.35)
                for n in range(5)
            ]
            places = {line.name: line.x[line.y.index(index)] for line in found}
            for who, value in sorted(places.items(), key=lambda each: each[0] == "eye"):
                x = start + (min(max(value, 1), 5) - 1) / 4 * inner
                strokes.append(dot(x, middle, 2.1) if who == "eye" else square(x, middle, 5, SOFT))
            if f"{panel}: {name}" in figure.flags:
                apart = sum(places.values()) / len(places)
                x = start + (apart - 1) / 4 * inner
                words.append(Label("≠", x, middle - 3, "middle", bold=True, flag=True))
    y = bottom + 17
    strokes += [dot(2.3, y - 2.2, 2.1), square(30, y - 2.2, 5, SOFT)]
    words += [Label("eye", 7, y, size=SMALL), Label("instrument", 35, y, size=SMALL, soft=True)]
    return drawing(wide, y + 4, strokes, words)
