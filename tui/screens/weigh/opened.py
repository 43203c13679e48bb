"""A region opened in Weigh, as lines: its sentence, its curve or its metrics, possible causes. Pure text."""

from collections.abc import Sequence
from typing import Final

from rich.cells import cell_len

from evaluation.judgement.opinion import Cause, Finding, Opinion
from evaluation.telling.figure import Figure as RegionCurve
from evaluation.telling.metrics import telling
from evaluation.telling.numbers import Rounded
from evaluation.telling.wording import spaced
from tui.widgets.lines import Line, cell, wrapped
from tui.widgets.plot import Axis, Curve, plot, ticks, under, whole_ticks

_NAME: Final = 42  # of a metric, beside its value
_PLACE: Final = 16  # least width of where it was found
_COLUMN: Final = 7  # of the numbers beside a curve
_BESIDE_PLOT: Final = 14  # ticks of its y axis, and gaps


def faults(finding: Finding) -> str:
    return f" Faults: {', '.join(finding.faults)}." if finding.faults else ""


def opened_title(finding: Finding) -> tuple[str, str]:
    """Title and note of an opened row."""
    return finding.title, f"eye {spread(finding.eye)}   inst {spread(finding.instrument)}"


def opened(
    finding: Finding,
    curve: RegionCurve | None,
    causes: Sequence[Cause],
    width: int,
    height: int,
    *,
    coming: bool = False,
) -> list[Line]:
    """A row opened: its sentence whole, its curve with the numbers, the first possible cause where there is
    room. `coming`: a curve is being worked out.
    """
    said: list[Line] = [f" {row}" for row in wrapped(f"{finding.why}{faults(finding)}", width - 2)]
    first = _first_cause(causes, width)
    if curve is None and finding.agreement == "not graded yet":  # there are readings, out of sight
        return said[:height]
    if curve is None and coming:
        lines = said
    elif curve is None:
        numbers = ["", *_metrics(finding, width)] if finding.metrics else []
        lines = [*said, *numbers]
    else:
        tail = first if height - len(said) - len(first) >= 12 else []
        lines = [*said, *_drawn(curve, width, max(5, min(height - len(said) - len(tail) - 4, 24)))]
    return [*lines, "", *first][:height] if len(lines) + 1 + len(first) <= height else lines[:height]


def _drawn(curve: RegionCurve, width: int, height: int) -> list[Line]:
    points = [point for line in curve.lines for point in line.points]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    low, high = min(ys), max(ys)
    pad = (high - low) * 0.05 or 0.5
    if "a" in {line.mark for line in curve.lines} or "h" in {line.mark for line in curve.lines}:
        reach = max(1.0, abs(low), abs(high)) + pad
        low, high, pad = -reach, reach, 0.0
    counted = curve.x in ("step", "patch")
    x = Axis(min(xs), max(xs), (whole_ticks if counted else ticks)(min(xs), max(xs), 6))
    y = Axis(low - pad, high + pad, ticks(low - pad, high + pad, 4))
    table = _COLUMN * len(curve.heads)
    beside_it = width >= _BESIDE_PLOT + 30 + table
    field = min(60, width - _BESIDE_PLOT - table) if beside_it else width - 10
    picture = plot(
        [Curve(line.points, line.mark) for line in curve.lines],
        x,
        y,
        field,
        height,
        cell(curve.y, cell_len(curve.y)),
    )
    left = picture[0].index("│") + 1 if "│" in picture[0] else 8
    if curve.under:
        picture.insert(len(picture) - 1, under(curve.under, x, field, left))
    column = left + field + 4
    beside = _table(curve, height + 2 + bool(curve.under), width - column - 1) if beside_it else []
    lines: list[Line] = []
    for index in range(max(len(picture), len(beside))):
        text = picture[index] if index < len(picture) else ""
        right = beside[index] if index < len(beside) else ""
        lines.append(f"{cell(text, column)}{right}" if right else text)
    legend = ", ".join(f"{line.mark or 'dotted'} {line.name}" for line in curve.lines)
    parted = "; E, I: first step told apart" if curve.under else ""
    told = f"{curve.title[:1].upper()}{curve.title[1:]}, {curve.y} over {curve.x}: {legend}{parted}."
    return [*lines, *(((f" {row}", "quiet"),) for row in wrapped(told, width - 2))]


