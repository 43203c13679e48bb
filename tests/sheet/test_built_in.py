"""The maps that come with the program are what the fields say, and can be read."""

import numpy as np
import pytest

from evaluation.sheet.aims import source_lab
from evaluation.sheet.built_in import BUILT_IN, built_in_text
from evaluation.sheet.load import map_text, read_map
from evaluation.sheet.write_map import map_toml

every_map = pytest.mark.parametrize("name", BUILT_IN)


@every_map
def test_the_file_is_what_the_fields_make(name: str) -> None:
    assert map_text(name) == built_in_text(name)


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
