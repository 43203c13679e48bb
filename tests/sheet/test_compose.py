"""The page as a whole, at every named size and beyond."""

from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.errors import UsageProblem
from evaluation.sheet.aims import source_lab
from evaluation.sheet.areas import on_sheet, overlaps
from evaluation.sheet.compose import Composition, compose
from evaluation.sheet.layout import Area, Feed
from evaluation.sheet.lettering import POINT_MM, SMALLEST_PT
from evaluation.sheet.load import read_map
from evaluation.sheet.marks import Drawn, Fill, Ink, Lines, Mark, Modules, Ramp
from evaluation.sheet.page import Page
from evaluation.sheet.patch_set import COLOUR_KINDS, MONO_KINDS, on_strip, short_list
from evaluation.sheet.request import OWN_PICTURES, SheetRequest
from evaluation.sheet.sizes import NAMED, size_mm
from evaluation.sheet.tints import DEEP_BLACK
from tests.cases import some_now

SIZES = (*NAMED, "17x13in", "24x24in", "24x36in", "44x60in", "610x1500mm", "200x300mm")
LIKE_OTHERS = (  # in kind
    "Letter", "A3", "A2", "Tabloid", "A3+", "17x22in", "24x24in", "44x60in", "17x13in", "610x1500mm",
)  # fmt: skip
NOW = (("24x36in", "colour"),)  # of wide sheets


every_size = pytest.mark.parametrize(
    "size", [pytest.param(size, marks=[pytest.mark.long] * (size in LIKE_OTHERS)) for size in SIZES]
)
both_sheets = pytest.mark.parametrize(
    ("size", "kinds"),
    [
        pytest.param(size, kinds, id=f"{size} {name}", marks=[pytest.mark.long] * long)
        for size in SIZES
        for name, kinds, long in (
            ("colour", COLOUR_KINDS, size in LIKE_OTHERS),
            ("mono", MONO_KINDS, size != "200x300mm"),
        )
    ],
)


@cache
def composed(size: str, kinds: tuple[str, ...] = COLOUR_KINDS, ppi: int = 300) -> Composition:
    return compose(size_mm(size), ppi, "srgb", 5, kinds=kinds)


@both_sheets
def test_the_map_of_the_page_is_read_without_a_mistake(size: str, kinds: tuple[str, ...]) -> None:
    """Which includes: every region and patch on the sheet, no two regions and no two patches overlapping."""
    sheet = read_map(composed(size, kinds).map_text, size)
    assert tuple(region.id for region in sheet.regions) == kinds
    assert all(region.area for region in sheet.regions)


@both_sheets
def test_nothing_is_painted_outside_the_margins(size: str, kinds: tuple[str, ...]) -> None:
    composition = composed(size, kinds)
    margin = int(8 / 25.4 * composition.ppi) - 2
    for mark in composition.leaves[0]:
        box = mark.box
        assert box.left >= margin and box.top >= margin, mark
        assert box.left + box.width <= composition.width - margin, mark
        assert box.top + box.height <= composition.height - margin, mark


@both_sheets
def test_type_never_lies_over_type_or_over_another_field(size: str, kinds: tuple[str, ...]) -> None:
    """Figures stand on their own ground, reversed type on its block; any other type is on bare paper."""
    composition = composed(size, kinds)
    type_boxes = [mark for mark in composition.leaves[0] if isinstance(mark, Ink)]
    assert not list(overlaps(_boxes(type_boxes, composition)))
    fields = [mark for mark in composition.leaves[0] if isinstance(mark, Fill | Ramp | Lines | Modules)]
    for mark in type_boxes:
        for field in fields:
            if _common(mark, field):
                assert _within(mark, field), (mark.box, field.box)


@both_sheets
def test_fields_of_the_strip_never_touch(size: str, kinds: tuple[str, ...]) -> None:
    sheet = composed(size, kinds).sheet
    strip = [sheet.patch(patch.id).area for patch in short_list(sheet.patches, kinds is MONO_KINDS)]
    assert len(strip) == 30
    assert [patch.area for patch in on_strip(sheet)] == strip
    areas = [area for area in strip if area is not None]
    for before, after in pairwise(areas):
        gap = (after.left - before.left - before.width) * sheet.size_mm[0]
        assert gap > 0.7
        assert before.width * sheet.size_mm[0] > 4.0  # a hand-held aperture of 4 mm; MEMORY


