"""The one noun for a plot: its numbers, its axes, how each line is marked, and what it shows.

Cells of a terminal, SVG, PNG and PDF draw it, and its numbers stand beside it as rows of text.
"""

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike

Points = tuple[tuple[float, float], ...]
Drawn = Literal["read", "aim", "hollow", "line", "point"]
Size = Literal["spark", "S", "M", "L"]


@dataclass(frozen=True, slots=True)
class Line:
    """One curve of a figure, in the units of its axes.

    drawn   read: solid line and a marker at each point; aim: dotted, without markers; hollow: open markers
            alone, for readings that do not count; line: without markers, for spectra; point: markers alone
    label   written at the last point, where curves of one name must be told apart
    names   of the single points
    spread  one standard error of each x
    mark    the character that cells draw it with; "" for dots
    told    each x in words, where it stands beside its mark
    """

    name: str
    x: tuple[float, ...]
    y: tuple[float, ...]
    drawn: Drawn = "read"
    label: str = ""
    names: tuple[str, ...] = ()
    spread: tuple[float, ...] = ()
    mark: str = ""
    told: tuple[str, ...] = ()

    @property
    def points(self) -> Points:
        return tuple(zip(self.x, self.y, strict=True))


@dataclass(frozen=True, slots=True)
class Figure:
    """A plot as its numbers.

    x, y        what the axes show, with the unit
    heads, rows  its numbers as text, where the lines alone would not do
    under       marks below the x axis: where eye (E) and instrument (I) separate two steps
    notes       facts that stand beside it, a name and a text each
    alt         what the plot shows, for those who do not see it
    zero        a thin line at y = 0: the aim itself; with `row_names` at x = 0, where two prints are alike
    square      both axes have the same scale
    row_names   names y = 0, 1, 2, ... from the top down, where y is no quantity
    x_range, y_range  what the axes hold at least, so that two figures of a kind can be laid side by side
    band        from zero, what few eyes notice, as a grey ground
    flags       rows that stand out: eye and instrument disagree; with panels "panel: row"
    panels      columns of rows, a print each; `label` of a line names its panel
    size        spark a word's height, in a cell; S one column of three, M half, L the full measure
    caption     what to see, as a sentence
    """

    id: str
    title: str
    x: str
    y: str
    lines: tuple[Line, ...]
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    under: tuple[tuple[float, str], ...] = ()
    notes: tuple[tuple[str, str], ...] = ()
    alt: str = ""
    zero: bool = False
    square: bool = False
    row_names: tuple[str, ...] = ()
    x_range: tuple[float, float] | None = None
    y_range: tuple[float, float] | None = None
    band: float = 0.0
    flags: tuple[str, ...] = ()
    panels: tuple[str, ...] = ()
    size: Size = "M"
    caption: str = ""


def line(name: str, x: ArrayLike, y: ArrayLike, mark: str = "", **more: Any) -> Line:
    """A line through the points that were read; dotted, as an aim is, where it has no mark."""
    across, up = np.asarray(x, float), np.asarray(y, float)
    kept = np.isfinite(across) & np.isfinite(up)
    drawn: Drawn = "read" if mark else "aim"
    return Line(
        name, tuple(across[kept].tolist()), tuple(up[kept].tolist()), mark=mark, **{"drawn": drawn} | more
    )


def at_zero(x: ArrayLike, name: str = "aim") -> Line:
    """The dotted aim at 0, from one end of the points to the other."""
    values = np.asarray(x, float)
    return line(name, [values.min(), values.max()], [0.0, 0.0])
