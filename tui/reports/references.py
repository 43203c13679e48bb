"""Own reference prints as a report: what is kept and due, drift day by day, and its course as a curve."""

from evaluation.telling import references as words
from evaluation.telling.figure import Figure
from evaluation.work.references.document import told
from evaluation.work.references.references import References
from tui.reports import Block
from tui.widgets.plot import Axis, Curve, plot, ticks, whole_ticks


def report(found: References) -> list[Block]:
    """A page of it."""
    blocks: list[Block] = [*told(found)]
    if found.days:
        blocks += ["", words.table(found.days)]
    if (chart := words.chart(found.days)) is not None:
        blocks += ["", f"{chart.title}, {chart.x}", *_drawn(chart)]
    return blocks


def _drawn(chart: Figure) -> list[str]:
    """The course of each observer's drift; zero is the first look."""
    points = [point for line in chart.lines for point in line.points]
    low, high = chart.y_range or (-1.0, 1.0)
    low, high = min(low, *(y for _, y in points)), max(high, *(y for _, y in points))
    x = Axis(0.0, max(1.0, *(x for x, _ in points)), whole_ticks(0.0, max(1.0, *(x for x, _ in points)), 6))
    y = Axis(low, high, ticks(low, high, 4))
    zero = Curve(((x.low, 0.0), (x.high, 0.0)))
    curves = [Curve(line.points, str(place)) for place, line in enumerate(chart.lines, 1)]
    named = "   ".join(f"{place} {line.name}" for place, line in enumerate(chart.lines, 1))
    return [*plot([zero, *curves], x, y, 50, 9, chart.y), f"  {named}"]
