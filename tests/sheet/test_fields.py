"""The patches of the regions: what colour each field is meant to have, in every encoding."""

import math
from pathlib import Path

import numpy as np
import pytest

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.colorimetry.encodings import rgb_from_xyz, xyz_from_rgb
from evaluation.colorimetry.ipt import ipt_hue
from evaluation.colorimetry.lab import chroma, lab_from_xyz, luminance, xyz_from_lab
from evaluation.profile.engine import device_from_lab, lab_from_device, open_profile
from evaluation.sheet import fields
from evaluation.sheet.gradients import GRADIENT_STEPS, GRADIENTS, gradient_lab
from evaluation.sheet.layout import ENCODINGS, Encoding, Patch
from evaluation.sheet.questions import question_sets
from evaluation.sheet.ramps import HUES, cusp
from evaluation.sheet.skins import Depth, depths
from evaluation.sheet.tints import COLOUR_TINTS, MONO_TINTS, PROCESS_PATCHES
from tests.cases import some_now

every_encoding = pytest.mark.parametrize("encoding", some_now(ENCODINGS, "srgb", "romm-rgb"))


def lab(patches: tuple[Patch, ...], encoding: Encoding) -> np.ndarray:
    return lab_from_xyz(xyz_from_rgb(np.array([patch.source for patch in patches]), encoding))


