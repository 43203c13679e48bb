"""A small map of the sheet in text: shaded blocks with the numbers printed on the sheet, one framed.

Where a screen has colour it still says nothing by it. A region without a number of its own (the ring-around)
is framed where it lies.
"""

from evaluation.sheet.layout import Area, Sheet
from tui.widgets.lines import Line, Span, Weight

CELL_ASPECT = 2.0  # a character cell is about twice as high as wide
Cells = tuple[int, int, int, int]  # left, top, right, bottom (exclusive)
_LEAST = (5, 3)  # of a frame, so that its number can stand in it; but it never covers another region


def sheet_map(sheet: Sheet, here: str, width: int, height: int) -> list[Line]:
    """The map inside a light frame of at most `width` x `height` cells, `here` framed heavily."""
    wide, high = map_size(sheet, width, height)
    columns, rows = wide - 2, high - 2
    text = [[" "] * columns for _ in range(rows)]
    weight: list[list[Weight]] = [[""] * columns for _ in range(rows)]
    blocks = _blocks(sheet, columns, rows)
    for region in sheet.regions:
        if region.id not in blocks:
            continue
        left, top, right, bottom = _apart(blocks[region.id], [blocks[id] for id in blocks if id != region.id])
        for row in range(top, bottom):
            for column in range(left, right):
                text[row][column] = "░"
                weight[row][column] = "rule"
        _write(text, weight, str(region.number or ""), left, top, right, bottom, "")
    marked = next((region for region in sheet.regions if region.id == here), None)
    if marked is not None and here in blocks:
        others = [cells for id, cells in blocks.items() if id != here]
        box = _frame(blocks[here], columns, rows, others)
        _draw(text, weight, *box)
        _write(text, weight, str(marked.number or ""), *box, "strong")
    lines: list[Line] = [(("┌" + "─" * columns + "┐", "rule"),)]
    lines += [(("│", "rule"), *_joined(text[row], weight[row]), ("│", "rule")) for row in range(rows)]
    lines.append((("└" + "─" * columns + "┘", "rule"),))
    return lines


def map_size(sheet: Sheet, width: int, height: int) -> tuple[int, int]:
    """Columns and rows that a map of at most `width` x `height` cells takes, with its frame."""
    columns, rows = _fitted(sheet.size_mm, width - 2, height - 2)
    return columns + 2, rows + 2


def _fitted(size_mm: tuple[float, float], columns: int, rows: int) -> tuple[int, int]:
    """The largest field of cells with the sheet's proportions."""
    wide, high = size_mm
    if wide <= 0 or high <= 0:
        return columns, rows
    if rows * CELL_ASPECT * wide / high <= columns:
        return max(_LEAST[0], round(rows * CELL_ASPECT * wide / high)), rows
    return columns, max(_LEAST[1], min(rows, round(columns / CELL_ASPECT * high / wide)))


def _blocks(sheet: Sheet, columns: int, rows: int) -> dict[str, Cells]:
    """The cells of every region with a place; two that meet within a row of cells do not share it."""
    placed = sorted(
        (region.area.top, region.id, region.area) for region in sheet.regions if region.area is not None
    )
    blocks: dict[str, Cells] = {}
    for top_share, region_id, area in placed:
        left, top, right, bottom = _cells(area, columns, rows)
        for _, id, other in placed:
            above = blocks.get(id)
            if above and other.top + other.height <= top_share and above[0] < right and left < above[2]:
                top = min(max(top, above[3]), rows - 1)
        blocks[region_id] = left, top, right, max(bottom, top + 1)
    return blocks


def _cells(area: Area, columns: int, rows: int) -> Cells:
    """Left, top, right, bottom (exclusive) of an area; never empty."""
    left, right = round(area.left * columns), round((area.left + area.width) * columns)
    top, bottom = round(area.top * rows), round((area.top + area.height) * rows)
    left, top = min(left, columns - 1), min(top, rows - 1)
    return left, top, max(left + 1, right), max(top + 1, bottom)


def _apart(block: Cells, others: list[Cells]) -> Cells:
    """The block without its last column or row where another begins right there: both are seen."""
    left, top, right, bottom = block
    beside = any(other[0] == right and other[1] < bottom and top < other[3] for other in others)
    below = any(other[1] == bottom and other[0] < right and left < other[2] for other in others)
    return left, top, right - (beside and right - left > 2), bottom - (below and bottom - top > 1)


def _frame(block: Cells, columns: int, rows: int, others: list[Cells]) -> Cells:
    """The block grown to the least frame inside the sheet; in height only where nothing else lies."""
    left, top, right, bottom = block
    left, right = _grown(left, right, _LEAST[0], columns)
    high, low = _grown(top, bottom, _LEAST[1], rows)
    free = all(
        other[3] <= high or other[1] >= low or other[2] <= left or other[0] >= right for other in others
    )
    return (left, high, right, low) if free else (left, top, right, bottom)


def _grown(start: int, stop: int, least: int, most: int) -> tuple[int, int]:
    missing = max(0, least - (stop - start))
    start = max(0, start - missing // 2)
    stop = min(most, max(stop, start + least))
    return max(0, min(start, stop - least)), stop


def _draw(
    text: list[list[str]], weight: list[list[Weight]], left: int, top: int, right: int, bottom: int
) -> None:
    """A heavy frame; of one row, a bar with its two ends."""
    for row in range(top, bottom):
        for column in range(left, right):
            if bottom - top == 1:
                sign = {left: "┣", right - 1: "┫"}.get(column, "━")
                text[row][column], weight[row][column] = sign, "strong"
                continue
            edge = (row in (top, bottom - 1)) + 2 * (column in (left, right - 1))
            sign = (" ", "━", "┃", "")[edge]
            if edge == 3:
                sign = {(top, left): "┏", (top, right - 1): "┓", (bottom - 1, left): "┗"}.get(
                    (row, column), "┛"
                )
            text[row][column], weight[row][column] = sign, "strong" if edge else ""


def _write(
    text: list[list[str]],
    weight: list[list[Weight]],
    label: str,
    left: int,
    top: int,
    right: int,
    bottom: int,
    how: Weight,
) -> None:
    row = (top + bottom - 1) // 2
    start = (left + right - len(label)) // 2
    for offset, char in enumerate(label):
        if left <= start + offset < right:
            text[row][start + offset], weight[row][start + offset] = char, how


def _joined(text: list[str], weight: list[Weight]) -> list[Span]:
    """Neighbouring cells of one weight as one span."""
    spans: list[Span] = []
    for char, how in zip(text, weight, strict=True):
        if spans and spans[-1][1] == how:
            spans[-1] = (spans[-1][0] + char, how)
        else:
            spans.append((char, how))
    return spans
