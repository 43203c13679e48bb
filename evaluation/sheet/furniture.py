"""What belongs to the sheet but to no region: title, blanks to fill in, code, strip, scale."""

from collections.abc import Sequence

import numpy as np

from evaluation.profile.matrix_profile import NAMES
from evaluation.sheet.code import PREFIX
from evaluation.sheet.frames import Frame
from evaluation.sheet.layout import Patch
from evaluation.sheet.lettering import POINT_MM
from evaluation.sheet.marks import Box, Fill, Modules
from evaluation.sheet.page import Page
from evaluation.sheet.sizes import SCALE_MM, size_name

_STRIP_IDS = (  # what the ids under the strip begin with, and an id each goes by
    ("N01", "N grey, S shadow, H highlight"),
    ("SK02", "SK skin, RD-MG hues"),
    ("FO2", "FO leaf, DU sky"),
)
_STRIP_WORDS = ("Below: read these first, ids as in the patch list.", "Below: read these first.")
_PROCESS_WORDS = (
    "T1 to T5: the same on every sheet; they show how the picture reached the paper.",
    "T1 to T5 show how the picture reached the paper.",
)
_PROCESS_WIDTH = 30.0  # mm, at most
_BLANKS = ("Printer", "Paper", "Setting", "Date")
_QUIET_ZONE = 4  # modules of bare paper around the square code, as ISO/IEC 18004 asks for


def code_modules(code: str) -> np.ndarray:
    """The square code of a sheet: dark modules (n, n), without the quiet zone."""
    import segno  # only when a sheet is drawn

    symbol = segno.make_qr(f"{PREFIX}{code}", error="m", boost_error=False)
    return np.array([[bool(module) for module in row] for row in symbol.matrix])


def code_mark(page: Page, frame: Frame, code: str) -> float:
    """The code in both forms in the upper right corner; returns where the free width ends, mm."""
    dark = code_modules(code)
    side = max(1, page.pixels(frame.height) // (len(dark) + 2))
    pixels = side * len(dark)
    left = page.pixels(frame.right) - pixels
    page.put(Modules(Box(left, page.pixels(frame.top), pixels, pixels), dark, page.black))
    free = (left - _QUIET_ZONE * side) / page.width * page.size_mm[0]
    points = page.points * 1.3
    page.text(free, frame.top + points * POINT_MM * 1.3, code, points=points, align="right")
    return free


def header(page: Page, frame: Frame, title: str, code: str, how: str) -> None:
    """Title line, how to print, blanks to fill in by hand, and the code in both forms at the right."""
    free = code_mark(page, frame, code)
    big = page.points * 2.1
    baseline = frame.top + big * POINT_MM * 0.8
    advance = page.text(frame.left, baseline, title, points=big)
    facts = f"{size_name(page.size_mm)}  ·  {NAMES[page.encoding]}  ·  {page.ppi} ppi"
    page.text(frame.left + advance + page.line, baseline, facts)
    second = baseline + page.line * 1.25
    page.text(frame.left, second, how, colour=page.quiet)
    _blanks(page, Frame(frame.left, second, free - frame.left, frame.bottom - second))


def _blanks(page: Page, frame: Frame) -> None:
    baseline = frame.bottom - page.line * 0.25
    for name, part in zip(_BLANKS, frame.columns(1.2, 1.4, 1.2, 0.9, gap=page.line), strict=True):
        used = page.text(part.left, baseline, name, colour=page.quiet) + page.line * 0.3
        page.rule(part.left + used, baseline + page.line * 0.1, part.width - used)


def strip(page: Page, frame: Frame, patches: Sequence[Patch]) -> None:
    """The short list as fields with bare paper between them, their ids below."""
    fields, labels = frame.split_bottom(page.line)
    pitch = fields.width / len(patches)
    gap = max(0.8, pitch * 0.18)
    for patch, cell in zip(patches, fields.columns(*[1.0] * len(patches)), strict=True):
        page.patch(patch, Frame(cell.left + gap / 2, cell.top, cell.width - gap, cell.height))
        middle = cell.left + cell.width / 2
        page.text(middle, labels.top + labels.height * 0.75, patch.id, align="middle", colour=page.quiet)


def scale(page: Page, frame: Frame) -> Frame:
    """A line of 100 mm with a mark every 10 mm, to be measured on the print.

    Returns what is left of the line of text below it, its top at the baseline.
    """
    thick = max(1, page.pixels(0.15))
    left, base = page.pixels(frame.left), page.pixels(frame.top + frame.height * 0.45)
    page.put(Fill(Box(left, base, page.pixels(SCALE_MM) + thick, thick), page.black))
    for tenth in range(11):
        tall = page.pixels(frame.height * (0.40 if tenth % 5 == 0 else 0.22))
        place = left + page.pixels(SCALE_MM * tenth / 10)
        page.put(Fill(Box(place, base - tall, thick, tall), page.black))
    words = "100 mm: measure it on the print." if frame.width >= SCALE_MM else "100 mm"
    return _noted(page, frame, frame.top + frame.height * 0.45 + page.line, words)


def process(page: Page, frame: Frame, patches: Sequence[Patch]) -> Frame:
    """The process patches with paper between them, and what they are for.

    Returns what is left of the line of text below them, its top at the baseline.
    """
    fields, labels = frame.split_bottom(page.line)
    fields = fields.split_left(min(fields.width, len(patches) * _PROCESS_WIDTH))[0]
    for patch, cell in zip(patches, fields.columns(*[1.0] * len(patches), gap=1.2), strict=True):
        page.patch(patch, cell)
    long, short = _PROCESS_WORDS
    words = long if page.text_width(long) <= frame.width else short
    return _noted(page, frame, labels.top + labels.height * 0.75, words)


def strip_words(page: Page, rooms: Sequence[Frame], patches: Sequence[Patch]) -> None:
    """What the ids under the strip of these patches stand for: the longest text that fits a room."""
    ids = {patch.id for patch in patches}
    begin = ", ".join(words for known, words in _STRIP_IDS if known in ids)
    for words in (f"Below, read first: {begin}.", *_STRIP_WORDS):
        for room in rooms:
            if page.text_width(words) <= room.width:
                page.text(room.left, room.top, words, colour=page.quiet)
                return


def _noted(page: Page, frame: Frame, baseline: float, words: str) -> Frame:
    used = page.text(frame.left, baseline, words, colour=page.quiet) + page.line * 0.4
    return Frame(frame.left + used, baseline, max(0.0, frame.width - used), 0.0)