@pytest.mark.parametrize("size", some_now(["A4", "13x19in", "24x24in"], "A4"))
def test_even_tints_are_wide_and_high_enough_for_what_is_looked_for_in_them(size: str) -> None:
    """Mottle is density that wanders over more than 5 mm (as its question says), on both sides of a field."""
    sheet = composed(size).sheet
    wide, high = sheet.size_mm
    for patch in (sheet.patch(each) for each in sheet.region("tints").patch_ids):
        assert patch.area is not None
        assert patch.area.width * wide > 6.5 and patch.area.height * high > 7.5, patch.id


def test_two_chips_stand_in_the_strip_where_the_sheet_has_pictures() -> None:
    """A leaf green and a sky blue, far from its other fields; each third keeps two greys (own choice)."""
    sheet = composed("13x19in").sheet
    kinds = tuple(kind for kind in COLOUR_KINDS if kind != "scenes")
    short = short_list(sheet.patches, False)
    without = short_list(composed("13x19in", kinds).sheet.patches, False)
    assert len(short) == len(without) == 30
    assert {patch.id for patch in short} - {patch.id for patch in without} == {"FO2", "DU3"}
    aims = dict(zip((patch.id for patch in sheet.patches), source_lab(sheet), strict=True))
    for chip in ("FO2", "DU3"):
        others = [aims[patch.id] for patch in short if patch.id != chip]
        assert delta_e_2000(aims[chip], np.array(others)).min() > 10
    greys = [aims[patch.id][0] for patch in short if patch.region == "neutral"]
    for low, high in ((1, 33), (34, 66), (67, 99)):
        assert len([grey for grey in greys if low < grey < high]) >= 2


@every_size
def test_ring_fields_have_bare_paper_of_a_fields_width_around_them(size: str) -> None:
    sheet = composed(size).sheet
    ring = [sheet.patch(patch).area for patch in sheet.region("ring").patch_ids]
    wide = [Area(a.left - a.width / 2.1, a.top, a.width * 1.95, a.height) for a in ring if a]
    assert len(wide) == 75
    assert not list(overlaps([(str(n), area) for n, area in enumerate(wide)]))


@every_size
@pytest.mark.parametrize("ppi", [150, 300, 720])
def test_small_type_is_never_below_six_points(size: str, ppi: int) -> None:
    page = Page(size_mm(size), ppi, "srgb")
    assert page.points >= SMALLEST_PT
    assert page.points * POINT_MM >= 2.1


def test_line_groups_are_whole_pixels_on_the_native_grid() -> None:
    groups = [mark for mark in composed("A4", ppi=720).leaves[0] if isinstance(mark, Lines)]
    assert sorted({mark.thick for mark in groups}) == [1, 2, 3, 4, 5, 6, 8]
    assert {mark.upright for mark in groups} == {True, False}
    for mark in groups:
        length = mark.box.width if mark.upright else mark.box.height
        assert length % (2 * mark.thick) == mark.thick  # ends with a line


def test_the_seed_changes_the_code_and_nothing_else_of_the_page() -> None:
    one, other = composed("A4"), compose(size_mm("A4"), 300, "srgb", 2)
    assert one.sheet.code != other.sheet.code
    assert [region.area for region in one.sheet.regions] == [region.area for region in other.sheet.regions]


def test_a_sheet_that_is_too_small_is_refused() -> None:
    with pytest.raises(UsageProblem, match="printable area"):
        composed("150x200mm")


@pytest.mark.parametrize(
    "size", [pytest.param(size, marks=[pytest.mark.long] * (size != "A4")) for size in SIZES]
)
def test_without_margins_nothing_lies_beside_the_page(size: str) -> None:
    """The soft edge of type is cut; a mark beside the page could not be painted."""
    composition = compose(size_mm(size), 150, "srgb", 1, margins=(0, 0, 0, 0))
    for mark in composition.leaves[0]:
        box = mark.box
        assert box.left >= 0 and box.top >= 0, mark
        assert box.left + box.width <= composition.width, mark
        assert box.top + box.height <= composition.height, mark


def test_margins_are_kept() -> None:
    composition = compose(size_mm("A3"), 150, "srgb", 1, margins=(5, 10, 30, 20))
    boxes = np.array(
        [
            (mark.box.left, mark.box.top, mark.box.left + mark.box.width, mark.box.top + mark.box.height)
            for mark in composition.leaves[0]
        ]
    )
    per_mm = 150 / 25.4
    assert boxes[:, 0].min() >= 20 * per_mm - 3
    assert boxes[:, 1].min() >= 5 * per_mm - 2
    assert boxes[:, 2].max() <= composition.width - 10 * per_mm + 2
    assert boxes[:, 3].max() <= composition.height - 30 * per_mm + 2


