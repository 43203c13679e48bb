"""What the neutrality record shows, as lines: a curve of letters, the facts beside it, sentences below."""

from collections.abc import Sequence
from itertools import zip_longest
from typing import Final

from rich.cells import cell_len

from evaluation.judgement.greys import NeutralityRecord, UnderLight
from evaluation.plain_text import capital
from evaluation.telling.figure import Figure as RegionCurve
from evaluation.telling.neutrality import curves, side_by_side, tables, values
from evaluation.telling.neutrality.prints import Greys, Neutrality
from evaluation.telling.numbers import signed
from tui.screens.tools.report_lines import table_lines
from tui.widgets.lines import Line, cell, wrapped
from tui.widgets.plot import Axis, Curve, plot, ticks
from tui.widgets.tracks import Track, rows_for, tracks

_NARROW: Final = 38  # cells of the field on a screen of 80 columns
_WIDE: Final = 62
_FACT_AT: Final = 12  # column of the words beside the name of a fact
_MARGIN: Final = 5  # cells before the axis: room for "-2.5 "
_LEAST_REACH: Final = 1.0  # a*, b* of 1 fill the field at least: noise does not look like a cast
_MOST_SAID: Final = 5
# What stands in a track of its own: by its mark, what is above and what is below 0 (CIE 1976 a*, b*).
_TRACKS: Final = {"a": ("red", "green"), "b": ("yellow", "blue")}


def title(greys: Greys) -> str:
    paper = greys.session.condition.paper or "no paper named"
    return f"Neutrality, {paper}, session {greys.id}, against {greys.against}"


def drawn(
    found: Neutrality, greys: Greys, curve: RegionCurve, first: bool, width: int, room: int
) -> list[Line]:
    """The curve with what stands beside it, and the sentences: `room` lines for a screen of `width`.

    Beside the first curve stand the facts of the record, beside the others their numbers.
    """
    said = sentences(found, greys, width)
    height = max(5, room - len(said) - 4)  # two lines of axis, an empty one above and below the field
    picture = _picture(curve, width, height)
    left = picture[-2].index("└") + 1 + (_WIDE if width >= 118 else _NARROW) + 1
    beside = facts(greys, width - left, height + 2) if first else _numbers(curve, width - left, height + 2)
    lines: list[Line] = [""]
    for text, fact in zip_longest(picture, beside, fillvalue=""):
        lines.append(f"{cell(text, left)}{fact}".rstrip())
    return [*lines, "", *said][:room]


def legend(greys: Greys, curve: RegionCurve, width: int) -> str:
    """Which character is what, and how it was read, as far as a line holds it."""
    if tracked(curve):
        told = curve.title if curve.title.startswith("a*") else capital(curve.title)
        return _longer(f"{told}, paper at the right.", greys, width)
    marked = [line for line in curve.lines if line.mark]
    marks = ", ".join(line.name if line.name.startswith(line.mark + " ") else line.mark for line in marked)
    both = "; * both" if len(marked) == 2 else "; * where they meet" if len(marked) > 2 else ""
    said = f"{marks}: {curve.title}{both}."
    return _longer(said, greys, width)


def _longer(said: str, greys: Greys, width: int) -> str:
    longer = f"{said} {values.read_how(greys)[:1].upper()}{values.read_how(greys)[1:]}."
    return longer if cell_len(longer) <= width - 2 else said


def sentences(found: Neutrality, greys: Greys, width: int) -> list[Line]:
    """The modes side by side, quotable; a single print in its own sentence."""
    text = found.quote or greys.sentence
    if found.caveats and len(text) < 2 * width:
        count = len(found.caveats)
        text += f" With it {'goes one caveat' if count == 1 else f'go {count} caveats'}: Enter lists what."
    return [f"   {row}" for row in wrapped(text, width - 6, _MOST_SAID)]


def facts(greys: Greys, width: int, room: int) -> list[str]:
    """The record in words and numbers, the most important first; what does not fit is behind Enter."""
    record = greys.record
    assert record is not None
    wide = width >= 42
    rows = [part for row in (*_thirds(record, wide), *_whole(greys, wide)) for part in _whole_row(row, width)]
    under = _lights(record, width)
    more = [] if not wide else [*_ring(record), *_drying(record)]
    while len(under) > 2 and len(rows) + len(under) > room:  # the lamps that shift least give way
        del under[-2]
    gap = [""] if len(rows) + 1 + len(under) <= room else []
    rows += [*gap, *under]
    if more and len(rows) + 1 + len(more) <= room:
        rows += ["", *more]
    return [cell(row, width).rstrip() for row in rows[:room]]


