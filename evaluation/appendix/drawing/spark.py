"""A curve as high as a word, for a cell of a table: its aim, what few eyes notice, and nothing else."""

from typing import Final

from evaluation.appendix.drawing.marks import Drawing, band, drawing, path, rule
from evaluation.appendix.drawing.scales import Scale
from evaluation.telling.figure import Figure

_HIGH: Final = 14.0


def spark(figure: Figure, wide: float) -> Drawing:
    """`x_range` and `y_range` hold for a whole column; what lies beyond them is drawn at the edge."""
    low, high = figure.y_range or (-5.0, 5.0)
    across = Scale(*(figure.x_range or (0.0, 100.0)), 1, wide - 1, 50)
    up = Scale(low, high, _HIGH - 1, 1, 1)
    strokes = [rule(1, up(0), wide - 1, up(0), 0.4, 0.4)]
    if figure.band:
        top = up(figure.band)
        strokes.insert(0, band(1, top, wide - 2, up(-figure.band) - top))
    for line in figure.lines:
        points = [(across(x), up(min(max(y, low), high))) for x, y in line.points]
        strokes.append(path(points, 1.1))
    return drawing(wide, _HIGH, strokes, ())
