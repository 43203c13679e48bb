"""The ruler of prints side by side, in cells: a row a pair, its mark and its intervals. Pure text."""

from typing import Final

from evaluation.telling.figure import Figure
from evaluation.telling.jnd_ruler import APART, THESE
from tui.widgets.lines import Line, cell

_CELLS: Final = 6  # of 1 JND
_BARS: Final = "   ━ 95 %, these eyes   ─ 95 %, other eyes"
LEGEND: Final = f"● just noticeable differences (JND){_BARS}"
IN_SHORT: Final = f"● JND{_BARS}"  # for a title of 80 columns


def ruler(figure: Figure, width: int) -> list[Line]:
    """A line of figures, a row for each pair; an interval that crosses the 0 has told nothing apart."""
    low, high = figure.x_range or (-1.0, 4.0)
    long = round((high - low) * _CELLS)
    name = max(8, min(14, width - long - 30))

    def place(value: float) -> int:
        return round((min(max(value, low), high) - low) * _CELLS)

    heads = [" "] * (long + 1)
    for value in range(round(low), round(high) + 1):
        text = str(value)
        at = max(0, place(value) - len(text) + 1)
        heads[at : at + len(text)] = text
    lines: list[Line] = [((f"{'':{name + 2}}{''.join(heads)}", "quiet"),)]
    for row, pair in enumerate(figure.row_names):
        cells = ["·" if k % _CELLS == 0 else " " for k in range(long + 1)]
        cells[place(0)] = "│"
        told = "too few"
        for line in sorted(figure.lines, key=lambda one: (one.name == APART, one.name == THESE)):
            if row not in line.y:
                continue
            if line.name == APART:
                at = line.y.index(row)
                cells[place(line.x[at])] = "●"
                told = line.told[at]
            else:
                first, last = place(line.x[0]), place(line.x[1])
                cells[first : last + 1] = ("━" if line.name == THESE else "─") * (last - first + 1)
                if line.x[0] <= 0 <= line.x[1]:
                    cells[place(0)] = "┼"
        lines.append(f"  {cell(pair, name)}{''.join(cells)}  {told}")
    return lines