def _whole_row(row: str, width: int) -> list[str]:
    """A row of a name and words, going on below where it is too long."""
    if cell_len(row) <= width:
        return [row]
    first, *rest = wrapped(row[_FACT_AT:], width - _FACT_AT)
    return [row[:_FACT_AT] + first, *(" " * _FACT_AT + part for part in rest)]


def nothing(found: Neutrality, greys: Greys, width: int) -> list[Line]:
    """Why there is no curve, and what makes one."""
    lines: list[Line] = ["", *(f"   {row}" for row in wrapped(greys.why, width - 6))]
    remedy = (
        "Grade it in Look; or Enter shows its readings now, which is recorded."
        if greys.hidden
        else "Read its neutral scale with g 4."
    )
    lines += ["", f"   {remedy}"]
    if found.quote:
        lines += ["", *(f"   {row}" for row in wrapped(found.quote, width - 6))]
    return lines


def steps_page(found: Neutrality, greys: Greys, width: int) -> list[Line]:
    """All numbers: the steps first, then every other table, modes side by side, the caveats."""
    lines: list[Line] = ["", *(f"   {row}" for row in wrapped(greys.sentence, width - 6))]
    for table in tables.of_print(greys):
        lines += ["", *table_lines(table, width)]
    if len(found.known) > 1:
        lines += ["", *table_lines(side_by_side.side_by_side(found), width)]
        said = [found.quote, *side_by_side.in_words(found)]
        lines += [f"   {row}" for words in said for row in wrapped(words, width - 6)]
        for curve in curves.laid_over(found):
            lines += ["", *table_lines(curves.as_table(curve), width)]
    if found.caveats:
        lines += ["", (("   What limits this", "strong"),)]
        lines += [f"   {row}" for caveat in found.caveats for row in wrapped(caveat, width - 6)]
    return lines


def _picture(curve: RegionCurve, width: int, height: int) -> list[str]:
    low, high = _around([y for line in curve.lines for _, y in line.points])
    x = Axis(0.0, 100.0, ((0.0, "0"), (25.0, "25"), (50.0, "50"), (75.0, "75"), (100.0, "L*")))
    texts = tuple(
        (value, f"{value:+g}" if low < 0 and value else f"{value:g}") for value, _ in ticks(low, high, 5)
    )
    field = _WIDE if width >= 118 else _NARROW
    y = Axis(low, high, texts)
    each = rows_for(height + 2, len(_TRACKS))
    if tracked(curve) and each:
        named = {line.mark: line.points for line in curve.lines if line.mark}
        shown = [Track(f"{mark}*", named[mark], *words) for mark, words in _TRACKS.items()]
        picture = tracks(shown, x, Axis(low, high, _three(low, high)), field, each)
    else:
        # A line through each, and its character at every step.
        lines = [Curve(line.points) for line in curve.lines]
        lines += [Curve(line.points, line.mark) for line in curve.lines if line.mark]
        picture = plot(lines, x, y, field, height)
    pad = max(0, _MARGIN - picture[-2].index("└"))  # the field stays where it is from curve to curve
    return [" " * pad + row for row in picture]


def tracked(curve: RegionCurve) -> bool:
    """Whether it shows a* and b* of one print, which stand below each other."""
    return {line.mark for line in curve.lines if line.mark} == _TRACKS.keys()


def _three(low: float, high: float) -> tuple[tuple[float, str], ...]:
    """Both ends and 0, for a track of few rows."""
    return tuple((value, f"{value:+.1f}" if value else "0") for value in (low, 0.0, high))


def _around(ys: Sequence[float]) -> tuple[float, float]:
    """As far to both sides where the values lie around 0; else what they span."""
    low, high = min(ys), max(ys)
    if low >= 0 or high <= 0:
        pad = 0.08 * max(high - low, _LEAST_REACH)
        return min(low, 0.0) - pad * (low < 0), max(high, 0.0) + pad * (high > 0)
    reach = max(_LEAST_REACH, abs(low), abs(high)) * 1.08
    return -reach, reach


