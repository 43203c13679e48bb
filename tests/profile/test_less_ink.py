"""Less of an ink, as device values: by hand, on RGB and CMYK."""

import numpy as np
import pytest

from evaluation.profile.less_ink import LESS, less_ink

RGB = np.array(
    [[1.0, 1.0, 1.0], [0.0, 1.0, 1.0], [0.5, 1.0, 1.0], [0.0, 0.0, 0.0]]
)  # paper, cyan, half, black


def test_bare_paper_has_no_less_of_anything() -> None:
    assert all(np.array_equal(way[0], RGB[0]) for way in less_ink(RGB, "RGB").values())


def test_less_of_a_channel_is_a_share_of_what_it_asks_for() -> None:
    less = less_ink(RGB, "RGB")["less of channel 1"]
    assert less[1] == pytest.approx([LESS, 1.0, 1.0])
    assert less[2] == pytest.approx([0.5 + LESS / 2, 1.0, 1.0])


def test_a_channel_has_no_ink_of_its_own_where_all_meet() -> None:
    assert less_ink(RGB, "RGB")["less of channel 1"][3] == pytest.approx([0.0, 0.0, 0.0])


def test_less_in_the_middle_leaves_solids_alone() -> None:
    less = less_ink(RGB, "RGB")["less of channel 1 in the middle"]
    assert less[1] == pytest.approx(RGB[1])
    assert less[2] == pytest.approx([0.5 + LESS, 1.0, 1.0])


def test_less_black_is_less_of_all_where_all_meet() -> None:
    less = less_ink(RGB, "RGB")["less black"]
    assert less[3] == pytest.approx([LESS] * 3)
    assert less[1] == pytest.approx(RGB[1])


def test_cmyk_has_a_black_of_its_own() -> None:
    cmyk = np.array([[0.0, 0.6, 0.0, 0.5]])
    ways = less_ink(cmyk, "CMYK")
    assert ways["less black"][0] == pytest.approx([0.0, 0.6, 0.0, 0.5 * (1 - LESS)])
    assert ways["less of channel 2"][0] == pytest.approx([0.0, 0.6 * (1 - LESS), 0.0, 0.5])


@pytest.mark.parametrize("space", ["GREY", "Lab"])
def test_other_spaces_have_no_inks_to_tell(space: str) -> None:
    assert less_ink(np.array([[0.5]]), space) == {}