def _table(curve: RegionCurve, height: int, width: int) -> list[str]:
    """The numbers of the curve; where not all fit, evenly chosen ones with first and last."""
    column = _COLUMN
    room = max(1, height - 1)
    rows = list(curve.rows)
    if len(rows) > room:
        rows = (
            [rows[round(place * (len(rows) - 1) / (room - 1))] for place in range(room)]
            if room > 1
            else rows[:1]
        )
    lines = ["".join(f"{head:>{column}}" for head in curve.heads)]
    lines += ["".join(f"{text:>{column}}" for text in each) for each in rows]
    notes = [f"{name:>{column}}  {text}" for name, text in curve.notes]
    if len(lines) + 1 + len(notes) <= height:
        lines += ["", *notes]
    return [line[:width] for line in lines]


def _metrics(finding: Finding, width: int) -> list[Line]:
    """Every metric by its name: value, unit and place in one row, or its place below."""
    if not finding.metrics:
        return [f"   {row}" for row in wrapped(finding.why, width - 6)]
    unit = max(cell_len(metric.unit) for metric in finding.metrics) + 2
    beside = width - _NAME - unit - 14
    lines: list[Line] = []
    for metric in finding.metrics:
        value = f"{Rounded(metric.value, metric.spread):>8.2f} {cell(metric.unit, unit)}"
        if beside >= _PLACE:
            where, *more = wrapped(metric.where or "", beside) or [""]
            lines.append(f"   {cell(telling(metric.name).name, _NAME)}{value}{where}")
            lines += [f"{'':{_NAME + unit + 12}}{row}" for row in more]
        else:
            *above, last = wrapped(telling(metric.name).name, width - unit - 11)
            lines += [*(f" {row}" for row in above), f" {cell(last, width - unit - 11)}{value}"]
            lines += [((f"   {row}", "quiet"),) for row in wrapped(metric.where or "", width - 4)]
    return lines


def metric_page(finding: Finding, width: int) -> list[Line]:
    """Every metric of a region and every pair of question and metric."""
    lines: list[Line] = ["", *_metrics(finding, width)]
    names_of = min(_NAME + 18, width - 30)
    if finding.pairs:
        lines += ["", ((f"   {cell('question and metric', names_of)}{'eye':>5}{'instr.':>8}", "quiet"),)]
    for pair in finding.pairs:
        names = f"{spaced(pair.question)}, {telling(pair.metric).name}"
        word = "agree" if pair.agree else "DISAGREE"
        lines.append(f"   {cell(names, names_of)}{pair.eye:>5.1f}{pair.instrument:>8.1f}   {word}")
    return lines


def cause_lines(causes: Sequence[Cause], width: int) -> list[Line]:
    """All suspicions, each with what speaks for and against it and what to check first."""
    lines: list[Line] = []
    for place, cause in enumerate(causes, 1):
        named = wrapped(f"Possible cause {place} of {len(causes)}: {cause.text}", width - 2)
        lines += [*([""] if place > 1 else []), *(((f" {row}", "strong"),) for row in named)]
        for word, found in (
            ("for", cause.evidence_for),
            ("against", cause.evidence_against or ("nothing yet",)),
        ):
            for text in found:
                first, *rest = wrapped(text, width - 12)
                lines.append(f" {word:<9}{first}")
                lines += [f"{'':10}{more}" for more in rest]
        check, *more = wrapped(f"{cause.first_check}; {cause.cost}", width - 12)
        lines += [f" {'first':<9}{check}", *(f"{'':10}{row}" for row in more)]
    return lines


def _first_cause(causes: Sequence[Cause], width: int) -> list[Line]:
    if not causes:
        return []
    cause = causes[0]
    text = f"Possible cause 1 of {len(causes)}: {cause.text}. For: {'; '.join(cause.evidence_for)}. "
    text += f"Against: {'; '.join(cause.evidence_against) or 'nothing yet'}. "
    text += f"First check: {cause.first_check}; {cause.cost}."
    return [f" {row}" for row in wrapped(text, width - 2)]


def spread(opinion: Opinion | None) -> str:
    return f"{opinion.grade:.1f} ± {opinion.spread:.1f}" if opinion is not None else "-"
