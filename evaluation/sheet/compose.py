"""The page as a whole: where the regions lie on a sheet of any size, and the map that records it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from evaluation.errors import UsageProblem
from evaluation.sheet import (
    blocks_colour,
    blocks_detail,
    blocks_grey,
    fields,
    furniture,
    hung,
    large,
    structure,
)
from evaluation.sheet.code import sheet_code
from evaluation.sheet.frames import Frame
from evaluation.sheet.layout import Area, Encoding, Feed, Patch, Sheet, SheetRegion, Triple
from evaluation.sheet.marks import Box, Mark
from evaluation.sheet.page import Page
from evaluation.sheet.patch_set import COLOUR_KINDS, NUMBERS, patch_set, set_of, short_list
from evaluation.sheet.plan import LEAST, plan
from evaluation.sheet.questions import question_sets
from evaluation.sheet.request import MARGIN_MM, OWN_PICTURES
from evaluation.sheet.scenes import catalogue
from evaluation.sheet.sizes import SCALE_MM, SHORTEST, size_name
from evaluation.sheet.write_map import map_toml

TITLE: Final = "Reference sheet"
MONO_TITLE: Final = "Reference sheet, mono"
HOW: Final = "Print as a picture, through the profile, at its own size. Then let it dry."
MONO_HOW: Final = (
    "Print as a picture, through the profile or in the driver's black-and-white mode, at its own size. "
    "Then let it dry."
)

_FURTHER: Final = "Pictures, under the same code. Print as the first leaf."
SCENES_OF: Final = {"scenes": catalogue.COLOUR, "mono_scenes": catalogue.MONO}  # kinds of region
_SOLID: Final = {False: "E8L", True: "E7L"}
_NOTES: Final = {
    "shadow": "0.4 L* a step at the black, then wider",
    "highlight": "0.4 L* a step at the paper, then wider",
    "mono_shadow": "0.4 L* a step at the black, then wider",
    "mono_highlight": "0.4 L* a step at the paper, then wider",
    "gloss": "in a lamp's reflection",
}


@dataclass(frozen=True, slots=True)
class Slot:
    """Room for one picture of the user's own: the region, and its pixels on a leaf."""

    region: str
    leaf: int
    box: Box


@dataclass(frozen=True, slots=True)
class Composition:
    """What is to be painted, and the sheet that describes it.

    width, height  pixels of each leaf
    leaves         marks in painting order, leaf by leaf; those after the first hold pictures alone
    slots          where the user's pictures go
    hung           where the program's own pictures go
    """

    width: int
    height: int
    ppi: int
    leaves: tuple[tuple[Mark, ...], ...]
    slots: tuple[Slot, ...]
    hung: tuple[hung.Hung, ...]
    sheet: Sheet
    map_text: str


def compose(
    size_mm: tuple[float, float],
    ppi: int,
    encoding: Encoding,
    seed: int,
    *,
    kinds: Sequence[str] = COLOUR_KINDS,
    margins: tuple[float, float, float, float] = (MARGIN_MM,) * 4,
    feed: Feed | None = None,
) -> Composition:
    """Lay out a sheet, on further leaves what the first has no room for.

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
    feed
        Which side of the sheet runs along the feed; None for the longer one.

    Raises
    ------
    UsageProblem
        When the page has no room for them.
    """
    top, right, bottom, left = margins
    frame = Frame(left, top, size_mm[0] - left - right, size_mm[1] - top - bottom)
    _check_room(frame)
    page = Page(size_mm, ppi, encoding, feed or "lengthwise")
    mono = any(kind.startswith("mono_") for kind in kinds)
    patches = patch_set(tuple(kinds), encoding, seed, large.bands(frame))
    head, rest = frame.split_top(page.line * 4.6, gap=page.line * 1.0)
    body, foot = rest.split_bottom(page.line * 3.4 + min(15.0, frame.height * 0.045), gap=page.line * 1.0)

    def drawn(width: float) -> dict[str, float]:
        return {kind: hung.height(SCENES_OF[kind], width) for kind in kinds if kind in SCENES_OF}

    places, beyond, apart = _first_leaf(page, body, kinds, drawn, large.bands(frame))
    if beyond:
        large.draw_beyond(page, beyond, patches, _solid(patches, mono))
    leaves = [(page, head, places)]
    if apart:
        ours = drawn(frame.width)
        groups = [apart]
        if plan(page, rest, apart, ours)[1] < LEAST:
            groups = [[kind for kind in apart if (kind in ours) == hangs] for hangs in (True, False)]
        for leaf, group in enumerate((group for group in groups if group), 2):
            further = Page(size_mm, ppi, encoding, page.feed, leaf)
            leaves.append((further, head, plan(further, rest, group, ours)[0]))
    slots: list[Slot] = []
    hanging: list[hung.Hung] = []
    for each, _, own in leaves:
        for kind, place in own.items():
            room = _draw(each, kind, place, patches, mono)
            if kind in OWN_PICTURES:
                slots.append(Slot(kind, each.leaf, each.box(room)))
            elif kind in SCENES_OF:
                chips = [patch for patch in patches if patch.region == kind]
                hanging += hung.hang(each, room, SCENES_OF[kind], chips)
    _foot(page, foot, patches, mono)
    title = MONO_TITLE if mono else TITLE
    pages = [each for each, _, _ in leaves]
    sheet = _sheet(pages, f"{title}, {size_name(size_mm)}", kinds, patches, seed)
    code = sheet_code(map_toml(sheet))
    for each, at, _ in leaves:
        furniture.header(each, at, title, code, (MONO_HOW if mono else HOW) if each is page else _FURTHER)
    sheet = replace(sheet, code=code)
    return Composition(
        width=page.width,
        height=page.height,
        ppi=ppi,
        leaves=tuple(tuple(each.marks) for each in pages),
        slots=tuple(slots),
        hung=tuple(hanging),
        sheet=sheet,
        map_text=map_toml(sheet),
    )


