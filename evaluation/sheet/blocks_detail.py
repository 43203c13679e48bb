"""Fine detail and registration: line groups on the native pixel grid, star, chequer, reversed type."""

from collections.abc import Callable
from typing import Final

from evaluation.sheet.frames import Frame
from evaluation.sheet.layout import Triple
from evaluation.sheet.lettering import CAP_SHARE, POINT_MM
from evaluation.sheet.marks import Box, Chequer, Lines, Mark, Star
from evaluation.sheet.page import Page
from evaluation.sheet.sizes import INCH

LINE_PIXELS: Final = (8, 6, 5, 4, 3, 2, 1)  # width of lines and gaps; group 1 is the coarsest
TYPE_POINTS: Final = (8, 6, 5, 4, 3)
SPOKES: Final = 36
_LARGEST_PT: Final = 8.0
_EVERY: Final = 240.0  # mm of width: project's own choice, so that wide sheets show it twice or three times
# Letters and figures with small counters; the longest text that fits is set.
_WORDS: Final = (
    "a hamlet by the quay, 698 beds, 4 boats",
    "hamlet, quay, 698 beds",
    "quay, 698 beds",
    "quay 698",
    "698",
)


def across(page: Page, frame: Frame, solid: Triple) -> None:
    """Fine detail, on a wide page several times from left to right."""
    times = max(1, min(3, int(frame.width // _EVERY)))
    for part in frame.columns(*[1.0] * times, gap=page.line * 2.4):
        detail(page, part, solid)


def detail(page: Page, frame: Frame, solid: Triple) -> None:
    """All patterns in one row. `solid` is the source value, 0..1, behind the second block of type."""
    gap = _line(page) * 1.1
    side = min(frame.height - _line(page), frame.width * 0.13)
    lines, rest = frame.split_left(frame.width * 0.41, gap)
    star, rest = rest.split_left(side, gap)
    chequer, rest = rest.split_left(side * 0.8, gap)
    black, mixed = rest.columns(1, 1, gap=gap)
    _line_groups(page, lines)
    _patterned(page, star, f"star, {SPOKES} spokes", lambda box: Star(box, SPOKES, page.black))
    _patterned(page, chequer, f"pixels, {page.ppi} ppi", lambda box: Chequer(box, page.black))
    _reversed_type(page, black, (0.0, 0.0, 0.0), "reversed from black")
    _reversed_type(page, mixed, solid, "from grey" if len(set(solid)) == 1 else "from mixed inks")


def _points(page: Page) -> float:
    """Type size of this block, whose patterns keep their size on large sheets, and so does its type."""
    return min(page.points, _LARGEST_PT)


def _line(page: Page) -> float:
    return _points(page) * POINT_MM * 1.3


def pairs_per_mm(thick: int, ppi: int) -> float:
    """Line pairs per millimetre of lines `thick` pixels wide."""
    return ppi / INCH / (2 * thick)


def _line_groups(page: Page, frame: Frame) -> None:
    head, rest = frame.split_top(_line(page))
    finest = pairs_per_mm(LINE_PIXELS[-1], page.ppi)
    coarsest = pairs_per_mm(LINE_PIXELS[0], page.ppi)
    page.text(
        head.left,
        head.top + head.height * 0.7,
        f"1 to {len(LINE_PIXELS)}: {coarsest:.2g} to {finest:.2g} line pairs/mm",
        colour=page.quiet,
        points=_points(page),
    )
    upper, labels, lower = _around_labels(page, rest)
    upright_lines, level_lines = page.along(across=False), page.along(across=True)
    words = (
        max(page.text_width(upright_lines, _points(page)), page.text_width(level_lines, _points(page)))
        + _line(page) * 0.4
    )
    for part, upright, name in ((upper, True, upright_lines), (lower, False, level_lines)):
        label, groups = part.split_left(words)
        page.text(label.left, label.top + label.height / 2 + _line(page) * 0.27, name, points=_points(page))
        for thick, cell in zip(
            LINE_PIXELS, groups.columns(*[1.0] * len(LINE_PIXELS), gap=_line(page) * 0.5), strict=True
        ):
            page.put(Lines(_whole_pairs(page.box(cell), thick, upright), thick, upright, page.black))
    numbers = labels.split_left(words)[1].columns(*[1.0] * len(LINE_PIXELS), gap=_line(page) * 0.5)
    for number, cell in enumerate(numbers, 1):
        page.text(
            cell.left + cell.width / 2,
            labels.top + labels.height * 0.72,
            str(number),
            points=_points(page),
            align="middle",
        )


def _around_labels(page: Page, frame: Frame) -> tuple[Frame, Frame, Frame]:
    """Two equal rows, with a row of figures between them."""
    side = (frame.height - _line(page) * 1.15) / 2
    upper, rest = frame.split_top(side)
    labels, lower = rest.split_top(_line(page) * 1.15)
    return upper, labels, lower


def _whole_pairs(box: Box, thick: int, upright: bool) -> Box:
    """The box shortened to end with a line, so that every group shows whole pairs."""
    length = box.width if upright else box.height
    pairs = max(1, (length - thick) // (2 * thick))
    cut = pairs * 2 * thick + thick
    return Box(box.left, box.top, cut, box.height) if upright else Box(box.left, box.top, box.width, cut)


def _patterned(page: Page, frame: Frame, title: str, mark: Callable[[Box], Mark]) -> None:
    """A square pattern under its name."""
    head, rest = frame.split_top(_line(page))
    page.text(head.left, head.top + head.height * 0.7, title, colour=page.quiet, points=_points(page))
    side = min(rest.width, rest.height)
    page.put(mark(page.box(Frame(rest.left, rest.top, side, side))))


def _reversed_type(page: Page, frame: Frame, ground: Triple, title: str) -> None:
    head, rest = frame.split_top(_line(page))
    page.text(head.left, head.top + head.height * 0.7, title, colour=page.quiet, points=_points(page))
    page.fill(rest, ground)
    inner = rest.inset(_line(page) * 0.5)
    room = min(1.0, inner.height / (sum(TYPE_POINTS) * POINT_MM * 1.3))
    for points, row in zip(TYPE_POINTS, inner.rows(*TYPE_POINTS), strict=True):
        size = points * room
        label = f"{size:.2g} pt "
        words = next(
            (label + words for words in _WORDS if page.text_width(label + words, size) <= inner.width), label
        )
        baseline = row.top + row.height / 2 + size * POINT_MM * CAP_SHARE / 2
        page.text(row.left, baseline, words, points=size, colour=page.ink((1.0, 1.0, 1.0)))
