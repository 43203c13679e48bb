"""The colour each patch is meant to have."""

from pathlib import Path

import numpy as np
import pytest

from evaluation.sheet.aims import source_lab
from evaluation.sheet.load import read_map

CHART = Path(__file__).parent / "data" / "chart-24.toml"


def test_a_stated_aim_is_taken_as_it_is() -> None:
    sheet = read_map(CHART.read_text(encoding="utf-8"), "chart-24.toml")
    aims = source_lab(sheet)
    assert aims.shape == (24, 3)
    np.testing.assert_allclose(aims[0], [37.8350, 15.4371, 16.5616])


def test_an_aim_is_worked_out_from_the_source() -> None:
    """sRGB red is L* 54.29, a* 80.81, b* 69.89 in D50: Lindbloom's calculator, Bradford; also coloraide."""
    text = (
        'format = 1\ntitle = "one"\nencoding = "srgb"\nsource_scale = 255\nsize_mm = [10, 10]\n'
        '[[region]]\nid = "neutral"\n[[patch]]\nid = "red"\nsource = [255, 0, 0]\n'
    )
    aims = source_lab(read_map(text, "one"))
    np.testing.assert_allclose(aims[0], [54.29, 80.81, 69.89], atol=0.02)


def test_the_aims_agree_with_an_independent_library() -> None:
    """coloraide's own sRGB and Lab D50, Bradford."""
    coloraide = pytest.importorskip("coloraide")
    text = (
        'format = 1\ntitle = "one"\nencoding = "srgb"\nsource_scale = 255\nsize_mm = [10, 10]\n'
        '[[region]]\nid = "neutral"\n[[patch]]\nid = "skin"\nsource = [200, 150, 130]\n'
    )
    aim = source_lab(read_map(text, "one"))[0]
    other = coloraide.Color("srgb", [200 / 255, 150 / 255, 130 / 255]).convert("lab")
    np.testing.assert_allclose(aim, other.coords(), atol=0.03)
