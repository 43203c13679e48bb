"""Media-relative colour and the aim's black."""

import numpy as np
import pytest

from evaluation.colorimetry.density import y_from_density
from evaluation.colorimetry.difference import delta_e_2000
from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import map_black, media_absolute, media_relative, media_relative_lab

YELLOW_PAPER = xyz_from_lab([94.0, 0.5, 8.0])
RNG = np.random.default_rng(11)


def lightness(xyz):
    return lab_from_xyz(xyz)[..., 0]


def neutral(*levels):
    return xyz_from_lab(np.array([[level, 0.0, 0.0] for level in levels]))


def test_a_perfect_print_on_yellow_paper_has_no_difference_media_relative_and_one_absolute():
    aim = xyz_from_lab(RNG.uniform((20, -40, -40), (95, 40, 40), (50, 3)))
    printed = media_absolute(aim, YELLOW_PAPER)
    relative = delta_e_2000(lab_from_xyz(aim), lab_from_xyz(media_relative(printed, YELLOW_PAPER)))
    np.testing.assert_allclose(relative, 0.0, atol=1e-9)
    assert delta_e_2000(lab_from_xyz(aim), lab_from_xyz(printed)).min() > 1.0


def test_the_paper_itself_becomes_d50():
    np.testing.assert_allclose(media_relative(YELLOW_PAPER, YELLOW_PAPER), D50_WHITE, atol=1e-12)


def test_each_draw_may_have_its_own_paper():
    papers = YELLOW_PAPER + RNG.normal(0, 0.1, (4, 1, 3))
    assert media_relative(np.ones((4, 7, 3)), papers).shape == (4, 7, 3)


def test_in_cielab_it_is_the_same_as_by_way_of_xyz_down_to_black():
    """ISO/CIE 11664-4 there and back; below L* 8 its line, and colours that lie on both sides of it."""
    light = RNG.uniform((10, -60, -60), (98, 60, 60), (200, 3))
    dark = RNG.uniform((0, -8, -8), (10, 8, 8), (200, 3))
    lab = np.concatenate([light, dark, [[np.nan] * 3]])
    papers = YELLOW_PAPER + RNG.normal(0, 0.1, (4, 1, 3))
    long = lab_from_xyz(media_relative(xyz_from_lab(lab), papers))
    np.testing.assert_allclose(media_relative_lab(np.tile(lab, (4, 1, 1)), papers), long, atol=1e-11)


def test_white_stays_and_black_goes_to_the_luminance_asked_for():
    np.testing.assert_allclose(map_black(D50_WHITE, 0.0, 0.4), D50_WHITE)
    np.testing.assert_allclose(map_black([0.0, 0.0, 0.0], 0.0, 0.4), 0.004 * D50_WHITE)
    np.testing.assert_allclose(map_black(0.003 * D50_WHITE, 0.3, 0.4), 0.004 * D50_WHITE)


def test_the_mapped_black_is_neutral_so_a_tinted_black_is_not_excused():
    """A black of D 2.55 and b* -1.8 is 1.8 dCh off at source L* 0, not 0."""
    black = xyz_from_lab([lightness(D50_WHITE * y_from_density(2.55) / 100), 0.0, -1.8])
    aim = lab_from_xyz(map_black(neutral(0, 10, 20), 0.0, black[1]))
    np.testing.assert_allclose(aim[:, 1:], 0.0, atol=1e-9)
    assert np.hypot(*(lab_from_xyz(black) - aim[0])[1:]) == pytest.approx(1.8, abs=0.01)


def test_a_print_with_too_little_ink_does_not_set_its_own_bar():
    """Expected D 2.4, printed D 1.6 on a paper of D 0.05: the shadows are too light."""
    source = neutral(0, 5, 13, 24)
    expected = lightness(map_black(source, 0.0, y_from_density(2.4 - 0.05)))
    printed = lightness(map_black(source, 0.0, y_from_density(1.6 - 0.05)))
    np.testing.assert_allclose(printed - expected, [15.3, 12.6, 9.3, 6.0], atol=0.2)


def test_even_steps_in_the_file_are_uneven_on_paper():
    """21 steps of 5 L* on a paper of D 0.05: spread of step sizes 0.03, 0.12, 0.23 at D 2.6, 2.0, 1.6."""
    source = neutral(*np.arange(0, 101, 5))
    for density, spread in ((2.6, 0.03), (2.0, 0.12), (1.6, 0.23)):
        steps = np.diff(lightness(map_black(source, 0.0, y_from_density(density - 0.05))))
        assert steps.std() / steps.mean() == pytest.approx(spread, abs=0.006)
    assert steps[0] == pytest.approx(2.1, abs=0.06)


def test_black_levels_broadcast_over_draws():
    mapped = map_black(neutral(0, 50, 100), 0.0, np.array([[0.2], [0.4]]))
    assert mapped.shape == (2, 3, 3)
    np.testing.assert_allclose(mapped[:, 0, 1], [0.2, 0.4])
