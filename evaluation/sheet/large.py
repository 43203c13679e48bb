"""Sheets for wide rolls, upright, square or landscape: composed for their size, not enlarged.

Fields keep their millimetres and stand in two to four columns. What grows is reach: the even tints come
again along the feed as they do across it, fine detail at both ends, one deep black over the whole width, slow
gradients across and along the sheet, and black along both sides, where heads strike first.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.sheet import blocks_colour, blocks_detail
from evaluation.sheet.blocks_grey import BLACK, grey_run
from evaluation.sheet.frames import Frame
from evaluation.sheet.layout import Patch, Triple
from evaluation.sheet.marks import FULL, Drawn
from evaluation.sheet.page import Array, Page
from evaluation.sheet.patch_set import NUMBERS
from evaluation.sheet.plan import FramePart, plan, stacked
from evaluation.sheet.request import OWN_PICTURES
from evaluation.sheet.tints import DEEP_BLACK, PLACES

_AGAIN: Final = "the same again"

# Project's own choice throughout, mm.
_LARGE: Final = 550.0  # each side, at least: 24 in inside its margins
_COLUMN: Final = 265.0  # of regions, at least: a little less than a 13 x 19 in sheet gives them
_MOST_COLUMNS: Final = 4
_BAND_EVERY: Final = 300.0  # of the feed comes a band of tints
_LEAST_BANDS: Final = 2
_AGAIN_FROM: Final = 750.0  # of height, fine detail stands at both ends
_MOST_BANDS: Final = 5
_EDGE: Final = 10.0
_RUN: Final = 14.0  # width of a gradient
_TINTS: Final = 34.0
_DETAIL: Final = 27.0
_BLACK_SHARE: Final = 0.16  # of the height
_OWN: Final = 90.0  # of a row of the user's own pictures
_FULL_INK: Final = "full ink: mind ink limit, drying and curl, see the maker's manual"
CARE: Final = (
    "The deep black and both edges take full ink over the whole sheet: keep to the paper's ink limit, "
    "stop the print if a wet edge lifts towards the head, and let it dry flat with nothing on it. "
    "The maker's manual decides."
)
_ALONG_L: Final = ((18.0, 42.0), (55.0, 85.0))  # L* of the two slow gradients


def is_large(frame: Frame) -> bool:
    """Whether a page of that free room is composed so."""
    return min(frame.width, frame.height) >= _LARGE


def bands(frame: Frame) -> int:
    """How often the tints stand along the feed."""
    if not is_large(frame):
        return 1
    return min(_MOST_BANDS, max(_LEAST_BANDS, round(frame.height / _BAND_EVERY)))


@dataclass(frozen=True, slots=True)
class Beyond:
    """What stands on a large sheet beyond its regions.

    tints   a frame for each further band
    detail  where fine detail comes again; None on a low page
    black   the deep black field, with its line of caption
    across  the two gradients across the sheet
    edges, along  black, and a gradient beside it, at the left and at the right
    """

    tints: tuple[Frame, ...]
    detail: Frame | None
    black: Frame
    across: tuple[Frame, ...]
    edges: tuple[Frame, ...]
    along: tuple[Frame, ...]


def arrange(
    page: Page,
    body: Frame,
    kinds: Sequence[str],
    drawn: Callable[[float], Mapping[str, float]],
    count: int,
) -> tuple[Mapping[str, Frame], Beyond, bool]:
    """A frame for each kind, captions included, those of what stands beyond them, and whether all have room.

    `drawn` gives what the program's own pictures need at a width, mm, where the sheet has them; `count` is
    that of the bands of tints.
    """
    run = max(_RUN, page.text_width(page.along(across=False)))
    edge = max(_EDGE, page.text_width("edge"))
    gap, label = page.line, page.line
    left, rest = body.split_left(edge, gap)
    left_run, rest = rest.split_left(run, gap * 2)
    inner, right = rest.split_left(rest.width - edge - gap)
    inner, right_run = inner.split_left(inner.width - run - gap * 2)
    right_run, right = _from(right_run, gap * 2), _from(right, gap)
    scenes = {kind: height for kind, height in drawn(inner.width).items() if kind in kinds}
    caption = page.line * 1.3
    own = [kind for kind in kinds if kind in OWN_PICTURES]
    split = [kind for kind in kinds if kind not in ("tints", "detail", *scenes, *own)]
    between = [
        FramePart("regions", _needed(page, inner, split), 1.2),
        FramePart("detail", _DETAIL + caption, 1.4),
        FramePart("black", body.height * _BLACK_SHARE, 1.1),
        *(FramePart(kind, height + caption) for kind, height in scenes.items()),
        *[FramePart("own", _OWN + caption, 3.0)] * bool(own),
        *[FramePart("detail again", _DETAIL + caption, 1.4)] * (body.height >= _AGAIN_FROM),
    ]
    tints = [FramePart(f"tints {band}", _TINTS + caption, 1.7) for band in range(1, count + 1)]
    parts = [*_spread(between, tints), FramePart("across", 2 * _RUN + gap, 1.4)]
    at = stacked(inner, parts, gap * 2.5)
    fits = sum(part.height for part in parts) + (len(parts) - 1) * gap * 1.5 <= inner.height
    places = dict(plan(page, at["regions"], split, columns=_columns(inner))[0])
    places |= {"tints": at["tints 1"]} | {kind: at[kind] for kind in ("detail", *scenes)}
    if own:
        places |= dict(zip(own, at["own"].columns(*[1.0] * len(own), gap=gap * 1.5), strict=True))
    beyond = Beyond(
        tints=tuple(at[f"tints {number}"] for number in range(2, count + 1)),
        detail=at.get("detail again"),
        black=at["black"],
        across=at["across"].rows(1, 1, gap=gap),
        edges=tuple(each.split_top(label)[1] for each in (left, right)),
        along=tuple(each.split_top(label)[1] for each in (left_run, right_run)),
    )
    return places, beyond, fits


def _spread(parts: Sequence[FramePart], bands: Sequence[FramePart]) -> Iterator[FramePart]:
    """The parts with the bands between them, as evenly as they allow: one before all, one after."""
    share = sum(part.height for part in parts) / (len(bands) - 1)
    passed, waiting = 0.0, list(bands)
    for at, part in enumerate(parts):
        due = (len(bands) - len(waiting)) * share
        if len(waiting) > 1 and (at == 0 or due - passed < passed + part.height - due):
            yield waiting.pop(0)
        yield part
        passed += part.height
    yield from waiting


def _columns(frame: Frame) -> int:
    return min(_MOST_COLUMNS, max(2, int(frame.width // _COLUMN)))


def _needed(page: Page, frame: Frame, kinds: Sequence[str]) -> float:
    """The height at which the regions have what they need, and a third more."""
    low, high = 0.0, frame.height
    for _ in range(24):
        middle = (low + high) / 2
        _, scale = plan(page, Frame(0, 0, frame.width, middle), kinds, columns=_columns(frame))
        low, high = (low, middle) if scale >= 1.35 else (middle, high)
    return high


def _from(frame: Frame, left: float) -> Frame:
    return Frame(frame.left + left, frame.top, frame.width - left, frame.height)


def draw_beyond(page: Page, beyond: Beyond, patches: Sequence[Patch], solid: Triple) -> None:
    """All of it, each under its words; `solid` is the tint behind the reversed type of fine detail."""
    tints = [patch for patch in patches if patch.region == "tints"]
    for band, frame in enumerate(beyond.tints, 2):
        own = of_band(tints, band)
        blocks_colour.tints(page, page.caption(frame, NUMBERS["tints"], "Even tints", _AGAIN), own)
    if beyond.detail:
        again = page.caption(beyond.detail, NUMBERS["detail"], "Fine detail", _AGAIN)
        blocks_detail.across(page, again, solid)
    black = [patch for patch in tints if patch.series == DEEP_BLACK]
    shows = "Is it one black from side to side?"
    inner = page.caption(beyond.black, NUMBERS["tints"], "Deep black", shows, _FULL_INK)
    for patch, cell in zip(black, inner.columns(*[1.0] * len(black)), strict=True):
        page.patch(patch, cell)
    for frame, (dark, light), name in zip(beyond.across, _ALONG_L, ("dark", "light"), strict=True):
        words, field = frame.split_left(page.text_width("along feed") + page.line * 0.4)
        baseline = words.top + words.height / 2
        page.text(words.left, baseline, f"{name} grey", colour=page.quiet)
        page.text(words.left, baseline + page.line, page.along(across=True), colour=page.quiet)
        page.ramp(field, grey_run(page, dark, light))
    for frame, (dark, light) in zip(beyond.along, _ALONG_L, strict=True):
        page.text(frame.left, frame.top - page.line * 0.3, page.along(across=False), colour=page.quiet)
        _down(page, frame, grey_run(page, dark, light))
    for frame in beyond.edges:
        page.text(frame.left, frame.top - page.line * 0.3, "edge", colour=page.quiet)
        page.fill(frame, BLACK)


def of_band(patches: Sequence[Patch], band: int) -> tuple[Patch, ...]:
    """The tints of a band, counted from 1; the deep black is of none."""
    first, last = (band - 1) * len(PLACES) + 1, band * len(PLACES)
    return tuple(each for each in patches if each.series != DEEP_BLACK and first <= (each.step or 0) <= last)


def _down(page: Page, frame: Frame, sources: Array) -> None:
    """A smooth run through source values (n, 3) from top to bottom."""
    box = page.box(frame)

    def place(x: Array, y: Array) -> Array:
        return np.asarray((y - 0.5) / max(1, box.height - 1), np.float64)

    page.put(Drawn(box, sources * FULL, place))
