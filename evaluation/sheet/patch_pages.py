"""Pages with every patch as a field to be read, for strip and spot instruments.

Rows have letters and places have numbers; fields never touch, with bare paper around each. What is left of
a page holds patches once more in another order: read at two places, they tell what the print varies by.
"""

import random
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from evaluation.profile.matrix_profile import NAMES
from evaluation.sheet import furniture
from evaluation.sheet.frames import Frame
from evaluation.sheet.layout import Encoding, Patch
from evaluation.sheet.lettering import POINT_MM
from evaluation.sheet.marks import Box, Mark
from evaluation.sheet.page import Page
from evaluation.sheet.patch_set import OPTIONAL_KINDS

# Project's own choice: room for the aperture of a hand-held instrument, and long enough for one that is moved
# along the row. The maker of the instrument states what it needs.
FIELD_MM: Final = (8.0, 9.0)
GAP_MM: Final = 1.6
_ROW_GAP_MM: Final = 1.6
_LETTERS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True)
class PatchPage:
    """One page, pixels and marks, and the places of its patches."""

    width: int
    height: int
    marks: tuple[Mark, ...]
    places: tuple["PatchPlace", ...]


@dataclass(frozen=True, slots=True)
class PatchPlace:
    """The field of one patch: "1A03" is page 1, row A, third place. `again`: a second field of that patch."""

    patch: str
    place: str
    box: Box
    again: bool = False


def patch_pages(
    patches: Sequence[Patch],
    size_mm: tuple[float, float],
    margins: tuple[float, float, float, float],
    ppi: int,
    encoding: Encoding,
    code: str,
    seed: int,
) -> tuple[PatchPage, ...]:
    """As many pages as the patches need, in their order; size, margins and encoding are those of the sheet.

    Where one page does not hold all patches, those that no grade needs (rings, gradients) begin a new page,
    so that their pages can be left out. What is left of a page is filled up with repeats, drawn by
    `seed`.
    """
    top, right, bottom, left = margins
    frame = Frame(left, top, size_mm[0] - left - right, size_mm[1] - top - bottom)
    measure = Page(size_mm, ppi, encoding)
    label = measure.line * 1.2
    across = int((frame.width - label + GAP_MM) // (FIELD_MM[0] + GAP_MM))
    pitch = FIELD_MM[1] + measure.line + _ROW_GAP_MM
    body = frame.split_top(measure.line * 4.2)[1]
    full = across * min(len(_LETTERS), int(body.height // pitch))
    if len(patches) <= full:
        parts = [list(patches)]
    else:
        needed = [patch for patch in patches if patch.region not in OPTIONAL_KINDS]
        optional = [patch for patch in patches if patch.region in OPTIONAL_KINDS]
        parts = [group[at : at + full] for group in (needed, optional) for at in range(0, len(group), full)]
    repeats = _repeats(parts, full, seed)
    return tuple(
        _page(
            (part, again),
            Page(size_mm, ppi, encoding),
            frame,
            (across, label, pitch),
            (number, len(parts)),
            code,
        )
        for number, (part, again) in enumerate(zip(parts, repeats, strict=True), 1)
    )


def _repeats(parts: Sequence[Sequence[Patch]], full: int, seed: int) -> list[list[Patch]]:
    """What fills up each page: the patches of pages of its kind, shuffled; never one twice."""
    repeats: list[list[Patch]] = []
    for part in parts:
        optional = part[0].region in OPTIONAL_KINDS and len(parts) > 1
        pool = [
            patch
            for other in parts
            for patch in other
            if (patch.region in OPTIONAL_KINDS and len(parts) > 1) == optional
        ]
        free = full - len(part)
        repeats.append(random.Random(seed).sample(pool, min(free, len(pool))))
    return repeats


def _page(
    fields: tuple[Sequence[Patch], Sequence[Patch]],
    page: Page,
    frame: Frame,
    grid: tuple[int, float, float],
    numbers: tuple[int, int],
    code: str,
) -> PatchPage:
    across, label, pitch = grid
    head, body = frame.split_top(page.line * 4.2)
    _head(page, head, numbers, code)
    places = []
    first, again = fields
    for index, patch in enumerate((*first, *again)):
        row, place = divmod(index, across)
        top = body.top + row * pitch
        letter = _LETTERS[row]
        if place == 0:
            middle = top + FIELD_MM[1] / 2 + page.points * POINT_MM * 0.36
            page.text(body.left, middle, letter, points=page.points * 1.3)
        field = Frame(body.left + label + place * (FIELD_MM[0] + GAP_MM), top, *FIELD_MM)
        page.patch(patch, field)
        page.text(
            field.left + field.width / 2,
            field.bottom + page.line * 0.8,
            patch.id,
            align="middle",
            colour=page.quiet,
        )
        where = f"{numbers[0]}{letter}{place + 1:02d}"
        places.append(PatchPlace(patch.id, where, page.box(field), again=index >= len(first)))
    return PatchPage(page.width, page.height, tuple(page.marks), tuple(places))


def _head(page: Page, frame: Frame, numbers: tuple[int, int], code: str) -> None:
    baseline = frame.top + page.points * POINT_MM * 1.5
    title = f"Patches, page {numbers[0]} of {numbers[1]}"
    used = page.text(frame.left, baseline, title, points=page.points * 1.8)
    facts = f"{NAMES[page.encoding]}  ·  {page.ppi} ppi  ·  sheet {code}"
    page.text(frame.left + used + page.line, baseline, facts)
    words = "Print as the sheet was printed, at its own size. Read row by row, from left to right."
    page.text(frame.left, baseline + page.line * 1.3, words, colour=page.quiet)
    furniture.code_mark(page, frame, code)
