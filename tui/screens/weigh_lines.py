"""What Weigh shows, as lines: the table with its ruler, the reasons, an opened row. Pure text."""

from collections.abc import Sequence
from typing import Final

from rich.cells import cell_len

from evaluation.judgement.opinion import Cause, Finding, Opinion, Verdict, Weighing
from evaluation.session import for_use
from evaluation.sheet.layout import Sheet
from evaluation.telling.figure import Figure as RegionCurve
from tui.widgets.lines import Line, cell, wrapped
from tui.widgets.plot import Axis, Curve, plot, ticks, under, whole_ticks
from tui.widgets.ruler import HEADING, ruler

_WHY_AT: Final = 81
_COLUMN: Final = 7  # of the numbers beside a curve
_BESIDE_PLOT: Final = 14  # ticks of its y axis, and gaps
NOTE: Final = "E eye, I instrument, B both, 5 imperceptible. Anchors: project's own choice."
OTHERWISE: Final = "Written up with other results than these; v says which, and why they changed."
OWN: Final = "E eye, I instrument, B both, 5 imperceptible. Anchors: some are your own."


def heading(width: int) -> Line:
    text = f"{'':25}eye   instr.   {HEADING}              combined"
    return ((text + (" why" if width > _WHY_AT + 20 else ""), "quiet"),)


def row(finding: Finding, sheet: Sheet, width: int) -> Line:
    """One region: both grades, the ruler, agreement in a word, the combined grade. After the gutter's two."""
    number = next((each.number for each in sheet.regions if each.id == finding.region), None)
    disagree = finding.agreement == "disagree"
    sign = "≠" if disagree else " "
    title = f"{number if number is not None else ' '} {_lower(finding.title)}"
    word = "DISAGREE" if disagree else finding.agreement
    text = (
        f"{sign}{cell(title, 22)}{_grade(finding.eye):>4}{_grade(finding.instrument):>8}   "
        f"{ruler(_value(finding.eye), _value(finding.instrument))}    "
    )
    tail = f"{_grade(finding.combined):>3}"
    why = f"  {cell(finding.why, width - _WHY_AT - 1)}" if width > _WHY_AT + 20 else ""
    return ((text, ""), (cell(word, 15), "strong" if disagree else ""), (tail, ""), (why, "quiet"))


def why_lines(finding: Finding, width: int, rows: int) -> list[Line]:
    """The highlighted row in words."""
    faults = f" Faults: {', '.join(finding.faults)}." if finding.faults else ""
    return [f"   {text}" for text in wrapped(f"{finding.title}. {finding.why}{faults}", width - 6, rows)]


def beside_verdict(caveats: int, causes: int) -> str:
    """What else there is to read, each with its key.

    >>> beside_verdict(6, 1)
    '   6 caveats: v   1 cause: Tab'
    """
    parts = (("caveat", caveats, "v"), ("cause", causes, "Tab"))
    return "".join(f"   {count} {noun}{'s' * (count > 1)}: {key}" for noun, count, key in parts if count)


def verdict_lines(use: str, verdict: Verdict | None, beside: str, width: int) -> list[Line]:
    """The verdict for one use as a sentence, and under it what decides it."""
    if verdict is None:
        return []
    name = for_use(use).capitalize()
    reasons = " ".join(verdict.reasons)
    if verdict.would_decide:
        reasons += f" {verdict.would_decide}"
    return [
        ((f"   {cell(name, 22)}", ""), (verdict.verdict, "strong"), (beside, "quiet")),
        *(f"   {text}" for text in wrapped(reasons, width - 6, 2 if width < 100 else 3)),
    ]


