"""Where the regions lie on a page of any size: rows of regions, and a second leaf where one has no room.

Fields keep about their millimetres: a larger page gives its rows more height up to a limit, then more paper
between them.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import Final

from evaluation.sheet.frames import Frame
from evaluation.sheet.page import Page
from evaluation.sheet.request import OWN_PICTURES


@dataclass(frozen=True, slots=True)
class PlanRow:
    """Regions side by side.

    kinds   from left to right, each with its share of the width
    height  mm without the line of captions, on a page that just holds them
    most    the height beyond which more helps nobody, as a multiple of it
    whole   on pages of two columns: across both
    """

    kinds: tuple[tuple[str, float], ...]
    height: float
    most: float = 1.7
    whole: bool = False


# From top to bottom; heights are the project's own choice.
ROWS: Final = (
    PlanRow((("neutral", 1.0),), 19.0),
    PlanRow((("mono_neutral", 1.0),), 25.0),
    PlanRow((("ring", 1.0),), 33.0),
    PlanRow((("shadow", 16.0), ("highlight", 13.0)), 18.0),
    PlanRow((("mono_shadow", 16.0), ("mono_highlight", 13.0)), 18.0),
    PlanRow((("skin", 0.62), ("saturation", 1.0), ("gloss", 0.36)), 33.0),
    PlanRow((("gradient", 1.0),), 27.0),
    PlanRow((("mono_tone", 0.74), ("gloss", 0.26)), 30.0),
    PlanRow((("detail", 1.0),), 23.0, 1.5),
    PlanRow((("structure", 1.0),), 23.0, 1.3),
    PlanRow((("tints", 1.0),), 23.0, 2.0, whole=True),
    PlanRow((("scenes", 1.0),), 0.0, whole=True),
    PlanRow((("mono_scenes", 1.0),), 0.0, whole=True),
    PlanRow(tuple((kind, 1.0) for kind in OWN_PICTURES), 52.0, 6.0, whole=True),
)
LEAST: Final = 0.86  # of the heights above, below which the pictures go on a leaf of their own
_LANDSCAPE: Final = 1.2  # width over height from which the rows form two columns


@dataclass(frozen=True, slots=True)
class _Placed:
    """A row with those of its regions that the sheet has, and its free height in mm."""

    row: PlanRow
    kinds: tuple[tuple[str, float], ...]
    height: float
    fixed: bool = False

    def at(self, scale: float) -> float:
        """Its height, mm, at a scale of the page."""
        return self.height if self.fixed else self.height * min(scale, self.row.most)


def plan(
    page: Page,
    body: Frame,
    kinds: Sequence[str],
    fixed: Mapping[str, float] | None = None,
    columns: int | None = None,
) -> tuple[Mapping[str, Frame], float]:
    """A frame for each kind, captions included, and the scale of row heights: below 1 on a crowded page.

    `fixed` kinds have a row of their own, across the page, of that height in mm. There are so many `columns`
    of rows, or as the page has room for.
    """
    rows = _rows(kinds, fixed or {})
    gap, caption = page.line * 0.9, page.line * 1.3
    split = [row for row in rows if not row.row.whole]
    across = [row for row in rows if row.row.whole]
    count = columns or (2 if body.width > _LANDSCAPE * body.height else 1)
    parts = _parts(split, min(count, len(split))) if split else [split]
    lines = max(len(part) for part in parts) + len(across)
    set_apart = sum(row.height for row in across if row.fixed)
    free = body.height - lines * caption - (lines - 1) * gap - set_apart
    needed = max(_flexible(part) for part in parts) + _flexible(across)
    scale = free / needed if needed else math.copysign(1.0, free)
    used = [sum(caption + row.at(scale) for row in part) for part in (*parts, across)]
    gap = (body.height - max(used[:-1]) - used[-1]) / max(1, lines - 1)
    places: dict[str, Frame] = {}
    upper, lower = body.split_top(body.height - used[-1] - gap * len(across), gap * bool(across))
    for part, column in zip(parts, upper.columns(*[1.0] * len(parts), gap=page.line * 2), strict=True):
        _stack(page, part, column, gap, places)
    _stack(page, across, lower if split else body, gap, places)
    return places, scale


def _flexible(rows: Sequence[_Placed]) -> float:
    return sum(row.height for row in rows if not row.fixed)


def _rows(kinds: Sequence[str], fixed: Mapping[str, float]) -> list[_Placed]:
    left = set(kinds)
    rows = []
    for row in ROWS:
        here = tuple((kind, share) for kind, share in row.kinds if kind in left)
        if not here or (here[0][0] == "gloss" and len(left) > 1):
            continue  # gloss stands beside others, and so in a row further down
        left -= {kind for kind, _ in here}
        rows.append(_Placed(row, here, fixed.get(here[0][0], row.height), here[0][0] in fixed))
    return rows


def _stack(page: Page, rows: Sequence[_Placed], frame: Frame, gap: float, into: dict[str, Frame]) -> None:
    """Place rows one below the other to the foot of the frame: as high as they may be, and paper between."""
    if not rows:
        return
    caption = page.line * 1.3
    free = frame.height - len(rows) * caption - (len(rows) - 1) * gap
    free -= sum(row.height for row in rows if row.fixed)
    scale = free / (_flexible(rows) or 1.0)
    heights = [caption + row.at(scale) for row in rows]
    between = (frame.height - sum(heights)) / max(1, len(rows) - 1)
    top = frame.top
    for row, height in zip(rows, heights, strict=True):
        cells = Frame(frame.left, top, frame.width, height).columns(
            *(share for _, share in row.kinds), gap=page.line * 1.5
        )
        into |= {kind: cell for (kind, _), cell in zip(row.kinds, cells, strict=True)}
        top += height + between


def _parts(rows: list[_Placed], count: int) -> list[list[_Placed]]:
    """The rows in so many columns, the highest as low as can be."""
    ways = (
        [rows[start:end] for start, end in pairwise((0, *cuts, len(rows)))]
        for cuts in combinations(range(1, len(rows)), count - 1)
    )
    return min(ways, key=lambda parts: max(sum(row.height for row in part) for part in parts))


@dataclass(frozen=True, slots=True)
class FramePart:
    """One of several frames below each other: its least height, mm, and how many times that it may take."""

    name: str
    height: float
    most: float = 1.0


def stacked(frame: Frame, parts: Sequence[FramePart], gap: float) -> dict[str, Frame]:
    """Frames by name, one below the other to the foot of the frame: as high as they may be.

    Paper is between them, `gap` mm at least where there is room for it.
    """
    free = frame.height - gap * (len(parts) - 1)
    low, high = 1.0, max(part.most for part in parts)
    for _ in range(24):
        middle = (low + high) / 2
        fits = sum(part.height * min(middle, part.most) for part in parts) <= free
        low, high = (middle, high) if fits else (low, middle)
    heights = [part.height * min(low, part.most) for part in parts]
    between = (frame.height - sum(heights)) / max(1, len(parts) - 1)
    places, top = {}, frame.top
    for part, height in zip(parts, heights, strict=True):
        places[part.name] = Frame(frame.left, top, frame.width, height)
        top += height + between
    return places