@every_encoding
@pytest.mark.parametrize(
    ("make", "lightness"),
    [
        (fields.neutral, np.arange(0, 101, 5)),
        (fields.shadow, fields.SHADOW_L),
        (fields.highlight, fields.HIGHLIGHT_L),
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
    """Why IPT (Ebner and Fairchild 1998): the drift at 25 % of the sRGB blue is tens of degrees."""
    blue = lab_from_xyz(xyz_from_rgb(np.array([0.0, 0.0, 1.0]), "srgb"))
    quarter = blue * np.array([1.0, 0.25, 0.25])
    assert abs(float(ipt_hue(quarter) - ipt_hue(blue))) > 20


@every_encoding
def test_skin_is_the_same_colour_in_every_encoding(encoding: Encoding) -> None:
    np.testing.assert_allclose(
        lab(fields.skin(encoding), encoding), lab(fields.skin("srgb"), "srgb"), atol=0.06
    )


def typology_angle(depth: Depth) -> float:
    """Individual typology angle, degrees: atan((L* - 50) / b*); Chardon et al. 1991, from memory."""
    return math.degrees(math.atan2(depth.lab[0] - 50.0, depth.lab[2]))


def test_skin_has_eight_depths_and_no_class_of_the_typology_angle_is_left_out() -> None:
    bounds = [-30, 10, 28, 41, 55]  # degrees; Chardon et al. 1991, from memory
    assert len(depths()) == 8
    assert {int(np.searchsorted(bounds, typology_angle(depth))) for depth in depths()} == set(range(6))


def test_skin_groups_follow_the_typology_angle() -> None:
    for depth in depths():
        group = "light" if (angle := typology_angle(depth)) > 41 else "medium" if angle > 10 else "deep"
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


@pytest.mark.long
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


each_gradient = pytest.mark.parametrize("run", GRADIENTS, ids=lambda run: run.name)


@each_gradient
def test_gradients_go_one_way_in_even_steps(run) -> None:
    colours = gradient_lab(run, GRADIENT_STEPS)
    distances = np.linalg.norm(np.diff(colours, axis=0), axis=1)
    assert distances.max() / distances.min() < 1.01
    for axis in (colours[:, 0], chroma(colours)):
        steps = np.diff(axis)
        assert (steps >= -1e-6).all() or (steps <= 1e-6).all()


@each_gradient
def test_a_gradient_keeps_its_hue_where_it_has_one(run) -> None:
    """IPT hue where C* is above 15, as the metric reads it. Shade keeps chromaticity: nearly the hue."""
    colours = gradient_lab(run, GRADIENT_STEPS)
    hues = ipt_hue(colours[chroma(colours) > 15])
    assert np.ptp((hues - hues[0] + 180) % 360) < 2


@each_gradient
def test_no_step_of_a_gradient_stands_out(run) -> None:
    """The continuous run, as drawn: no second difference of L* above a twentieth of a patch's step."""
    fine = gradient_lab(run, 1025)
    step = np.abs(np.diff(gradient_lab(run, GRADIENT_STEPS)[:, 0])).max()
    bends = np.abs(np.diff(fine[:, 0], n=2))
    assert bends.max() < max(step, 1.0) / 20


@every_encoding
def test_gradients_tints_and_process_patches_are_the_same_colours_in_every_encoding(encoding) -> None:
    for make in (fields.gradient, fields.tints, fields.gloss, fields.process):
        np.testing.assert_allclose(lab(make(encoding), encoding), lab(make("srgb"), "srgb"), atol=0.08)


def test_every_tint_stands_in_three_places() -> None:
    for mono in (False, True):
        patches = fields.tints("srgb", mono)
        assert len(patches) == 27
        by_tint = {patch.series: set() for patch in patches}
        for patch in patches:
            by_tint[patch.series].add((patch.step, patch.source))
        assert len(by_tint) == len(MONO_TINTS if mono else COLOUR_TINTS) == 9
        for places in by_tint.values():
            assert {step for step, _ in places} == {1, 2, 3}
            assert len({source for _, source in places}) == 1


@pytest.mark.parametrize(
    ("sent", "read"), [(a, b) for a in ENCODINGS for b in ENCODINGS if a != b], ids=lambda e: e
)
def test_process_patches_tell_a_wrong_encoding(sent: Encoding, read: Encoding) -> None:
    """The same numbers read in another encoding: one of the five moves by more than 3 dE00."""
    values = np.array([patch.source for patch in fields.process(sent)])
    meant, taken = (lab_from_xyz(xyz_from_rgb(values, encoding)) for encoding in (sent, read))
    assert delta_e_2000(meant, taken).max() > 3
    assert len(PROCESS_PATCHES) == 5


PRINTER = Path(__file__).parents[1] / "profile" / "data" / "rgb_output_v2_lab_lut16_g9.icc"


def test_process_patches_tell_no_management_and_double_management() -> None:
    """Through a printer profile once, not at all, and twice: each two of the three prints differ clearly.

    Twice means: the device values, taken for a picture in the sheet's encoding, go through the profile again.
    """
    profile = open_profile(PRINTER.read_bytes(), PRINTER.name)
    values = np.array([patch.source for patch in fields.process("srgb")])

    def device(rgb: np.ndarray) -> np.ndarray:
        picture = lab_from_xyz(xyz_from_rgb(rgb, "srgb"))
        return device_from_lab(profile, picture, "relative colorimetric", black_compensation=True)

    once, none, twice = (
        lab_from_device(profile, rgb) for rgb in (device(values), values, device(device(values)))
    )
    for one, other in ((once, none), (once, twice), (none, twice)):
        assert delta_e_2000(one, other).max() > 5


def test_first_steps_are_four_tenths_apart_at_both_ends_and_widen() -> None:
    """Project's own choice, tied to levels of 8-bit sRGB (IEC 61966-2-1): 1 to 8, and 247 to 254."""
    for steps, levels in ((fields.SHADOW_L, range(1, 9)), (fields.HIGHLIGHT_L, range(247, 255))):
        apart = np.abs(np.diff(steps))
        np.testing.assert_allclose(apart[:5], 0.4, atol=1e-9)
        assert (np.diff(apart) > -1e-9).all()
        shown = [255 * source[0] for source in fields.greys(steps, "srgb")]
        inside = [value for value in shown if min(levels) - 0.5 <= value <= max(levels) + 0.5]
        assert len(inside) >= 5


def test_the_figure_a_perfect_print_begins_at_is_the_one_the_question_names() -> None:
    """Black scaled in XYZ to densities 1.6 and 2.3; contrast 0.03, flare 0.005 are limits of ours."""
    asked = question_sets()["shadow"].questions[0].look
    for density, figure in ((1.6, 4), (2.3, 2)):
        assert f"at {figure} with" in asked or f"at {figure} with one of {density}" in asked
        black = 10**-density
        printed = black + (1 - black) * luminance(np.array(fields.SHADOW_L)) / 100
        parts = (printed - black) / (black + 0.005) >= 0.03
        assert int(parts.argmax()) + 1 == figure


def test_gloss_fields_run_from_bare_paper_to_full_ink() -> None:
    for mono in (False, True):
        first, *others = fields.gloss("srgb", mono)
        assert first.source == (1.0, 1.0, 1.0) and len(others) == 4
        assert (0.0, 0.0, 0.0) in [patch.source for patch in others]
        assert all(max(patch.source) <= 1 for patch in others)
    assert all(len(set(patch.source)) == 1 for patch in fields.gloss("srgb", True))
