"""Skin and saturation, and what concerns the whole sheet. Sources named at each check."""

from collections.abc import Callable

import numpy as np
import pytest

from evaluation.colorimetry.lab import chroma
from evaluation.metrics import saturation, sheet_wide, skin, strength
from evaluation.metrics.evidence import Evidence
from evaluation.sheet.layout import Patch


def polar(L: float, C: float, h: float) -> list[float]:
    return [L, C * np.cos(np.radians(h)), C * np.sin(np.radians(h))]


@pytest.fixture
def people() -> tuple[tuple[Patch, ...], np.ndarray]:
    """Three depths, two patches each."""
    patches, aim = [], []
    for depth, L in (("light 1", 70.0), ("medium 1", 55.0), ("deep 1", 38.0)):
        for step in (1, 2):
            patches.append(Patch(f"{depth}{step}", f"{depth}, {step}", "skin", series=depth, step=step))
            aim.append(polar(L - 4 * step, 22, 50))
    return tuple(patches), np.array(aim)


def test_no_group_is_averaged_away(
    people: tuple[tuple[Patch, ...], np.ndarray], wedge: Callable[..., Evidence]
) -> None:
    patches, aim = people
    measured = aim.copy()
    for row in (4, 5):  # deep, four degrees yellower
        measured[row] = polar(aim[row, 0], 22, 54)
    outcome = skin.skin_hue(wedge(aim[:, 0], aim=aim, measured=measured, patches=patches))
    assert outcome is not None
    assert outcome.where == "the deep group"
    assert float(outcome.values) == pytest.approx(2 * 22 * np.sin(np.radians(2)), abs=1e-6)


def test_paler_and_stronger_both_count(
    people: tuple[tuple[Patch, ...], np.ndarray], wedge: Callable[..., Evidence]
) -> None:
    patches, aim = people
    measured = aim.copy()
    measured[0] = polar(aim[0, 0], 26, 50)
    measured[1] = polar(aim[1, 0], 18, 50)
    outcome = skin.skin_chroma(wedge(aim[:, 0], aim=aim, measured=measured, patches=patches))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(4.0)
    assert outcome.where == "the light group"


def test_groups_without_names_go_by_lightness(wedge: Callable[..., Evidence]) -> None:
    aim = np.array([polar(67, 25, 46), polar(38, 22, 47)])
    patches = (Patch("2", "patch 2", "skin"), Patch("1", "patch 1", "skin"))
    groups = skin.depth_groups(wedge(aim[:, 0], aim=aim, patches=patches))
    assert [name for name, _ in groups] == ["light", "deep"]


def test_a_sphere_whose_shade_turns_is_found(wedge: Callable[..., Evidence]) -> None:
    aim = np.array([polar(70, 20, 50), polar(60, 24, 50), polar(45, 22, 50)])
    measured = np.array([polar(70, 20, 50), polar(60, 24, 53), polar(45, 22, 47)])
    patches = tuple(Patch(f"SK{k}", f"SK{k}", "skin", series="light 2", step=k) for k in (1, 2, 3))
    outcome = skin.skin_hue_constancy(wedge(aim[:, 0], aim=aim, measured=measured, patches=patches))
    assert outcome is not None
    expected = 2 * 24 * np.sin(np.radians(1.5)) + 2 * 22 * np.sin(np.radians(1.5))
    assert float(outcome.values) == pytest.approx(expected, abs=1e-6)
    assert outcome.where == "light 2"


@pytest.fixture
def ramp() -> tuple[tuple[Patch, ...], np.ndarray]:
    """One ramp of eight steps from grey to a strong red."""
    aim = np.array([polar(50, C, 30) for C in np.linspace(0, 84, 8)])
    return tuple(Patch(f"CA{k}", f"red {k}", "saturation", series="red", step=k) for k in range(1, 9)), aim


def test_a_ramp_that_stops_growing(
    ramp: tuple[tuple[Patch, ...], np.ndarray], wedge: Callable[..., Evidence]
) -> None:
    patches, aim = ramp
    measured = aim.copy()
    measured[5:] = aim[4]  # from step 6 on nothing is added: three of seven neighbours
    evidence = wedge(aim[:, 0], aim=aim, measured=measured, patches=patches)
    outcome = saturation.collapse_step(evidence)
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(3 / 7)
    assert outcome.where == "red from step 6"


def test_clipping_outside_the_gamut_is_no_loss(
    ramp: tuple[tuple[Patch, ...], np.ndarray], wedge: Callable[..., Evidence]
) -> None:
    patches, aim = ramp
    measured = aim.copy()
    measured[6:] = aim[5]
    inside = np.arange(8) < 6
    evidence = wedge(aim[:, 0], aim=aim, measured=measured, patches=patches, inside=inside)
    outcome = saturation.collapse_step(evidence)
    assert outcome is not None
    assert float(outcome.values) == 0.0


def test_a_ramp_that_clips_sideways_is_not_lost(
    ramp: tuple[tuple[Patch, ...], np.ndarray], wedge: Callable[..., Evidence]
) -> None:
    """C* stops growing while L* goes on: neighbours still differ."""
    patches, aim = ramp
    measured = aim.copy()
    for k in (6, 7):
        measured[k] = [aim[5, 0] - 8 * (k - 5), *aim[5, 1:]]
    outcome = saturation.collapse_step(wedge(aim[:, 0], aim=aim, measured=measured, patches=patches))
    assert outcome is not None
    assert float(outcome.values) == 0.0


