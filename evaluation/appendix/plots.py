"""Figures drawn with matplotlib: vector, readable in greyscale, the same bytes for the same numbers.

Lines differ by dashes and markers before they differ by shade; axes carry their units; nothing is coloured,
since no screen or printer shows the colours of the print that is judged.
"""

import io
import math
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final, Literal

from evaluation.telling.figure import Figure, Line

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure as Canvas

_INK: Final = "#000000"
_RULE: Final = "#bbbbbb"
_SIZE: Final = (6.3, 3.6)  # inches: the width of a column on A4, 16 cm
_SQUARE: Final = (5.2, 5.2)
_PIXELS: Final = 200  # per inch, of a PNG
_MARKERS: Final = ("o", "s", "^", "D", "v", "P", "X", "p")
_DASHES: Final[tuple[Any, ...]] = ("-", (0, (5, 2)), (0, (1, 1.5)), (0, (5, 1.5, 1, 1.5)))
_SHADES: Final = ("#000000", "#555555", "#888888", "#333333")
_STYLE: Final[Any] = {
    "svg.hashsalt": "drydown",  # ids in the SVG follow from the drawing, not from the moment
    "svg.fonttype": "none",  # text stays text: selectable, searchable, set in the page's own type
    "font.family": ["DejaVu Sans"],
    "font.size": 9,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.linewidth": 0.6,
    "axes.unicode_minus": True,
    "axes.titlesize": 9,
    "xtick.major.width": 0.6,
    "ytick.major.width": 0.6,
    "lines.linewidth": 1.0,
    "lines.markersize": 3.6,
    "legend.frameon": False,
    "legend.fontsize": 8.5,
    "figure.constrained_layout.use": True,
}


@lru_cache(maxsize=128)  # a page, its PDF and its files draw the same figures
def svg(figure: Figure) -> str:
    """The figure as SVG, without XML head; the same figure gives the same text."""
    text = _drawn(figure, "svg").decode("utf-8")
    return text[text.index("<svg") :].strip()


def png(figure: Figure) -> bytes:
    """The figure as PNG, 200 pixels an inch, on white."""
    return _drawn(figure, "png")


def _drawn(figure: Figure, form: Literal["svg", "png"]) -> bytes:
    # 0.2 s that only a page with plots needs.
    import matplotlib as mpl
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure as Canvas

    with mpl.rc_context():
        mpl.rcdefaults()  # not the style file of whoever runs this
        mpl.rcParams.update(_STYLE)
        canvas = Canvas(figsize=_size(figure))
        (FigureCanvasSVG if form == "svg" else FigureCanvasAgg)(canvas)
        _draw(canvas, figure)
        into = io.BytesIO()
        metadata = {"Date": None, "Creator": None} if form == "svg" else {"Software": None}
        canvas.savefig(into, format=form, dpi=_PIXELS, transparent=form == "svg", metadata=metadata)
    return into.getvalue()


def _size(figure: Figure) -> tuple[float, float]:
    if figure.row_names:
        return _SIZE[0], 1.0 + 0.28 * len(figure.row_names)
    return _SQUARE if figure.square else _SIZE


def _draw(canvas: "Canvas", figure: Figure) -> None:
    axes = canvas.add_subplot()
    if figure.zero:
        axes.axhline(0, color=_INK, linewidth=0.6, linestyle=(0, (1, 2)))
    shapes = list(
        dict.fromkeys(each.name for each in figure.lines if each.drawn in ("read", "line", "point"))
    )
    named: set[str] = set()
    for series in figure.lines:
        _curve(axes, series, shapes, first=series.name not in named)
        named.add(series.name)
    axes.set_xlabel(figure.x)
    axes.set_ylabel(figure.y)
    axes.margins(0.04)
    if figure.row_names:
        _rows(axes, figure)
    if figure.square:
        axes.set_aspect("equal", adjustable="box")
        axes.autoscale_view()
        axes.autoscale(False)  # the lines of grey must not widen the view
        axes.axhline(0, color=_RULE, linewidth=0.4, zorder=0)
        axes.axvline(0, color=_RULE, linewidth=0.4, zorder=0)
    if len(named) > 1:
        legend = axes.legend(loc="lower left", bbox_to_anchor=(0, 1), ncols=4, borderaxespad=0.3)
        for text in legend.get_texts():
            text.set_parse_math(False)


def _rows(axes: "Axes", figure: Figure) -> None:
    """Named rows from the top down, on a scale of whole numbers."""
    low, high = figure.x_range or axes.get_xlim()
    axes.set_xlim(low, high)
    axes.set_xticks(range(math.ceil(low), math.floor(high) + 1))
    axes.set_yticks(range(len(figure.row_names)), figure.row_names, parse_math=False)
    axes.set_ylim(len(figure.row_names) - 0.5, -0.5)
    axes.tick_params(axis="y", length=0)
    axes.grid(axis="x", color=_RULE, linewidth=0.4)


def _curve(axes: "Axes", series: Line, shapes: list[str], *, first: bool) -> None:
    """One curve; curves of one name share their looks, and only the first of them enters the legend."""
    base = series.name.removesuffix(", not counted")
    index = shapes.index(base) if base in shapes else 0
    marker, shade = _MARKERS[index % len(_MARKERS)], _SHADES[index % len(_SHADES)]
    label = series.name if first else None
    y = series.y
    if series.spread:  # of several opinions in one row, each a little off it, so that all are seen
        y = tuple(row + (index - (len(shapes) - 1) / 2) * 0.24 for row in series.y)
        axes.errorbar(series.x, y, xerr=series.spread, fmt="none", ecolor=shade, elinewidth=0.7)
    match series.drawn:
        case "point":
            face = "none" if index else shade
            axes.plot(
                series.x, y, marker=marker, color=shade, linestyle="none", markerfacecolor=face, label=label,
            )  # fmt: skip
        case "read":
            axes.plot(series.x, series.y, marker=marker, color=shade, label=label)
        case "hollow":
            axes.plot(
                series.x, series.y, marker=marker, color=shade, linestyle="none", markerfacecolor="none",
                label=label,
            )  # fmt: skip
        case "aim":
            axes.plot(series.x, series.y, color=_INK, linestyle=(0, (1, 1.5)), linewidth=0.9, label=label)
        case "line":
            axes.plot(series.x, series.y, color=shade, linestyle=_DASHES[index % len(_DASHES)], label=label)
    if series.label:
        axes.annotate(
            series.label, (series.x[-1], series.y[-1]), textcoords="offset points", xytext=(4, 3), fontsize=8,
            parse_math=False,
        )  # fmt: skip
