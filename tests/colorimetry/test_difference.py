"""CIEDE2000 and the parts of a difference."""

from pathlib import Path

import numpy as np
import pytest
from coloraide import Color
from hypothesis import given
from hypothesis import strategies as st

from evaluation.colorimetry.difference import (
    delta_c,
    delta_ch,
    delta_e_76,
    delta_e_2000,
    delta_e_2000_equal_l,
    delta_h,
    delta_l,
)
from evaluation.published.passport import read_table

PUBLISHED = Path(__file__).parents[1] / "published"
LAB = st.tuples(
    st.floats(0, 100, allow_subnormal=False),
    st.floats(-100, 100, allow_subnormal=False),
    st.floats(-100, 100, allow_subnormal=False),
)


def pairs():
    """Sharma, Wu and Dalal 2005, Table 1."""
    table = read_table((PUBLISHED / "ciede2000-pairs.csv").read_text(encoding="utf-8"), "ciede2000-pairs.csv")
    columns = [np.array(table.numbers(name)) for name in ("L1", "a1", "b1", "L2", "a2", "b2", "dE00")]
    values = np.column_stack(columns)
    return values[:, :3], values[:, 3:6], values[:, 6]


def test_all_34_published_pairs_to_4_decimals():
    reference, sample, expected = pairs()
    assert len(expected) == 34
    np.testing.assert_array_equal(np.round(delta_e_2000(reference, sample), 4), expected)


def test_reference_and_sample_may_be_exchanged():
    """CIEDE2000 is symmetric, also on the branch of opposite hues."""
    reference, sample, expected = pairs()
    np.testing.assert_array_equal(np.round(delta_e_2000(sample, reference), 4), expected)


def test_the_branch_of_opposite_hues_does_not_hang_on_the_last_bit():
    """Exactly opposite hues count as not more than 180 degrees apart, wherever rounding puts them."""
    angles = np.radians(np.arange(0.37, 360, 0.731))
    colours = 3 * np.column_stack([np.zeros_like(angles), np.cos(angles), np.sin(angles)])
    opposite = -0.7 * colours
    turned = np.where(np.degrees(angles) < 180, -1e-7, 1e-7)  # a hair less than 180 degrees away
    near = opposite.copy()
    near[:, 1] = opposite[:, 1] * np.cos(turned) - opposite[:, 2] * np.sin(turned)
    near[:, 2] = opposite[:, 1] * np.sin(turned) + opposite[:, 2] * np.cos(turned)
    np.testing.assert_allclose(delta_e_2000(colours, opposite), delta_e_2000(colours, near), atol=1e-4)


def test_colour_science_agrees_on_random_colours(colour_science):
    rng = np.random.default_rng(7)
    reference, sample = rng.uniform((0, -90, -90), (100, 90, 90), (2, 500, 3))
    other = colour_science.delta_E(reference, sample, method="CIE 2000")
    np.testing.assert_allclose(delta_e_2000(reference, sample), other, atol=1e-9)


def test_coloraide_agrees():
    """A second opinion. coloraide adapts a D50 Lab to D65 first, so its D65 Lab is stated."""
    rng = np.random.default_rng(8)
    for reference, sample in rng.uniform((5, -60, -60), (95, 60, 60), (50, 2, 3)):
        one, other = (Color("lab-d65", list(map(float, lab))) for lab in (reference, sample))
        expected = one.delta_e(other, method="2000", space="lab-d65")
        assert delta_e_2000(reference, sample) == pytest.approx(expected, abs=1e-6)


def test_leading_axes_broadcast():
    reference, sample, _ = pairs()
    table = delta_e_2000(reference[:, None, :], sample[None, :, :])
    assert table.shape == (34, 34)
    np.testing.assert_allclose(np.diagonal(table), delta_e_2000(reference, sample))
    assert delta_e_2000(reference[0], sample[0]).shape == ()


def test_identical_colours_have_no_difference_grey_included():
    lab = np.array([[50.0, 0.0, 0.0], [0.0, 0.0, 0.0], [100.0, 30.0, -80.0]])
    for difference in (delta_e_2000, delta_e_76, delta_h, delta_c, delta_ch, delta_l, delta_e_2000_equal_l):
        np.testing.assert_array_equal(difference(lab, lab), 0.0)


def test_equal_lightness_leaves_only_the_cast():
    reference = np.array([60.0, 1.0, -2.0])
    sample = np.array([52.0, 3.0, 1.0])
    level = np.array([60.0, 3.0, 1.0])
    assert delta_e_2000_equal_l(reference, sample) == pytest.approx(delta_e_2000(reference, level), abs=1e-12)


def test_a_cast_of_dch_1_5_is_seen_more_along_a_than_along_b():
    """Worked with colour-science 0.4.7: dE00 2.14 along a*, 1.45 along b*; dCh 3: 4.09 and 2.81."""
    grey = np.array([50.0, 0.0, 0.0])
    shifted = np.array([[50.0, 1.5, 0.0], [50.0, 0.0, 1.5], [50.0, 3.0, 0.0], [50.0, 0.0, 3.0]])
    np.testing.assert_allclose(delta_e_2000_equal_l(grey, shifted), [2.14, 1.45, 4.09, 2.81], atol=0.006)


def test_signs_are_sample_minus_reference():
    reference = np.array([50.0, 20.0, 20.0])  # 45 degrees
    assert delta_l(reference, [53.0, 20.0, 20.0]) == 3.0
    assert delta_c(reference, [50.0, 30.0, 30.0]) == pytest.approx(10 * np.sqrt(2))
    assert delta_h(reference, [50.0, 15.0, 25.0]) > 0  # yellower
    assert delta_h(reference, [50.0, 25.0, 15.0]) < 0  # redder


@pytest.mark.parametrize("side", [1, -1], ids=["past 0 degrees", "past 180 degrees"])
def test_hue_difference_takes_the_short_way(side):
    before, after = np.array([50.0, side * 20.0, side * -1.0]), np.array([50.0, side * 20.0, side * 1.0])
    assert delta_h(before, after) == pytest.approx(2.0, abs=1e-9)
    assert delta_h(after, before) == pytest.approx(-2.0, abs=1e-9)


@given(LAB, LAB)
def test_the_parts_add_up_to_the_whole(reference, sample):
    """dE*ab^2 = dL*^2 + dC*^2 + dH*^2 = dL*^2 + dCh^2 (CIE 15)."""
    whole = delta_e_76(reference, sample) ** 2
    lightness = delta_l(reference, sample) ** 2
    by_hue = lightness + delta_c(reference, sample) ** 2 + delta_h(reference, sample) ** 2
    assert by_hue == pytest.approx(whole, rel=1e-9, abs=1e-9)
    assert lightness + delta_ch(reference, sample) ** 2 == pytest.approx(whole, rel=1e-9, abs=1e-9)
