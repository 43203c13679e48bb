"""Aims of neutrals on a paper that is not neutral itself."""

from pathlib import Path

import numpy as np
import pytest

from evaluation.colorimetry.difference import delta_c, delta_ch, delta_h
from evaluation.colorimetry.grey import absolute_aim, line_aim, paper_aim, toned_aim
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import media_relative
from evaluation.published.passport import read_toml

PUBLISHED = Path(__file__).parents[1] / "published" / "grey-aim.toml"
_, WORKED = read_toml(PUBLISHED.read_text(encoding="utf-8"), "grey-aim.toml")
PAPER = np.array(WORKED["line"]["paper"])  # a coated paper measured under M1
SCALE = np.linspace(10.0, 95.0, 18)
BLACK = WORKED["line"]["darkest"]


@pytest.mark.parametrize(("factor", "columns"), [(0.85, slice(1, 3)), (1.0, slice(3, 5))])
def test_the_line_of_iso_12647_2_worked_through(factor, columns):
    """Every row worked out from the formula for an overprint of L* 23; the factor 0.85 is MEMORY."""
    rows = np.array(WORKED["line"]["rows"])
    np.testing.assert_allclose(line_aim(rows[:, 0], PAPER, BLACK, factor), rows[:, columns], atol=5e-5)


def test_dch_of_a_measured_grey_from_its_line():
    """The distance left when lightness is taken out: dCh^2 = dC*^2 + dH*^2, by algebra."""
    measured, worked = WORKED["measured"]["lab"], WORKED["measured"]["aim"]
    aim = line_aim(np.array(measured[:1]), PAPER, BLACK, 0.85)[0]
    np.testing.assert_allclose(aim, worked, atol=5e-5)
    seen = [measured[0], *aim]
    assert delta_ch(seen, measured) == pytest.approx(WORKED["measured"]["dch"], abs=5e-5)
    assert np.hypot(delta_c(seen, measured), delta_h(seen, measured)) == pytest.approx(
        WORKED["measured"]["dch"], abs=5e-5
    )


def test_the_ends_of_the_line_are_held():
    np.testing.assert_allclose(
        line_aim(np.array([5.0, 23.0, 95.0, 97.0]), PAPER, BLACK, 0.85),
        [[0.225, -0.9], [0.225, -0.9], [1.5, -6.0], [1.5, -6.0]],
    )


def test_without_a_scale_the_line_is_the_paper():
    np.testing.assert_allclose(line_aim(np.array([95.0, 40.0]), PAPER, 95.0, 0.85), [PAPER[1:], PAPER[1:]])


def test_the_paper_aim_is_a_straight_line_above_l_8():
    """Algebra of CIELAB: a_paper (L + 16) / (L_paper + 16)."""
    expected = PAPER[1:] * (SCALE[:, None] + 16) / (PAPER[0] + 16)
    np.testing.assert_allclose(paper_aim(SCALE, PAPER), expected, atol=1e-9)


def test_below_l_8_the_paper_aim_is_proportional_to_luminance():
    shares = np.array([0.002, 0.004])
    dark = lab_from_xyz(shares[:, None] * xyz_from_lab(PAPER))
    np.testing.assert_allclose(paper_aim(dark[:, 0], PAPER), dark[:, 1:], atol=1e-12)
    straight = PAPER[1:] * (dark[:, :1] + 16) / (PAPER[0] + 16)
    assert np.abs(straight - dark[:, 1:]).max() > 0.2


def test_a_grey_on_the_paper_aim_is_0_0_media_relative():
    greys = np.column_stack([SCALE, paper_aim(SCALE, PAPER)])
    relative = lab_from_xyz(media_relative(xyz_from_lab(greys), xyz_from_lab(PAPER)))
    np.testing.assert_allclose(relative[:, 1:], 0.0, atol=1e-9)


def test_media_relative_the_line_is_the_paper_aim():
    """Once the paper is D50 both are 0, 0 everywhere, so one fault is never counted twice."""
    white = np.array([100.0, 0.0, 0.0])
    np.testing.assert_allclose(line_aim(SCALE, white, 10.0, 0.85), paper_aim(SCALE, white), atol=1e-12)


@pytest.mark.parametrize(
    ("paper", "black", "largest"),
    [
        ((95.0, 0.8, -4.0), 2.5, 0.06),
        ((95.0, 2.0, -9.0), 3.5, 0.25),
        ((95.0, 0.2, -1.5), 18.0, 0.23),
        ((95.0, 2.5, -10.0), 18.0, 1.65),
    ],
    ids=["photo paper", "whitened photo paper", "matt", "whitened matt"],
)
def test_line_and_paper_aim_part_only_on_whitened_matt(paper, black, largest):
    """Largest dCh between them from black to paper: 0.06, 0.25, 0.23 and 1.65 (worked with numpy)."""
    levels = np.linspace(max(black, 8.0), 95.0, 60)
    between = paper_aim(levels, paper) - line_aim(levels, paper, black, 0.85)
    assert np.hypot(*between.T).max() == pytest.approx(largest, abs=0.06)


def test_absolute_is_0_0_on_any_paper():
    np.testing.assert_array_equal(absolute_aim(np.ones((3, 5))), np.zeros((3, 5, 2)))


def test_a_tone_of_ones_own_is_followed_and_its_ends_held():
    curve = [[10.0, 0.5, 2.0], [50.0, 1.5, 6.0], [95.0, 0.0, 1.0]]
    aim = toned_aim(np.array([0.0, 10.0, 30.0, 95.0, 99.0]), curve)
    np.testing.assert_allclose(aim, [[0.5, 2.0], [0.5, 2.0], [1.0, 4.0], [0.0, 1.0], [0.0, 1.0]])


def test_draws_may_each_have_their_own_paper_and_black():
    levels = np.broadcast_to(SCALE, (4, 18))
    papers = np.tile(PAPER, (4, 1))
    assert paper_aim(levels, papers).shape == (4, 18, 2)
    aims = line_aim(levels, papers, np.full(4, BLACK), 0.85)
    assert aims.shape == (4, 18, 2)
    np.testing.assert_allclose(aims[3], line_aim(SCALE, PAPER, BLACK, 0.85))
