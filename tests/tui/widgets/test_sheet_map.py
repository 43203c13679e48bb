"""The small map: regions where they lie, one framed, never larger than its place."""

import re

import pytest

from evaluation.sheet.layout import Area, Sheet, SheetRegion
from evaluation.sheet.load import map_text, read_map
from tui.widgets.lines import Tone, spans, text_of, texts
from tui.widgets.sheet_map import sheet_map


def region(id: str, number: int | None, *area: float) -> SheetRegion:
    return SheetRegion(id, number, id, id, "", Area(*area) if area else None, (), (), (), ())


def sheet(*regions: SheetRegion, size: tuple[float, float] = (482.6, 330.2)) -> Sheet:
    return Sheet("0" * 64, "test", "", None, size, "paper", regions, (), None, None)


RAMP = region("ramp", 1, 0.04, 0.04, 0.92, 0.1)
LEFT, RIGHT = region("left", 6, 0.04, 0.6, 0.3, 0.15), region("right", 7, 0.4, 0.6, 0.56, 0.3)


def test_regions_lie_where_the_sheet_has_them() -> None:
    assert texts(sheet_map(sheet(RAMP, LEFT, RIGHT), "left", 25, 10)) == [
        " ░░░░░░░░░░ 1 ░░░░░░░░░░",
        "",
        "",
        "",
        "",
        " ┏━━━━━┓  ░░░░░░░░░░░░░░",
        " ┃  6  ┃  ░░░░░ 7 ░░░░░░",
        " ┗━━━━━┛  ░░░░░░░░░░░░░░",
        "",
    ]


def test_a_frame_never_covers_another_region() -> None:
    """Where there is no room for a frame of three rows, it is flatter."""
    close = [region(str(row), row, 0.04, 0.1 * row, 0.92, 0.1) for row in range(1, 9)]
    rows = texts(sheet_map(sheet(*close, size=(100, 100)), "4", 27, 12))
    assert any("┣" in row and " 4 " in row and "┫" in row for row in rows)
    assert [row for row in range(1, 9) if any(str(row) in line for line in rows)] == list(range(1, 9))


@pytest.mark.parametrize("size", [(482.6, 330.2), (330.2, 482.6), (100, 1000), (1000, 100), (0, 0)])
@pytest.mark.parametrize(("width", "height"), [(27, 11), (50, 24), (12, 6)])
def test_a_sheet_of_any_shape_stays_inside(size: tuple[float, float], width: int, height: int) -> None:
    rows = [text_of(line) for line in sheet_map(sheet(RAMP, LEFT, RIGHT, size=size), "right", width, height)]
    assert len(rows) <= height
    assert {len(row) for row in rows} == {len(rows[0])}
    assert len(rows[0]) <= width


def test_a_region_without_a_number_is_framed_where_it_lies() -> None:
    ring = region("ring", None, 0.1, 0.2, 0.5, 0.3)
    rows = texts(sheet_map(sheet(RAMP, ring), "ring", 27, 12))
    assert any("┏" in row for row in rows)


def test_a_region_without_a_place_frames_nothing() -> None:
    rows = texts(sheet_map(sheet(RAMP, region("own", 9)), "own", 27, 12))
    assert not any("┏" in row for row in rows)


@pytest.mark.parametrize("name", ["colour-13", "colour-9", "mono-10"])
def test_every_number_is_seen_whichever_region_is_framed(name: str) -> None:
    """On the map of 80 columns and 24 rows, the smallest there is."""
    drawn = read_map(map_text(name), name)
    numbers = {str(each.number) for each in drawn.regions if each.number is not None}
    for each in drawn.regions:
        seen = re.findall(r"\d+", " ".join(texts(sheet_map(drawn, each.id, 27, 11))))
        assert numbers <= set(seen), each.id


def test_a_region_is_drawn_as_what_is_printed_there() -> None:
    """The greyscale of the sheet runs from its darkest patch to paper, in greys, two rows to a cell."""
    drawn = read_map(map_text("colour-9"), "colour-9")
    rows = sheet_map(drawn, "neutral", 60, 30, greys=(8, 208, 30))
    ramp = next(row for row in rows if "▀" in text_of(row) and "┃" in text_of(row))
    greys = [weight.front for _, weight in spans(ramp) if isinstance(weight, Tone)]
    assert greys == sorted(greys) and greys[0] == 8 and greys[-1] > 190


def test_regions_that_are_not_in_hand_step_back() -> None:
    drawn = read_map(map_text("colour-9"), "colour-9")

    def reach(here: str) -> int:
        rows = sheet_map(drawn, here, 60, 30, greys=(8, 208, 30))
        row = next(row for row in rows if "▀" in text_of(row))
        greys = [weight.front for _, weight in spans(row) if isinstance(weight, Tone)]
        return max(greys) - min(greys)

    assert reach("tints") < reach("neutral")