def _numbers(curve: RegionCurve, width: int, room: int) -> list[str]:
    """The numbers of a curve; where not all rows fit, evenly chosen ones with first and last."""
    column = max(6, max(len(head) for head in curve.heads) + 2)
    rows = list(curve.rows)
    if len(rows) > room - 1:
        rows = [rows[round(k * (len(rows) - 1) / (room - 2))] for k in range(room - 1)]
    return ["".join(f"{text:>{column}}" for text in row)[:width] for row in (curve.heads, *rows)]


def _thirds(record: NeutralityRecord, wide: bool) -> list[str]:
    room = 17 if wide else 12
    rows = [f"{'dCh':<12}{'cast':<{room}}mean  p95" + ("  dE00" if wide else "")]
    for name in tables.THIRDS:
        third = record.thirds.get(name)
        if third is None:
            rows.append(f"{name:<12}-")
            continue
        de00 = f"{third.de00:>6.1f}" if wide else ""
        cast = cell(values.cast(third), room)
        rows.append(f"{name:<12}{cast}{third.dch_mean:>4.1f} {third.dch_p95:>4.1f}{de00}")
    return rows


def _whole(greys: Greys, wide: bool) -> list[str]:
    record = greys.record
    assert record is not None
    rows = []
    if greys.toning is not None:
        rows.append(f"{'wanted':<12}{greys.toning.family}, {greys.toning.held}")
    rows.append(f"{'crossover':<12}{values.crossover(record)}")
    rows.append(f"{'tone':<12}{values.evenness(record)}")
    if record.black is not None:
        black = record.black
        rows.append(
            f"{'black':<12}L* {black.L:.1f}, D {black.d_max:.2f}"
            + (f", range {black.d_range:.2f}" if wide else "")
        )
        low, high = black.effective
        seen = f"D {low:.2f}, 0.5 %; {high:.2f}, 1 %" if wide else f"D {low:.2f}"
        rows.append(f"{'in flare':<12}{seen} (unconfirmed)")
        if black.darkest:
            rows.append(f"{'darkest':<12}{black.darkest}")
    if (middle := record.flatness.get("middle")) is not None:
        rows.append(f"{'flatness':<12}{values.flatness(middle)}")
    return rows


def _lights(record: NeutralityRecord, width: int) -> list[str]:
    if record.worst_light is None:
        return ["no spectra: nothing of other lights"]
    by_size = sorted(record.lights.values(), key=lambda row: -row.largest)
    told, stress = (
        [_light(row, record.worst_light) for row in by_size if row.stress is apart] for apart in (False, True)
    )
    rows = [cell(f"shift in dCh, worst under {record.worst_light}", width).rstrip()]
    rows += [f"  {row}" for row in _packed(told, width - 2)]
    return rows + [f"  {row}" for row in _packed(["stress", *stress] if stress else [], width - 2)]


def _light(row: UnderLight, worst: str | None) -> str:
    """A light and its shift; the worst with its spread, by reading again and by the choice of adaptation."""
    if row.light != worst:
        return f"{row.light} {row.largest:.1f}"
    return f"{row.light} {row.largest:.2f}±{max(row.spread.both, 0.01):.2f}"


def _packed(words: Sequence[str], width: int) -> list[str]:
    """Words in as few lines as they fit, none broken."""
    rows: list[str] = []
    for word in words:
        if rows and cell_len(rows[-1]) + 2 + cell_len(word) <= width:
            rows[-1] += f"  {word}"
        else:
            rows.append(cell(word, width).rstrip() if cell_len(word) > width else word)
    return rows


def _ring(record: NeutralityRecord) -> list[str]:
    if record.colourless:
        return ["ring        left out, no colour in this mode"]
    if not record.rings:
        return []
    rows = ["ring, off the aim      eye a* b*     print a* b*"]
    for one in record.rings:
        eye = " ".join(f"{signed(v, 1):>5}" for v in one.eye) if one.eye else "-"
        print_ = " ".join(f"{signed(v, 1):>5}" for v in one.centre) if one.centre else "-"
        group = f"{one.group}, other light" if one.light else one.group
        rows.append(f"  {cell(group, 19)}{eye:>11}    {print_:>11}")
    return rows


def _drying(record: NeutralityRecord) -> list[str]:
    if record.drying is None:
        return []
    last = record.drying.ages[-1]
    settled = record.drying.settled
    how = (
        f"settled from {values.age_words(settled)} on"
        if settled is not None
        else f"still moving, {record.drying.a_day:.1f} a day"
    )
    return [f"{'drying':<12}at {values.age_words(last.hours)}: {how}"]
