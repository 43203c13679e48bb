"""The page as a whole: where the regions lie on a sheet of any size, and the map that records it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from evaluation.errors import UsageProblem
from evaluation.sheet import blocks_colour, blocks_detail, blocks_grey, fields, furniture
from evaluation.sheet.code import sheet_code
from evaluation.sheet.frames import Frame
from evaluation.sheet.layout import Encoding, Patch, Sheet, SheetRegion
from evaluation.sheet.marks import Box, Mark
from evaluation.sheet.page import Page
from evaluation.sheet.patch_set import COLOUR_KINDS, NUMBERS, patch_set, short_list
from evaluation.sheet.questions import question_sets
from evaluation.sheet.request import MARGIN_MM
from evaluation.sheet.sizes import SCALE_MM, SHORTEST, size_name
from evaluation.sheet.write_map import map_toml

TITLE: Final = "Reference sheet"
MONO_TITLE: Final = "Reference sheet, mono"
HOW: Final = "Print as a picture, through the profile, at its own size. Then let it dry."
MONO_HOW: Final = (
    "Print as a picture, through the profile or in the driver's black-and-white mode, at its own size. "
    "Then let it dry."
)

# Rows of the page from top to bottom; kinds side by side share a row. Heights are in proportion, as on an A4
# page; the lines of captions are added.
_ROWS: Final[tuple[tuple[tuple[str, ...], float], ...]] = (
    (("neutral", "mono_neutral"), 21.0),
    (("ring",), 43.0),
    (("shadow", "highlight", "mono_shadow", "mono_highlight"), 15.0),
    (("skin", "saturation"), 43.0),
    (("gradient", "picture", "mono_tone"), 34.0),
    (("detail",), 23.0),
    (("tints",), 25.0),
)
_DETAIL_EVERY: Final = 300.0  # mm: wide sheets show fine detail two or three times across
_MOST: Final = {"detail": 46.0}  # mm: fine structure needs no more room on a large sheet
_WIDTHS: Final = {"skin": 0.9, "saturation": 1.1}
_PICTURE: Final = (0.3, 0.6)  # share of its row that the picture takes, least and most
# The difference between neighbouring steps, and between the first figure and its ground.
_NOTES: Final = {
    "shadow": f"{fields.SHADOW_TOP / (fields.SHADOW_STEPS - 1):.1f} L* a step",
    "highlight": f"{(100 - fields.HIGHLIGHT_BOTTOM) / (fields.HIGHLIGHT_STEPS - 1):.1f} L* a step",
}
_SOLID: Final = {False: "E8L", True: "E7L"}  # the tint behind the second block of reversed type
_LANDSCAPE: Final = 1.2  # width over height from which the rows form two columns


@dataclass(frozen=True, slots=True)
class Composition:
    """What is to be painted, and the sheet that describes it.

    width, height  pixels
    marks          in painting order
    picture        where the user's picture goes; None without one
    """

    width: int
    height: int
    ppi: int
    marks: tuple[Mark, ...]
    sheet: Sheet
    map_text: str
    picture: Box | None


def compose(
    size_mm: tuple[float, float],
    ppi: int,
    encoding: Encoding,
    seed: int,
    *,
    kinds: Sequence[str] = COLOUR_KINDS,
    margins: tuple[float, float, float, float] = (MARGIN_MM,) * 4,
    picture_aspect: float = 1.5,
) -> Composition:
    """Lay out a sheet.

    Parameters
    ----------
    size_mm
        Width and height.
    ppi
        Pixels per inch.
    encoding
        Of the source values.
    seed
        Of the shuffled ring-around.
    kinds
        The kinds of region to show.
    margins
        Top, right, bottom, left, mm.
    picture_aspect
        Width over height of the user's picture.

    Raises
    ------
    UsageProblem
        When the page has no room for them.
    """
    page = Page(size_mm, ppi, encoding)
    top, right, bottom, left = margins
    frame = Frame(left, top, size_mm[0] - left - right, size_mm[1] - top - bottom)
    _check_room(frame)
    mono = any(kind.startswith("mono_") for kind in kinds)
    patches = patch_set(tuple(kinds), encoding, seed)
    head, rest = frame.split_top(page.line * 4.6, gap=page.line * 1.0)
    body, foot = rest.split_bottom(page.line * 3.4 + frame.height * 0.045, gap=page.line * 1.0)
    places = _places(page, body, kinds, picture_aspect)
    for kind, place in places.items():
        _draw(page, kind, place, patches, mono)
    _foot(page, foot, patches, mono)
    title = MONO_TITLE if mono else TITLE
    sheet = _sheet(page, f"{title}, {size_name(size_mm)}", kinds, patches, seed)
    code = sheet_code(map_toml(sheet))
    furniture.header(page, head, title, code, MONO_HOW if mono else HOW)
    sheet = replace(sheet, code=code)
    picture = places.get("picture")
    return Composition(
        width=page.width,
        height=page.height,
        ppi=ppi,
        marks=tuple(page.marks),
        sheet=sheet,
        map_text=map_toml(sheet),
        picture=page.box(picture.split_top(page.line * 1.3)[1]) if picture else None,
    )


def _check_room(frame: Frame) -> None:
    if min(frame.width, frame.height) < SHORTEST or max(frame.width, frame.height) < 1.2 * SHORTEST:
        raise UsageProblem(
            "No sheet was written.",
            where="printable area",
            expected=f"at least {SHORTEST:g} x {1.2 * SHORTEST:g} mm inside the margins",
            found=f"{frame.width:.0f} x {frame.height:.0f} mm",
            remedy="Choose a larger sheet or smaller margins.",
        )


def _places(page: Page, body: Frame, kinds: Sequence[str], picture_aspect: float) -> dict[str, Frame]:
    """A frame for every kind, captions included."""
    rows = [
        ([kind for kind in members if kind in kinds], height)
        for members, height in _ROWS
        if any(kind in kinds for kind in members)
    ]
    caption = page.line * 1.3
    gap = page.line * 0.9
    halves = _halves(rows) if body.width > _LANDSCAPE * body.height else [rows]
    places: dict[str, Frame] = {}
    for part, own in zip(body.columns(*[1.0] * len(halves), gap=page.line * 2), halves, strict=True):
        free = part.height - gap * (len(own) - 1) - caption * len(own)
        heights = [caption + height for height in _shared(free, own)]
        for (members, _), row in zip(own, part.rows(*heights, gap=gap), strict=True):
            widths = [_WIDTHS.get(kind, 1.0) for kind in members]
            if "picture" in members and len(members) == 2:
                share = (row.height - caption) * picture_aspect / row.width
                share = min(max(share, _PICTURE[0]), _PICTURE[1])
                widths = [1.0 - share, share]
            places |= zip(members, row.columns(*widths, gap=page.line * 1.5), strict=True)
    return places


def _shared(free: float, rows: list[tuple[list[str], float]]) -> list[float]:
    """The free height shared in proportion to the rows' own; capped rows leave a surplus to the others."""
    caps = [min((_MOST.get(kind, free) for kind in members), default=free) for members, _ in rows]
    total = sum(height for _, height in rows)
    capped = [min(cap, free * height / total) for cap, (_, height) in zip(caps, rows, strict=True)]
    open_rows = [cap >= free for cap in caps]
    taken = sum(height for height, is_open in zip(capped, open_rows, strict=True) if not is_open)
    share = sum(height for (_, height), is_open in zip(rows, open_rows, strict=True) if is_open)
    return [
        (free - taken) * height / share if is_open else cap
        for cap, (_, height), is_open in zip(capped, rows, open_rows, strict=True)
    ]


