"""The patches of the regions: what colour each field is meant to have, in every encoding."""

import numpy as np
import pytest

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.colorimetry.encodings import rgb_from_xyz, xyz_from_rgb
from evaluation.colorimetry.ipt import ipt_hue
from evaluation.colorimetry.lab import chroma, lab_from_xyz, xyz_from_lab
from evaluation.sheet import fields
from evaluation.sheet.layout import ENCODINGS, Encoding, Patch
from evaluation.sheet.ramps import HUES, cusp
from evaluation.sheet.skins import depths

every_encoding = pytest.mark.parametrize("encoding", ENCODINGS)


def lab(patches: tuple[Patch, ...], encoding: Encoding) -> np.ndarray:
    return lab_from_xyz(xyz_from_rgb(np.array([patch.source for patch in patches]), encoding))


@every_encoding
@pytest.mark.parametrize(
    ("make", "lightness"),
    [
        (fields.neutral, np.arange(0, 101, 5)),
        (fields.shadow, np.arange(16) * 1.6),
        (fields.highlight, 100 - np.arange(12) * 12 / 11),
    ],
    ids=["neutral", "shadow", "highlight"],
)
def test_grey_steps_have_their_lightness_and_no_colour(make, lightness, encoding: Encoding) -> None:
    patches = make(encoding)
    measured = lab(patches, encoding)
    np.testing.assert_allclose(measured[:, 0], lightness, atol=0.01)
    np.testing.assert_allclose(measured[:, 1:], 0, atol=1e-3)
    assert all(len(set(patch.source)) == 1 for patch in patches)


def test_middle_grey_of_srgb_has_its_known_code() -> None:
    """L* 50 is 119 of 255 in sRGB (IEC 61966-2-1 curve, Y 18.42): a value any grey card table gives."""
    assert round(255 * fields.neutral("srgb")[10].source[0]) == 119


@every_encoding
def test_saturation_ramps_keep_their_ipt_hue(encoding: Encoding) -> None:
    patches = fields.saturation(encoding)
    assert len(patches) == 96
    for hue in HUES:
        ramp = lab(tuple(patch for patch in patches if patch.series == hue.name), encoding)
        turned = (ipt_hue(ramp[1:]) - ipt_hue(ramp[-1]) + 180) % 360 - 180
        assert np.abs(turned).max() < 0.5, hue.name


@every_encoding
def test_saturation_ramps_grow_in_even_steps_from_grey_to_the_edge(encoding: Encoding) -> None:
    patches = fields.saturation(encoding)
    bent = 1.10 if encoding == "romm-rgb" else 1.02  # its ends are no real colours; CIELAB bends out there
    for hue in HUES:
        own = tuple(patch for patch in patches if patch.series == hue.name)
        ramp = lab(own, encoding)
        assert chroma(ramp[0]) < 0.05
        np.testing.assert_allclose(own[-1].source, cusp(hue, encoding), atol=1e-4)
        distances = np.linalg.norm(np.diff(ramp, axis=0), axis=1)
        assert distances.max() / distances.min() < bent, hue.name
        assert np.all(np.diff(chroma(ramp)) > 0)


def test_a_ramp_of_constant_cielab_hue_would_turn_in_blue() -> None:
    """Why IPT: NUMBERS of Ebner and Fairchild 1998; the drift at 25 % of the sRGB blue is tens of degrees."""
    blue = lab_from_xyz(xyz_from_rgb(np.array([0.0, 0.0, 1.0]), "srgb"))
    quarter = blue * np.array([1.0, 0.25, 0.25])
    assert abs(float(ipt_hue(quarter) - ipt_hue(blue))) > 20


@every_encoding
def test_skin_is_the_same_colour_in_every_encoding(encoding: Encoding) -> None:
    np.testing.assert_allclose(
        lab(fields.skin(encoding), encoding), lab(fields.skin("srgb"), "srgb"), atol=0.06
    )


def test_skin_has_eight_depths_and_no_class_of_the_typology_angle_is_left_out() -> None:
    bounds = [-30, 10, 28, 41, 55]  # degrees; Chardon et al. 1991, from memory
    assert len(depths()) == 8
    assert {int(np.searchsorted(bounds, depth.ita)) for depth in depths()} == set(range(6))


