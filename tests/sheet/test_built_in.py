"""The maps that come with the program are what the fields say, and can be read."""

from dataclasses import replace

import numpy as np
import pytest

from evaluation.sheet.aims import source_lab
from evaluation.sheet.code import sheet_code
from evaluation.sheet.load import map_text, read_map
from evaluation.sheet.write_map import map_toml

every_map = pytest.mark.parametrize("name", ["colour-13", "mono-10", "colour-9", "mono-7", "colour-4"])


# Sheets were printed and sessions begun with these maps: they stay as they are, under their codes.
CODES = {
    "colour-13": "VH5R-ZP2W",
    "mono-10": "TG2A-9QF5",
    "colour-9": "YACH-2P57",
    "mono-7": "89R9-H4RN",
    "colour-4": "6TG4-FKR3",
}


@pytest.mark.parametrize(("name", "code"), CODES.items())
def test_a_map_that_came_with_the_program_keeps_its_code(name: str, code: str) -> None:
    """The code is a digest of the map's text without it: one changed letter would make another."""
    sheet = read_map(map_text(name), name)
    assert sheet.code == code == sheet_code(map_toml(replace(sheet, code="")))


@every_map
def test_writing_and_reading_gives_the_same_sheet(name: str) -> None:
    sheet = read_map(map_text(name), name)
    again = read_map(map_toml(sheet), name)
    assert (again.regions, again.patches) == (sheet.regions, sheet.patches)


@every_map
def test_paper_and_black_are_white_and_nothing(name: str) -> None:
    sheet = read_map(map_text(name), name)
    assert sheet.paper_patch and sheet.patch(sheet.paper_patch).source == (1.0, 1.0, 1.0)
    assert sheet.black_patch and sheet.patch(sheet.black_patch).source == (0.0, 0.0, 0.0)


@every_map
def test_every_patch_has_an_aim(name: str) -> None:
    sheet = read_map(map_text(name), name)
    aims = source_lab(sheet)
    assert aims.shape == (len(sheet.patches), 3)
    assert np.isfinite(aims).all()


def test_the_four_regions_of_the_card() -> None:
    sheet = read_map(map_text("colour-4"), "colour-4")
    assert [(region.number, region.id, len(region.patch_ids)) for region in sheet.regions] == [
        (1, "neutral", 21),
        (2, "shadow", 16),
        (4, "skin", 24),
        (5, "saturation", 96),
    ]