@pytest.mark.parametrize("size", some_now(["13x19in", "17x13in", "A4"], "A4"))
def test_tints_stand_left_middle_and_right_of_the_true_width(size: str) -> None:
    sheet = composed(size).sheet
    tints = {
        step: np.mean(
            [
                p.area.left + p.area.width / 2
                for p in sheet.patches
                if p.region == "tints" and p.step == step and p.area
            ]
        )
        for step in (1, 2, 3)
    }
    assert tints[1] < 0.2 and abs(tints[2] - 0.5) < 0.05 and tints[3] > 0.8


@pytest.mark.parametrize(
    ("size", "feed", "upright"),
    [
        ("13x19in", "lengthwise", "along feed"),
        pytest.param("13x19in", "across", "across", marks=pytest.mark.long),
        pytest.param("19x13in", "lengthwise", "across", marks=pytest.mark.long),
        ("19x13in", "across", "along feed"),
    ],
)
def test_the_feed_decides_what_lines_are_called(size: str, feed: Feed, upright: str) -> None:
    """Upright lines run along the feed where the side from top to bottom does; the map says which."""
    page = Page(size_mm(size), 150, "srgb", feed)
    assert page.along(across=False) == upright
    assert {page.along(across=False), page.along(across=True)} == {"along feed", "across"}
    assert read_map(compose(size_mm(size), 150, "srgb", 5, feed=feed).map_text, "map").feed == feed


@pytest.mark.parametrize(
    ("size", "roll", "asked", "fed"),
    [
        ("13x19in", None, None, "lengthwise"),
        ("19x13in", None, None, "lengthwise"),
        ("13x19in", 610.0, None, "lengthwise"),
        ("19x13in", 610.0, None, "across"),  # as wide as the picture, the roll feeds it upright
        ("19x13in", 432.0, None, "lengthwise"),  # too wide for the roll: turned
        ("19x13in", 610.0, "lengthwise", "lengthwise"),
    ],
)
def test_the_feed_is_asked_for_or_follows_from_the_roll(
    size: str, roll: float | None, asked: Feed | None, fed: Feed
) -> None:
    assert SheetRequest(size_mm(size), roll_mm=roll, feed=asked).fed == fed


def test_of_the_two_greys_one_went_through_eight_bits() -> None:
    ramps = [mark for mark in composed("A4").leaves[0] if isinstance(mark, Ramp)][-2:]
    smooth, stepped = (mark.colours[:, 0] for mark in ramps)
    assert set((stepped / 257).tolist()) <= set(range(256))  # 65535 is 255 x 257
    assert len(np.unique(stepped)) < 60 < 1000 < len(np.unique(smooth))
    assert np.abs(smooth.astype(int) - stepped.astype(int)).max() <= 129


def test_every_leaf_keeps_its_margins_and_its_type_apart() -> None:
    composition = composed("297x210mm", ppi=150)
    assert len(composition.leaves) == 3, "fields, our pictures, those of one's own"
    for marks in composition.leaves[1:]:
        type_boxes = [mark for mark in marks if isinstance(mark, Ink)]
        assert not list(overlaps(_boxes(type_boxes, composition)))
        for mark in marks:
            assert mark.box.left >= 45 and mark.box.left + mark.box.width <= composition.width - 45
            assert mark.box.top >= 45 and mark.box.top + mark.box.height <= composition.height - 45
    for each in composition.hung:
        assert each.box.left + each.box.width <= composition.width - 45
        assert each.box.top + each.box.height <= composition.height - 45


def test_pictures_without_room_go_on_a_second_leaf_of_the_same_map() -> None:
    small, large = composed("A4"), composed("17x22in")
    assert len(small.leaves) == 2 and len(large.leaves) == 1
    sheet = read_map(small.map_text, "map")
    leaves = {region.id: region.area.leaf for region in sheet.regions if region.area}
    assert {key for key, leaf in leaves.items() if leaf == 2} == {"scenes", *OWN_PICTURES}
    assert [slot.region for slot in small.slots] == [*OWN_PICTURES]
    assert {slot.leaf for slot in small.slots} == {2} and {slot.leaf for slot in large.slots} == {1}
    assert {region.kind for region in sheet.regions if region.id.startswith("picture")} == {"picture"}


def _boxes(marks: list[Ink], composition: Composition) -> list[tuple[str, Area]]:
    return [
        (
            str(n),
            Area(
                mark.box.left / composition.width,
                mark.box.top / composition.height,
                mark.box.width / composition.width,
                mark.box.height / composition.height,
            ),
        )
        for n, mark in enumerate(marks)
    ]