def _first_leaf(
    page: Page, body: Frame, kinds: Sequence[str], drawn: Callable[[float], Mapping[str, float]], bands: int
) -> tuple[Mapping[str, Frame], large.Beyond | None, Sequence[str]]:
    """Frames of its kinds, what stands beyond them on a large sheet, and the pictures without room on it."""
    pictures = [kind for kind in kinds if kind in OWN_PICTURES or kind in SCENES_OF]
    if bands == 1:
        places, scale = plan(page, body, kinds, drawn(body.width))
        if not pictures or scale >= LEAST:
            return places, None, ()
        return plan(page, body, [kind for kind in kinds if kind not in pictures])[0], None, pictures
    own = [kind for kind in pictures if kind in OWN_PICTURES]
    for apart in ([], own):
        here = [kind for kind in kinds if kind not in apart]
        places, beyond, fits = large.arrange(page, body, here, drawn, bands)
        if fits:
            return places, beyond, apart
    here = [kind for kind in kinds if kind not in pictures]
    places, beyond, _ = large.arrange(page, body, here, drawn, bands)
    return places, beyond, pictures


def _check_room(frame: Frame) -> None:
    if min(frame.width, frame.height) < SHORTEST or max(frame.width, frame.height) < 1.2 * SHORTEST:
        raise UsageProblem(
            "No sheet was written.",
            where="printable area",
            expected=f"at least {SHORTEST:g} x {1.2 * SHORTEST:g} mm inside the margins",
            found=f"{frame.width:.0f} x {frame.height:.0f} mm",
            remedy="Choose a larger sheet or smaller margins.",
        )


def _draw(page: Page, kind: str, frame: Frame, patches: tuple[Patch, ...], mono: bool) -> Frame:
    """Draw a region under its line of caption; returns the room below the line."""
    about = question_sets()[set_of(kind)]
    own = tuple(patch for patch in patches if patch.region == kind)
    if kind == "tints":
        own = large.of_band(own, 1)
    page.region(kind, frame)
    note = _NOTES.get(kind, "")
    if kind == "tints":
        note = f"from left to right: {page.along(across=True)}"
    elif kind == "detail":
        note = f"single pixels of {page.ppi} ppi: even only where nothing scaled the file"
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
        "gloss": blocks_colour.gloss,
    }
    if kind in with_patches:
        with_patches[kind](page, inner, own)
    elif kind == "gradient":
        blocks_colour.gradient(page, inner)
    elif kind == "structure":
        structure.structure(page, inner, coloured=not mono)
    elif kind == "detail":
        blocks_detail.across(page, inner, _solid(patches, mono))
    return inner


def _solid(patches: tuple[Patch, ...], mono: bool) -> Triple:
    """The tint behind the second block of reversed type."""
    solid = next(patch.source for patch in patches if patch.id == _SOLID[mono])
    assert solid is not None
    return solid


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
    short = short_list(patches, mono)
    furniture.strip_words(page, rooms, short)
    furniture.strip(page, lower, short)


def _sheet(
    pages: Sequence[Page], title: str, kinds: Sequence[str], patches: tuple[Patch, ...], seed: int
) -> Sheet:
    page = pages[0]
    areas: dict[str, Area] = {}
    for each in reversed(pages):  # a chip of a further leaf that is on the strip too has its place there
        areas |= each.patch_areas
    regions = {key: area for each in pages for key, area in each.region_areas.items()}
    placed = tuple(replace(patch, area=areas.get(patch.id)) for patch in patches)
    return Sheet(
        digest="",
        title=title,
        code="",
        encoding=page.encoding,
        size_mm=page.size_mm,
        neutral_aim="paper",
        regions=tuple(_region(kind, regions.get(kind), placed) for kind in kinds),
        patches=placed,
        paper_patch=f"N{fields.NEUTRAL_STEPS}",
        black_patch="N01",
        seed=seed,
        feed=page.feed,
    )


def _region(kind: str, area: Area | None, patches: tuple[Patch, ...]) -> SheetRegion:
    about = question_sets()[set_of(kind)]
    return SheetRegion(
        id=kind,
        number=NUMBERS.get(kind),
        kind=set_of(kind),
        title=about.title,
        shows=about.shows,
        area=area,
        questions=about.questions,
        faults=about.faults,
        patch_ids=tuple(patch.id for patch in patches if patch.region == kind),
        metrics=about.metrics,
    )