def opened(
    finding: Finding, curve: RegionCurve | None, causes: Sequence[Cause], width: int, room: int
) -> list[Line]:
    """A row opened: its curve with the numbers beside it, its metrics, a suspicion."""
    eye, instrument = _spread(finding.eye), _spread(finding.instrument)
    word = "DISAGREE" if finding.agreement == "disagree" else finding.agreement
    head: Line = (
        (f" {finding.title}   ", "strong"),
        (f"eye {eye}   instrument {instrument}   ", ""),
        (word, "strong" if finding.agreement == "disagree" else ""),
    )
    tail = _suspicion(causes, width) if causes else _why(finding, width)
    if curve is None and finding.agreement == "not graded yet":  # there are readings, out of sight
        return [head, "", *_why(finding, width)][:room]
    if curve is None:
        numbers = ["", *_metrics(finding, width)] if finding.metrics or causes else []
        return [head, *numbers, "", *tail][:room]
    height = max(5, room - 1 - 3 - len(tail) - 1)
    drawn = _drawn(curve, width, height)
    return [head, *drawn, *tail][:room]


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
    field = min(40 if width < 100 else 48, width - _BESIDE_PLOT - _COLUMN * len(curve.heads))
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
    beside = _table(curve, height + 2 + bool(curve.under), width - column - 1)
    lines: list[Line] = []
    for index in range(max(len(picture), len(beside))):
        text = picture[index] if index < len(picture) else ""
        right = beside[index] if index < len(beside) else ""
        lines.append(f"{cell(text, column)}{right}" if right else text)
    legend = ", ".join(f"{line.mark or 'dotted'} {line.name}" for line in curve.lines)
    parted = "; E, I: first step told apart" if curve.under else ""
    return [
        *lines,
        (
            (
                f" {curve.title[:1].upper()}{curve.title[1:]}, {curve.y} over {curve.x}: {legend}{parted}.",
                "quiet",
            ),
        ),
    ]


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
    if not finding.metrics:
        return [f"   {row}" for row in wrapped(finding.why, width - 6)]
    unit = max(len(metric.unit) for metric in finding.metrics) + 2
    return [
        f"   {cell(metric.name.replace('_', ' '), 26)}{metric.value:>8.2f} {cell(metric.unit, unit)}"
        f"{cell(metric.where or '', max(0, width - 40 - unit))}"
        for metric in finding.metrics
    ]


def metric_page(finding: Finding, width: int) -> list[Line]:
    """Every metric of a region and every pair of question and metric."""
    lines: list[Line] = ["", *_metrics(finding, width)]
    if finding.pairs:
        lines += ["", (("   question and metric        eye   instr.", "quiet"),)]
    for pair in finding.pairs:
        names = f"{pair.question.replace('_', ' ')}, {pair.metric.replace('_', ' ')}"
        word = "agree" if pair.agree else "DISAGREE"
        lines.append(f"   {cell(names, 40)}{pair.eye:>5.1f}{pair.instrument:>8.1f}   {word}")
    return lines


def cause_lines(causes: Sequence[Cause], width: int) -> list[Line]:
    """All suspicions, each with what speaks for and against it and what to check first."""
    lines: list[Line] = []
    for place, cause in enumerate(causes, 1):
        first, *rest = wrapped(f"May be, {place} of {len(causes)}: {cause.text}", width - 6)
        lines += ["", ((f"   {first}", "strong"),), *(((f"   {more}", "strong"),) for more in rest)]
        for word, found in (
            ("for", cause.evidence_for),
            ("against", cause.evidence_against or ("nothing yet",)),
        ):
            for text in found:
                first, *rest = wrapped(text, width - 18)
                lines.append(f"   {word:<10}{first}")
                lines += [f"{'':13}{more}" for more in rest]
        check, *more = wrapped(f"{cause.first_check}; {cause.cost}", width - 16)
        lines += [f"   {'first':<10}{check}", *(f"{'':13}{row}" for row in more)]
    return lines


def _suspicion(causes: Sequence[Cause], width: int) -> list[Line]:
    cause = causes[0]
    text = f"May be: {cause.text} (1 of {len(causes)}). For: {'; '.join(cause.evidence_for)}. "
    text += f"Against: {'; '.join(cause.evidence_against) or 'nothing yet'}. "
    text += f"First: {cause.first_check}; {cause.cost}."
    return [f" {row}" for row in wrapped(text, width - 2, 3)]


def _why(finding: Finding, width: int) -> list[Line]:
    return [f" {row}" for row in wrapped(finding.why, width - 2, 3)]


def as_text(weighing: Weighing, caveats: Sequence[str], sheet: Sheet, use: str, title: str) -> str:
    """The whole table with reasons and verdict, for copying."""
    from tui.widgets.lines import text_of

    rows = [title, "", text_of(heading(80))]
    for finding in weighing.findings:
        rows += [f"  {text_of(row(finding, sheet, 80))}", f"      {finding.why}"]
    rows += ["", *(text_of(line) for line in verdict_lines(use, weighing.verdicts.get(use), "", 200))]
    rows += ["", *(f"   {caveat}" for caveat in caveats)]
    return "\n".join(line.rstrip() for line in rows) + "\n"


def _grade(opinion: Opinion | None) -> str:
    return f"{opinion.grade:.1f}" if opinion is not None else "-"


def _value(opinion: Opinion | None) -> float | None:
    return opinion.grade if opinion is not None else None


def _spread(opinion: Opinion | None) -> str:
    return f"{opinion.grade:.1f} ± {opinion.spread:.1f}" if opinion is not None else "-"


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
