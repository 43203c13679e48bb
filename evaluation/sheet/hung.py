"""The program's pictures on the page: slots of one size in rows, some wider, chips and title below each."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import cycle, islice
from typing import Final

from evaluation.sheet.frames import Frame
from evaluation.sheet.layout import Patch
from evaluation.sheet.marks import Box
from evaluation.sheet.page import Page
from evaluation.sheet.scenes.catalogue import SCENES, WIDER
from evaluation.sheet.scenes.ground import SLOT_MM

_GAP_MM: Final = 3.4  # at least, between slots
_CHIPS_MM: Final = (8.0, 6.0)  # of one chip; project's own choice: room for an aperture of 4 mm
_BELOW_MM: Final = 0.8  # between a picture and its chips
_ONE_ROW: Final = 1.5  # times as many slots as pictures, beyond which there are two rows
_ROW_MM: Final = 3.0  # between rows


@dataclass(frozen=True, slots=True)
class Hung:
    """One picture on a leaf: its pixels, and how much of it is shown, mm."""

    name: str
    leaf: int
    box: Box
    width_mm: float


def height(names: Sequence[str], width: float) -> float:
    """What the pictures need on a page of that free width, mm."""
    rows = len(_rows(names, width))
    return rows * (SLOT_MM[1] + _BELOW_MM + _CHIPS_MM[1]) + (rows - 1) * _ROW_MM


def hang(page: Page, frame: Frame, names: Sequence[str], patches: Sequence[Patch]) -> tuple[Hung, ...]:
    """Place the pictures and draw chips and titles; a picture that hangs twice has its chips at the first."""
    across = _across(frame.width)
    gap = (frame.width - across * SLOT_MM[0]) / (across - 1)
    rows = _rows(names, frame.width)
    pitch = SLOT_MM[1] + _BELOW_MM + _CHIPS_MM[1]
    between = (frame.height - len(rows) * pitch) / max(1, len(rows) - 1)
    hung, seen = [], set()
    for number, row in enumerate(rows):
        left, top = frame.left, frame.top + number * (pitch + min(between, 2 * _ROW_MM))
        for name, slots in row:
            wide = round(slots * SLOT_MM[0] + (slots - 1) * gap, 3)
            place = Frame(left, top, wide, SLOT_MM[1])
            at = page.box(place)
            pixels = Box(at.left, at.top, page.pixels(wide), page.pixels(SLOT_MM[1]))
            hung.append(Hung(name, page.leaf, pixels, wide))
            chips = Frame(left, place.bottom + _BELOW_MM, wide, _CHIPS_MM[1])
            _label(page, chips, name, () if name in seen else patches)
            seen.add(name)
            left += wide + gap
    return tuple(hung)


def _label(page: Page, frame: Frame, name: str, patches: Sequence[Patch]) -> None:
    title = SCENES[name].title
    own = [patch for patch in patches if patch.series == title]
    left = frame.left
    for patch in own:
        page.patch(patch, Frame(left, frame.top, *_CHIPS_MM))
        left += _CHIPS_MM[0]
    page.text(left + (page.line * 0.4 if own else 0.0), frame.top + page.line * 0.8, title, colour=page.quiet)


def _across(width: float) -> int:
    return max(3, int((width + _GAP_MM) // (SLOT_MM[0] + _GAP_MM)))  # no page is narrower than three


def _rows(names: Sequence[str], width: float) -> list[list[tuple[str, int]]]:
    """Rows of pictures with the slots that each takes: full rows, by showing more of some or some again."""
    across = _across(width)
    least = max(len(names), across + (across > len(names) * _ONE_ROW))
    spare = least - len(names) + -least % across
    wider = [name for name in WIDER if name in names][:spare]
    waiting = [*names, *islice(cycle(names), spare - len(wider))]
    sized = [(name, 2 if name in wider and at < len(names) else 1) for at, name in enumerate(waiting)]
    rows: list[list[tuple[str, int]]] = []
    while sized:
        row: list[tuple[str, int]] = []
        for each in list(sized):
            if sum(slots for _, slots in row) + each[1] <= across:
                row.append(each)
                sized.remove(each)
        rows.append(row)
    return rows
