"""Patches as lines: the list, and one opened with its spectral curve and its numbers beside. Pure text.

No swatch: a screen cannot show this paper.
"""

import math
from typing import Final

from evaluation.telling.numbers import plain, signed
from evaluation.work.weigh.patches import Lab, PatchRow, PatchView, UnderCondition
from tui.widgets.lines import Line, cell
from tui.widgets.plot import Axis, Curve, plot, ticks

_MARKS: Final = {"M0": "0", "M1": "1", "M2": "2", "M3": "3"}
_LEAST_R: Final = 1e-4  # where a density axis ends: D 4


def heading(width: int) -> Line:
    names = f"{'':4}{'patch':<9}{cell('name', _name(width))}{cell('region', _region(width))}{'read':>4}"
    return ((names + f"{'L*':>8}{'a*':>7}{'b*':>7}{'dE00':>7}", "quiet"),)


def row(each: PatchRow, width: int) -> Line:
    text = f"  {cell(each.id, 8)} {cell(each.name, _name(width))}"
    text += f"{cell(each.region, _region(width))}{each.readings:>4}"
    if each.withheld is not None:
        return (text, ""), ("   out of sight", "quiet")
    if each.lab is None:
        return (text, ""), ("   not compared", "quiet")
    off = plain(each.from_aim, 1) if each.from_aim is not None else "-"
    lightness, a, b = (plain(value, 1) for value in each.lab)
    return f"{text}{lightness:>8}{a:>7}{b:>7}{off:>7}"


def tabbed(each: PatchRow) -> str:
    """A row for a spreadsheet."""
    values = [plain(value, 2) for value in each.lab] if each.lab else ["", "", ""]
    off = f"{each.from_aim:.2f}" if each.from_aim is not None else ""
    return "\t".join([each.id, each.name, each.region, str(each.readings), *values, off])


def opened(view: PatchView, density: bool, width: int, room: int) -> list[Line]:
    """Curve on the left, numbers on the right; without spectra the numbers alone."""
    numbers = _numbers(view)
    curved = [under for under in view.conditions if under.curve]
    if not curved:
        return ["", *(f"   {line}" for line in numbers)]
    field = max(20, min(56, width - 46))  # the numbers take 36 columns, the axis and what parts them the rest
    picture = _picture(curved, density, field, max(6, min(room - 4, 20)))
    left = picture[0].index("│") + 1
    column = left + field + 3
    lines: list[Line] = []
    for index in range(max(len(picture), len(numbers))):
        text = picture[index] if index < len(picture) else ""
        right = numbers[index] if index < len(numbers) else ""
        lines.append(f"{cell(text, column)}{cell(right, width - column - 1)}" if right else text)
    what = "density" if density else "reflectance"
    marks = ", ".join(f"{_mark(under)} = {under.condition}" for under in curved)
    return [*lines[: room - 1], ((f"   {what} over nm; {marks}; * where they meet", "quiet"),)]


def _picture(curved: list[UnderCondition], density: bool, width: int, height: int) -> list[str]:
    lines = []
    for under in curved:
        points = tuple((nm, -math.log10(max(r, _LEAST_R)) if density else r) for nm, r in under.curve)
        lines.append(Curve(_thinned(points, width), _mark(under)))
    xs = [x for line in lines for x, _ in line.points]
    ys = [y for line in lines for _, y in line.points]
    if density:
        y = Axis(max(0.0, min(ys) - 0.05), max(ys) + 0.05)
    else:
        y = Axis(0.0, 1.0 if max(ys) > 0.5 else max(0.05, max(ys) * 1.05))
    y = Axis(y.low, y.high, ticks(y.low, y.high, 4))
    x = Axis(min(xs), max(xs), ticks(min(xs), max(xs), 5))
    return plot(lines, x, y, width, height)


def _thinned(points: tuple[tuple[float, float], ...], width: int) -> tuple[tuple[float, float], ...]:
    """At most one point a cell: finer bands would only write over each other."""
    step = max(1, len(points) // max(1, width))
    return points[::step]


def _numbers(view: PatchView) -> list[str]:
    lines = [cell(f"{view.id}, {view.name}", 34).rstrip(), view.region, ""]
    shown = view.conditions[:3]
    lines.append(f"{'':9}" + "".join(f"{cell(under.condition, 8, 'right')}" for under in shown))
    for place, name in enumerate(("L*", "a*", "b*")):
        lines.append(f"{name:<9}" + "".join(_right(under.lab, place) for under in shown))
    status = next((under.status for under in shown if under.status), "")
    for name, values in (
        ("density", [under.density for under in shown]),
        (f"given {status}", [under.given for under in shown]),
    ):
        if any(value is not None for value in values):
            cells = (f"{value:>8.2f}" if value is not None else f"{'-':>8}" for value in values)
            lines.append(f"{name:<9}" + "".join(cells))
    lines.append("")
    if view.aim and view.measured:
        lines.append(f"{'relative':<9}{'aim':>8}{'read':>8}" + (f"{'expected':>10}" if view.expected else ""))
        for place, name in enumerate(("L*", "a*", "b*")):
            expected = f"  {_right(view.expected, place)}" if view.expected else ""
            lines.append(f"{name:<9}{_right(view.aim, place)}{_right(view.measured, place)}{expected}")
        told = [
            f"{name} {signed(value, 1) if name != 'dE00' else plain(value, 1)}"
            for name, value in view.differences
        ]
        lines += ["   ".join(told[:2]), "   ".join(told[2:])]
    else:
        lines.append("no aim to compare with")
    if view.whitener is not None:
        lines += ["", f"M2 - {view.lit_by} in b*   {signed(view.whitener.db, 1)}"]
    for under in shown[:1]:
        if under.spread is not None:
            lines.append(f"read {under.readings} times, spread {under.spread:.1f}")
    return lines


def _right(lab: Lab, place: int) -> str:
    return f"{plain(lab[place], 1):>8}"


def _mark(under: UnderCondition) -> str:
    return _MARKS.get(under.condition, "o")


def _name(width: int) -> int:
    return max(10, width - 4 - 9 - _region(width) - 4 - 8 - 21 - 3)


def _region(width: int) -> int:
    return 26 if width >= 100 else 0