def _halves(rows: list[tuple[list[str], float]]) -> list[list[tuple[list[str], float]]]:
    """The rows in two columns of about equal height."""
    total = sum(height for _, height in rows)
    cut = min(range(1, len(rows)), key=lambda at: abs(sum(height for _, height in rows[:at]) - total / 2))
    return [rows[:cut], rows[cut:]]


def _draw(page: Page, kind: str, frame: Frame, patches: tuple[Patch, ...], mono: bool) -> None:
    about = question_sets()[kind]
    own = tuple(patch for patch in patches if patch.region == kind)
    page.region(kind, frame)
    note = _NOTES.get(kind.removeprefix("mono_"), "")
    inner = page.caption(frame, NUMBERS.get(kind), about.title, about.shows, note)
    with_patches: dict[str, Callable[[Page, Frame, Sequence[Patch]], None]] = {
        "neutral": blocks_grey.neutral,
        "mono_neutral": blocks_grey.neutral,
        "ring": blocks_grey.ring,
        "shadow": blocks_grey.shadow,
        "mono_shadow": blocks_grey.shadow,
        "highlight": blocks_grey.highlight,
        "mono_highlight": blocks_grey.highlight,
        "mono_tone": blocks_grey.tone,
        "skin": blocks_colour.skin,
        "saturation": blocks_colour.saturation,
        "tints": blocks_colour.tints,
    }
    if kind in with_patches:
        with_patches[kind](page, inner, own)
    elif kind == "gradient":
        blocks_colour.gradient(page, inner)
    elif kind == "detail":
        solid = next(patch.source for patch in patches if patch.id == _SOLID[mono])
        assert solid is not None
        times = max(1, min(3, int(inner.width // _DETAIL_EVERY)))
        for part in inner.columns(*[1.0] * times, gap=page.line * 2.4):
            blocks_detail.detail(page, part, solid)


def _foot(page: Page, frame: Frame, patches: tuple[Patch, ...], mono: bool) -> None:
    """Process patches and scale above the strip."""
    upper, lower = frame.rows(0.45, 0.55, gap=page.line * 0.6)
    scale, beside = upper.split_left(SCALE_MM + 2, gap=page.line * 2)
    process = tuple(patch for patch in patches if patch.series == "process")
    room = furniture.scale(page, scale)
    if process:
        rooms = [room, furniture.process(page, beside, process)]
    else:
        rooms = [replace(room, width=upper.right - room.left)]
    furniture.strip_words(page, rooms, mono)
    furniture.strip(page, lower, short_list(patches, mono))


def _sheet(page: Page, title: str, kinds: Sequence[str], patches: tuple[Patch, ...], seed: int) -> Sheet:
    placed = tuple(replace(patch, area=page.patch_areas.get(patch.id)) for patch in patches)
    return Sheet(
        digest="",
        title=title,
        code="",
        encoding=page.encoding,
        size_mm=page.size_mm,
        neutral_aim="paper",
        regions=tuple(_region(page, kind, placed) for kind in kinds),
        patches=placed,
        paper_patch=f"N{fields.NEUTRAL_STEPS}",
        black_patch="N01",
        seed=seed,
    )


def _region(page: Page, kind: str, patches: tuple[Patch, ...]) -> SheetRegion:
    about = question_sets()[kind]
    return SheetRegion(
        id=kind,
        number=NUMBERS.get(kind),
        kind=kind,
        title=about.title,
        shows=about.shows,
        area=page.region_areas.get(kind),
        questions=about.questions,
        faults=about.faults,
        patch_ids=tuple(patch.id for patch in patches if patch.region == kind),
        metrics=about.metrics,
    )
