"""A row of Compare opened: curves laid over each other, numbers beside, facts below. Pure text."""

from collections.abc import Mapping, Sequence

from evaluation.judgement.matrix import By, Matrix, PrintColumn, RegionRow
from evaluation.telling import comparison
from evaluation.telling.figure import Figure as Overlay
from evaluation.telling.paper_and_black import PaperAndBlack, whitener_cell
from tui.screens.compare.lines import cell_words, fitting
from tui.widgets.lines import Line, cell
from tui.widgets.plot import Axis, Curve, plot, ticks, whole_ticks


def opened(
    matrix: Matrix,
    each: RegionRow,
    shown: Sequence[tuple[str, PrintColumn]],
    curve: Overlay | None,
    facts: Mapping[int, PaperAndBlack],
    left: Sequence[str],
    by: By,
    width: int,
    height: int,
) -> list[Line]:
    """A row opened: the curves laid over each other, numbers beside, and a line of facts for each print."""
    ends = [
        _facts(matrix, each, letter, column, facts.get(column.session), by, width) for letter, column in shown
    ]
    heads: Line = ((_facts_head(width), "quiet"),)
    out = [f" Not drawn: {'; '.join(left)}."] if left else []
    tail = [heads, *ends, *[cell(text, width - 1) for text in out]]
    title = f" {each.title}"
    if curve is None:
        return [((title, "strong"),), "", "   No readings that may be shown.", "", *tail][:height]
    head: Line = ((f"{title}   ", "strong"), (f"{curve.title}, {curve.y} over {curve.x}", ""))
    picture = _drawn(curve, width, max(5, height - len(tail) - 4))
    return [head, *picture, "", *tail][:height]


def _drawn(curve: Overlay, width: int, height: int) -> list[Line]:
    points = [point for line in curve.lines for point in line.points]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    low, high = min(ys), max(ys)
    if curve.zero:
        low, high = min(low, 0.0), max(high, 0.0)
    pad = (high - low) * 0.05 or 0.5
    low, high = low - pad, high + pad
    counted = curve.x in ("step", "patch")
    x = Axis(min(xs), max(xs), (whole_ticks if counted else ticks)(min(xs), max(xs), 6))
    y = Axis(low, high, ticks(low, high, 4))
    field = 40 if width < 100 else 60
    lines = [Curve(line.points, line.mark) for line in curve.lines]
    if curve.zero:
        lines.insert(0, Curve(((x.low, 0.0), (x.high, 0.0))))
    picture = plot(lines, x, y, field, height, curve.y)
    column = (picture[0].index("│") if "│" in picture[0] else 8) + field + 3
    beside = _numbers(curve, len(picture), width - column - 1)
    return [f"{cell(text, column)}{beside[k]}" if k < len(beside) else text for k, text in enumerate(picture)]


def _numbers(curve: Overlay, height: int, width: int) -> list[str]:
    """The numbers of the curves; where not all rows fit, evenly chosen ones with first and last."""
    heads, rows = curve.heads, curve.rows
    space = height - 1
    if len(rows) > space:
        rows = tuple(rows[round(k * (len(rows) - 1) / (space - 1))] for k in range(space))
    longest = [max(len(text) for text in column) for column in zip(heads, *rows, strict=True)]
    gap = 2 if sum(longest) + 2 * len(longest) <= width else 1
    return [
        "".join(f"{text:>{size + gap}}" for text, size in zip(parts, longest, strict=True))[:width]
        for parts in (heads, *rows)
    ]


def _facts_head(width: int) -> str:
    return f"     no. {'paper':<{_names(width)}}{'grade':<15}{'D-max':>6}{'range':>7}{'whitener':>10}"


def _facts(
    matrix: Matrix,
    each: RegionRow,
    letter: str,
    column: PrintColumn,
    facts: PaperAndBlack | None,
    by: By,
    width: int,
) -> Line:
    text = cell_words(matrix, each.id, column, by)[0]
    name = comparison.name(matrix, column)
    name = cell(fitting(name, _names(width) - 1), _names(width))
    line = f"  {letter}{column.session:>5} {name}{cell(text, 15)}"
    if facts is None:
        return line
    numbers = [f"{value:.2f}" if value is not None else "-" for value in (facts.dmax, facts.range)]
    whitener = whitener_cell(facts.whitener, " b*")
    return f"{line}{numbers[0]:>6}{numbers[1]:>7}{whitener:>10}  {cell(facts.why, max(0, width - 82))}"


def _names(width: int) -> int:
    return 32 if width < 100 else 48
