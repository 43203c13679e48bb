"""A series of settings as lines: one slice drawn large, and what it amounts to in words. Pure text."""

from typing import TYPE_CHECKING

from evaluation.plain_text import capital, visible
from tui.screens.tools.report_lines import report_lines
from tui.widgets.lines import Line, paragraphs, wrapped
from tui.widgets.plot import Axis, Curve, plot, ticks

if TYPE_CHECKING:
    from evaluation.judgement.settings_in_order import Series, SettingStep

_BEFORE = "·"  # what the setting before is drawn with


def slice_lines(series: "Series", step: "SettingStep", hue: int, width: int, height: int) -> list[Line]:
    """L* over C*ab of one hue: the base as a line, this setting as o, the one before faint."""
    from evaluation.telling.growth import slice_figure  # colour maths, which comes with the work

    figure = slice_figure(series, step, hue)
    x_range, y_range = figure.x_range or (0.0, 1.0), figure.y_range or (0.0, 1.0)
    *marked, (last, _) = ticks(*x_range, 6)
    x, y = Axis(*x_range, (*marked, (last, figure.x))), Axis(*y_range, ticks(*y_range, 5))
    drawn = [Curve(line.points, "" if line.drawn == "line" else line.mark) for line in figure.lines]
    rows = plot(drawn, x, y, max(10, width - 12), max(4, height - 2), figure.y)
    return [_weighed(f" {row}") for row in rows]


def legend(series: "Series", step: "SettingStep") -> str:
    """What the lines are: for the lower edge of the slice."""
    names = [visible(one.name) for one in series.settings]
    before = f"   {_BEFORE} {names[step.to - 1]}" if step.to - 1 != step.base else ""
    return f"line {names[step.base]}   o {names[step.to]}{before}"


def told_lines(series: "Series", step: "SettingStep", hue: int, width: int, height: int) -> list[Line]:
    """The sentence to quote, then what matters first; the table of all hues where there is room."""
    from evaluation.telling import growth as words

    quote: list[Line] = [
        ((f"  {row}", "strong"),) for row in wrapped(words.hue_words(series, step, hue), width - 4)
    ]
    lines = [*quote, *paragraphs(words.step_words(series, step)[:2], width)]
    table = report_lines([words.growth_table(series, step)], width)
    if len(lines) + len(table) + 4 > height:
        return lines[:height]
    lines += [*table, "", *paragraphs(words.basis(series), width)]
    held = report_lines([words.held_table(series)], width)
    return [*lines, *held][:height] if len(lines) + len(held) <= height else lines[:height]


def place_words(series: "Series", step: "SettingStep") -> str:
    """Where in the series one is."""
    names = [visible(one.name) for one in series.settings]
    return f"{capital(names[step.to])} over {names[step.base]}, {step.to + 1} of {len(names)}"


def _weighed(row: str) -> Line:
    """The setting before stands back."""
    parts = row.split(_BEFORE)
    spans = [(parts[0], ""), *(span for part in parts[1:] for span in ((_BEFORE, "quiet"), (part, "")))]
    return tuple(spans)  # type: ignore[arg-type]
