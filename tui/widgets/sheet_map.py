"""A small map of the sheet: each region drawn in greys as what is printed there, with its number, one framed.
Half blocks give two rows to a cell; without colours the regions are shaded.

A region without a number of its own (the ring-around) is framed where it lies.
"""

from collections.abc import Sequence
from itertools import groupby

from evaluation.sheet.layout import Area, Sheet, SheetRegion
from tui.widgets.lines import Line, Span, Tone, Weight

CELL_ASPECT = 2.0  # a character cell is about twice as high as wide
Cells = tuple[int, int, int, int]  # left, top, right, bottom (exclusive)
Greys = tuple[int, int, int]  # darkest, lightest, ground: 0 to 255
_LEAST = (5, 3)  # of a frame, so that its number can stand in it; but it never covers another region
_BACK = 0.55  # how far regions other than the one in hand step back towards the ground
_LUMA = (0.2126, 0.7152, 0.0722)  # Recommendation ITU-R BT.709
_PICTURE = 0.45  # tone of what has no patches, 0 to 1


def sheet_map(sheet: Sheet, here: str, width: int, height: int, *, greys: Greys | None = None) -> list[Line]:
    """The leaf of the sheet that `here` lies on, in at most `width` x `height` cells; `here` framed heavily.

    Shaded without `greys`.
    """
    columns, rows = map_size(sheet, width, height)
    text = [[" "] * columns for _ in range(rows)]
    weight: list[list[Weight]] = [[""] * columns for _ in range(rows)]
    leaf = next((region.area.leaf for region in sheet.regions if region.id == here and region.area), 1)
    blocks = _blocks(sheet, leaf, columns, rows)
    for region in sheet.regions:
        if region.id not in blocks:
            continue
        block = _apart(blocks[region.id], [blocks[id] for id in blocks if id != region.id])
        if greys is None:
            _shade(text, weight, block)
        else:
            _print(text, weight, block, _tones(sheet, region), greys, 0.0 if region.id == here else _BACK)
        _write(text, weight, str(region.number or ""), *block, "")
    marked = next((region for region in sheet.regions if region.id == here), None)
    if marked is not None and here in blocks:
        others = [cells for id, cells in blocks.items() if id != here]
        box = _frame(blocks[here], columns, rows, others)
        _draw(text, weight, *box, hollow=greys is None)
        _write(text, weight, str(marked.number or ""), *box, "strong")
    return [tuple(_joined(text[row], weight[row])) for row in range(rows)]


def _shade(text: list[list[str]], weight: list[list[Weight]], block: Cells) -> None:
    left, top, right, bottom = block
    for row in range(top, bottom):
        text[row][left:right] = "░" * (right - left)
        weight[row][left:right] = ["rule"] * (right - left)


def _print(
    text: list[list[str]],
    weight: list[list[Weight]],
    block: Cells,
    tones: Sequence[Sequence[float]],
    greys: Greys,
    back: float,
) -> None:
    """A region as it is printed, two rows to a cell."""
    left, top, right, bottom = block
    low, high, ground = greys

    def grey(row: int, column: int) -> int:
        series = tones[row * len(tones) // (2 * (bottom - top))]
        tone = low + (high - low) * series[column * len(series) // (right - left)]
        return round(tone + (ground - tone) * back)

    for row in range(bottom - top):
        for column in range(right - left):
            text[top + row][left + column] = "▀"
            weight[top + row][left + column] = Tone(grey(2 * row, column), grey(2 * row + 1, column))


def _tones(sheet: Sheet, region: SheetRegion) -> Sequence[Sequence[float]]:
    """What a region shows, series by series: how light each of its patches is, 0 to 1."""
    printed = [patch for patch in sheet.patches if patch.region == region.id and patch.source is not None]
    series = [
        [sum(share * part for share, part in zip(_LUMA, patch.source, strict=True)) for patch in row]
        for _, row in groupby(printed, key=lambda patch: patch.series)
        for row in [[patch for patch in row if patch.source is not None]]
    ]
    if region.kind == "detail":
        return [[0.1, 0.9] * 24, [0.9, 0.1] * 12]
    return series or [[_PICTURE]]


def map_size(sheet: Sheet, width: int, height: int) -> tuple[int, int]:
    """The largest field of cells with the sheet's proportions, of at most `width` x `height`."""
    columns, rows = width, height
    wide, high = sheet.size_mm
    if wide <= 0 or high <= 0:
        return columns, rows
    if rows * CELL_ASPECT * wide / high <= columns:
        return max(_LEAST[0], round(rows * CELL_ASPECT * wide / high)), rows
    return columns, max(_LEAST[1], min(rows, round(columns / CELL_ASPECT * high / wide)))


def _blocks(sheet: Sheet, leaf: int, columns: int, rows: int) -> dict[str, Cells]:
    """The cells of every region on this leaf; two that meet within a row of cells do not share it."""
    placed = sorted(
        (region.area.top, region.id, region.area)
        for region in sheet.regions
        if region.area is not None and region.area.leaf == leaf
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
    text: list[list[str]],
    weight: list[list[Weight]],
    left: int,
    top: int,
    right: int,
    bottom: int,
    *,
    hollow: bool,
) -> None:
    """A heavy frame, with nothing in it if `hollow`; of one row, a bar with its two ends."""
    for row in range(top, bottom):
        for column in range(left, right):
            if bottom - top == 1:
                sign = {left: "┣", right - 1: "┫"}.get(column, "━")
                text[row][column], weight[row][column] = sign, "strong"
                continue
            edge = (row in (top, bottom - 1)) + 2 * (column in (left, right - 1))
            if edge == 0 and not hollow:
                continue
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
    label = f" {label} " if label and right - left > 4 else label
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