def test_skin_groups_follow_the_typology_angle() -> None:
    for depth in depths():
        group = "light" if depth.ita > 41 else "medium" if depth.ita > 10 else "deep"
        assert depth.series.split()[0] == group


def test_the_chart_skins_are_those_of_iso_17321_1() -> None:
    """L*, a*, b* of the 24-patch chart computed from the published reflectances by ASTM E308."""
    by_series = {depth.series: depth.lab for depth in depths()}
    assert by_series["deep 2"] == pytest.approx((37.835, 15.437, 16.562), abs=0.01)
    assert by_series["light 3"] == pytest.approx((66.737, 17.381, 18.199), abs=0.01)


def test_a_shade_keeps_the_chromaticity_of_its_skin() -> None:
    for depth in depths():
        xyz = xyz_from_lab(depth.lit([1.25, 1.0, 0.45]))
        np.testing.assert_allclose(xyz / xyz[:, :1], np.broadcast_to(xyz[1] / xyz[1, 0], (3, 3)), atol=1e-9)


@every_encoding
def test_ring_fields_lie_where_their_ring_says(encoding: Encoding) -> None:
    patches = fields.ring(encoding, seed=1)
    assert len(patches) == 75
    for group, lightness in fields.RING_GROUPS:
        measured = lab(tuple(patch for patch in patches if patch.series == group), encoding)
        np.testing.assert_allclose(measured[:, 0], lightness, atol=0.02)
        radii = chroma(measured)
        np.testing.assert_allclose(radii, [0.0] + [1.5] * 8 + [3.0] * 8 + [6.0] * 8, atol=0.03)


def test_ring_three_is_seen_coarser_along_b_than_along_a() -> None:
    """dCh 3 is dE00 4.1 along a*, 2.8 along b*: computed with CIEDE2000, ISO/CIE 11664-6."""
    centre = np.array([50.0, 0.0, 0.0])
    along_a, along_b = np.array([50.0, 3.0, 0.0]), np.array([50.0, 0.0, 3.0])
    assert float(delta_e_2000(centre, along_a)) == pytest.approx(4.1, abs=0.1)
    assert float(delta_e_2000(centre, along_b)) == pytest.approx(2.8, abs=0.1)


def test_ring_numbers_are_two_digits_each_once_and_drawn_by_the_seed() -> None:
    first, again, other = (fields.ring("srgb", seed) for seed in (1, 1, 2))
    numbers = [int(patch.name) for patch in first]
    assert len(set(numbers)) == 75
    assert min(numbers) >= 10 and max(numbers) <= 99
    assert first == again != other


def test_the_number_of_a_ring_field_says_nothing_about_its_ring() -> None:
    """Over many seeds the mean place of the grey field among its 25 is the middle one, 12."""
    places = []
    for seed in range(200):
        for group, _ in fields.RING_GROUPS:
            own = fields.ring_order([p for p in fields.ring("srgb", seed) if p.series == group])
            places.append(next(place for place, patch in enumerate(own) if patch.step == 1))
    assert 11 < float(np.mean(places)) < 13


@every_encoding
def test_every_source_value_is_within_the_encoding_and_rounded_as_a_map_writes_it(encoding) -> None:
    patches = (
        *fields.neutral(encoding),
        *fields.shadow(encoding),
        *fields.highlight(encoding),
        *fields.skin(encoding),
        *fields.saturation(encoding),
        *fields.ring(encoding, 1),
    )
    values = np.array([patch.source for patch in patches])
    assert values.min() >= 0 and values.max() <= 1
    np.testing.assert_allclose(values * 255, np.round(values * 255, 2), atol=1e-9)
    assert len({patch.id for patch in patches}) == len(patches)


@every_encoding
def test_skin_lies_inside_the_encoding(encoding: Encoding) -> None:
    for depth in depths():
        rgb = rgb_from_xyz(xyz_from_lab(depth.lit([1.25, 1.0, 0.45])), encoding)
        assert rgb.min() > 0 and rgb.max() < 1