def _common(one: Mark, other: Mark) -> bool:
    a, b = one.box, other.box
    return (
        a.left < b.left + b.width - 1
        and b.left < a.left + a.width - 1
        and a.top < b.top + b.height - 1
        and b.top < a.top + a.height - 1
    )


def _within(one: Mark, other: Mark) -> bool:
    a, b = one.box, other.box
    return (
        a.left >= b.left - 2
        and a.top >= b.top - 2
        and a.left + a.width <= b.left + b.width + 2
        and a.top + a.height <= b.top + b.height + 2
    )


def test_areas_lie_on_the_sheet() -> None:
    for patch in composed("A4").sheet.patches:
        assert patch.area is None or on_sheet(patch.area)


@pytest.mark.parametrize(
    ("size", "bands", "kinds"),
    [
        pytest.param(
            size, bands, kinds, id=f"{size} {name}", marks=[pytest.mark.long] * ((size, name) not in NOW)
        )
        for size, bands in (("24x36in", 3), ("44x60in", 5), ("36x24in", 2), ("24x24in", 2), ("60x44in", 4))
        for name, kinds in (("colour", COLOUR_KINDS), ("mono", MONO_KINDS))
    ],
)
def test_wide_sheets_are_composed_for_their_size(size: str, bands: int, kinds: tuple[str, ...]) -> None:
    """Fields keep their millimetres; tints, black, gradients and detail reach across and along the sheet."""
    composition = composed(size, kinds, 150)
    sheet = composition.sheet
    areas = {patch.id: patch.area for patch in sheet.patches if patch.area}
    wide, high = sheet.size_mm
    tints = [p for p in sheet.patches if p.region == "tints" and p.series != DEEP_BLACK]
    assert len(tints) == 27 * bands == len({p.id for p in tints})
    tops = sorted(
        high * np.mean([areas[p.id].top for p in tints if ((p.step or 0) - 1) // 3 == band])
        for band in range(bands)
    )
    assert tops[0] < 0.12 * high and tops[-1] > 0.78 * high
    assert max(after - before for before, after in pairwise(tops)) < 460  # mm; 300 are wanted of the feed
    black = [areas[f"EB{place}"] for place in "LMR"]
    assert sum(each.width for each in black) > 0.75 and black[0].height > 0.12
    boxes = [mark.box for mark in composition.leaves[0] if isinstance(mark, Drawn | Fill)]
    tall = [box for box in boxes if box.height > 0.8 * composition.height]
    assert len(tall) == 4  # black at both sides, a gradient beside each
    ramps = [mark.box for mark in composition.leaves[0] if isinstance(mark, Ramp)]
    assert sum(box.width > 0.75 * composition.width for box in ramps) == 2
    first = sheet.region("neutral" if kinds is COLOUR_KINDS else "mono_neutral").area
    assert first is not None and 230 < first.width * wide < 400
    assert on_strip(sheet) == short_list(sheet.patches, kinds is MONO_KINDS)
    leaves = {region.id: region.area.leaf for region in sheet.regions if region.area}
    assert len(leaves) == len(sheet.regions)
    further = 2 if size in ("36x24in", "24x24in") else 1  # no room for pictures of one's own between the rest
    assert {leaves[own] for own in OWN_PICTURES if own in kinds} <= {further}
    assert {leaf for region, leaf in leaves.items() if region not in OWN_PICTURES} == {1}
    read_map(composition.map_text, size)  # no two fields overlap


@pytest.mark.long
def test_gradients_along_the_sheet_run_from_end_to_end() -> None:
    """The first and the last row have the colours of its ends, and strips join without a seam."""
    mark = next(
        m for m in composed("24x36in", ppi=150).leaves[0] if isinstance(m, Drawn) and m.box.height > 4000
    )
    whole = np.empty((mark.box.height, mark.box.width, 3), np.uint16)
    mark.paint(whole, 0)
    part = np.empty((100, mark.box.width, 3), np.uint16)
    mark.paint(part, 1000)
    assert (part == whole[1000:1100]).all()
    assert (whole[0] == np.rint(mark.colours[0])).all() and (whole[-1] == np.rint(mark.colours[-1])).all()
    assert np.unique(whole[:, 0, 0]).size > 1000
    middle = mark.colours[len(mark.colours) // 2]
    assert np.abs(whole[mark.box.height // 2] - middle).max() < 100