def test_hue_is_compared_only_where_there_is_one(
    ramp: tuple[tuple[Patch, ...], np.ndarray], wedge: Callable[..., Evidence]
) -> None:
    patches, aim = ramp
    measured = aim.copy()
    measured[0, 1:] = (-1.0, -1.0)  # the grey end
    outcome = saturation.hue_turn(wedge(aim[:, 0], aim=aim, measured=measured, patches=patches))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(0.0, abs=1e-9)
    assert outcome.patches == int((chroma(aim) > 15).sum())


def test_a_perfect_blue_ramp_does_not_turn(wedge: Callable[..., Evidence]) -> None:
    """Along the sRGB blue ramp of constant CIELAB hue IPT hue drifts by 31 degrees at a quarter (COMPUTED);
    the print of such a ramp, printed as aimed, turns by nothing."""
    from evaluation.colorimetry.ipt import ipt_hue

    blue = np.array([29.57, 68.30, -112.03])  # sRGB blue in CIELAB D50 (COMPUTED)
    ramp = np.array([[blue[0], share * blue[1], share * blue[2]] for share in (0.25, 0.5, 0.75, 1.0)])
    drift = ipt_hue(ramp[:3]) - ipt_hue(ramp[3])
    assert np.abs(drift) == pytest.approx([31, 21, 11], abs=1.5)
    patches = tuple(Patch(f"B{k}", f"B{k}", "saturation", series="blue", step=k) for k in range(1, 5))
    outcome = saturation.hue_turn(wedge(ramp[:, 0], aim=ramp, patches=patches))
    assert outcome is not None
    assert float(outcome.values) == 0.0


def test_weak_colours_count_as_much_as_strong_ones(
    ramp: tuple[tuple[Patch, ...], np.ndarray], wedge: Callable[..., Evidence]
) -> None:
    """Chroma terms of CIEDE2000 by plain numpy; only where the gamut is known, else the upper side alone."""
    patches, aim = ramp
    weak, strong = aim * [1, 0.8, 0.8], aim * [1, 1.1, 1.1]
    C = chroma(aim)[chroma(aim) > 15]
    everywhere = np.ones(8, bool)
    for measured, share in ((weak, 0.8), (strong, 1.1)):
        outcome = strength.colour_strength(
            wedge(aim[:, 0], aim=aim, measured=measured, patches=patches, inside=everywhere)
        )
        assert outcome is not None and outcome.where == "red 8"
        off = abs(share - 1) * C / (1 + 0.045 * C * (1 + share) / 2)
        assert float(outcome.values) == pytest.approx(float(np.percentile(off, 90)))
    unknown = wedge(aim[:, 0], aim=aim, measured=weak, patches=patches)
    outcome = strength.colour_strength(unknown)
    assert outcome is not None and (float(outcome.values), outcome.where) == (0.0, None)
    told = strength.strength(unknown)
    assert told is not None and not told.both_ways
    assert told.chroma == pytest.approx(-0.2) and told.weakest == ("red", pytest.approx(-0.2))


def test_outside_the_gamut_the_print_is_held_against_its_profile(
    ramp: tuple[tuple[Patch, ...], np.ndarray], wedge: Callable[..., Evidence]
) -> None:
    patches, aim = ramp
    expected = aim.copy()
    expected[6:] = aim[5]
    known = {"aim": aim, "patches": patches, "inside": np.arange(8) < 6, "predicted": expected}
    sound = strength.colour_strength(wedge(aim[:, 0], measured=expected, **known))
    assert sound is not None and float(sound.values) == 0.0
    told = strength.strength(wedge(aim[:, 0], measured=expected, **known))
    assert told is not None and told.outside == 2
    assert told.given_up == pytest.approx(-18.0)  # 72 and 84 are printed as 60


def test_re_rendered_colours_are_not_graded_against_the_file(
    ramp: tuple[tuple[Patch, ...], np.ndarray], wedge: Callable[..., Evidence]
) -> None:
    patches, aim = ramp
    evidence = wedge(aim[:, 0], aim=aim, patches=patches, colour_has_aim=False)
    assert saturation.hue_turn(evidence) is None
    assert strength.colour_strength(evidence) is None
    assert skin.skin_hue(evidence) is None
    assert saturation.collapse_step(evidence) is not None  # every intent owes separations


def test_equal_tints_over_the_sheet_are_compared_with_their_own_mean(
    wedge: Callable[..., Evidence],
) -> None:
    patches = tuple(
        Patch(f"T{k}", f"T{k}", "tints", source=(0.5, 0.5, 0.5) if k < 4 else (0.2, 0.4, 0.6))
        for k in range(8)
    )
    lab = np.full((8, 3), 50.0)
    lab[4:, 0] = 60.0
    even = sheet_wide.across_sheet(wedge(lab[:, 0], aim=lab, patches=patches))
    assert even is not None and float(even.values) == pytest.approx(0.0, abs=1e-9)
    lab[3, 0] = 52.0
    uneven = sheet_wide.across_sheet(wedge(lab[:, 0], aim=lab, patches=patches))
    assert uneven is not None and float(uneven.values) > 0.5
    assert uneven.where == "T3"


def test_the_print_step_needs_what_the_profile_expects(
    ramp: tuple[tuple[Patch, ...], np.ndarray], wedge: Callable[..., Evidence]
) -> None:
    patches, aim = ramp
    assert sheet_wide.print_mean(wedge(aim[:, 0], aim=aim, patches=patches)) is None
    lighter = aim + np.array([1.0, 0.0, 0.0])
    outcome = sheet_wide.print_mean(
        wedge(aim[:, 0], aim=aim, measured=lighter, patches=patches, predicted=aim)
    )
    assert outcome is not None
    assert 0.5 < float(outcome.values) < 1.1
