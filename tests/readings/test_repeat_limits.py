"""Noise from repeats, limits for differences, paper and black, one run against another."""

from dataclasses import replace

import numpy as np
import pytest

from evaluation.readings.density_range import density_range, density_range_of_device
from evaluation.readings.repeat_limits import (
    FALLBACK_FACTOR,
    difference_limit,
    fallback_limit,
    limit_from,
    repeats,
    repeats_by_lightness,
)
from evaluation.readings.run import Array, PatchRef, Run, Stated
from evaluation.readings.run_comparison import compare_runs

NM = np.arange(380.0, 731.0, 10.0)


def lab_run(lab: Array, device: Array | None = None, stated: Stated | None = None) -> Run:
    refs = tuple(PatchRef(str(row + 1), f"P{row + 1}", row + 1) for row in range(len(lab)))
    space = "RGB" if device is not None else None
    return Run(refs, stated or Stated(), lab=lab, device=device, device_space=space)


def noisy_groups(
    spread: tuple[float, float, float], patches: int, each: int, seed: int = 3
) -> tuple[Array, list[tuple[int, ...]]]:
    draw = np.random.default_rng(seed)
    means = np.repeat(draw.uniform((10, -40, -40), (95, 40, 40), (patches, 3)), each, axis=0)
    lab = means + draw.standard_normal((patches * each, 3)) * np.array(spread)
    return lab, [tuple(range(at, at + each)) for at in range(0, patches * each, each)]


def test_covariance_is_pooled_over_patches_with_the_right_freedom() -> None:
    lab = np.array([[50, 0, 0], [52, 0, 0], [20, 1, 0], [20, 3, 0]], float)
    found = repeats(lab, [(0, 1), (2, 3)])
    # Two patches of two readings: squares 2 and 2, freedom 2.
    np.testing.assert_allclose(found.covariance, np.diag([1.0, 1.0, 0.0]))
    assert (found.mcdm, found.largest, found.readings, found.patches) == (1.0, 1.0, 4, 2)


def test_without_repeats_nothing_is_known() -> None:
    found = repeats(np.ones((3, 3)), [(0,), (1,), (2,)])
    assert found.covariance is None and found.mcdm is None and limit_from(found) is None


def test_pooled_covariance_finds_the_true_spread() -> None:
    lab, groups = noisy_groups((0.6, 0.2, 0.2), patches=400, each=3)
    covariance = repeats(lab, groups).covariance
    assert covariance is not None
    np.testing.assert_allclose(np.sqrt(np.diag(covariance)), (0.6, 0.2, 0.2), rtol=0.06)


def test_round_noise_gives_the_chi_limit() -> None:
    # 95th percentile of chi with three degrees of freedom: 2.7955 (standard tables).
    assert difference_limit(np.eye(3)).value == pytest.approx(2.7955 * np.sqrt(2), rel=0.01)
    assert difference_limit(np.eye(3), 4, 4).value == pytest.approx(2.7955 * np.sqrt(0.5), rel=0.01)


def test_noise_on_one_axis_gives_the_normal_limit() -> None:
    # 95 % of a normal distribution lies within 1.960 standard deviations.
    assert difference_limit(np.diag([1.0, 0.0, 0.0])).value == pytest.approx(1.960 * np.sqrt(2), rel=0.01)


def test_fallback_factor_is_the_quotient_it_claims_to_be() -> None:
    draw = np.random.default_rng(1).standard_normal((400_000, 3))
    differences = np.linalg.norm(draw[::2] - draw[1::2], axis=1)
    assert np.percentile(differences, 95) / np.linalg.norm(draw, axis=1).mean() == pytest.approx(
        FALLBACK_FACTOR, abs=0.01
    )


@pytest.mark.parametrize("each", [2, 3, 5])
def test_fallback_corrects_for_few_readings(each: int) -> None:
    lab, groups = noisy_groups((0.4, 0.4, 0.4), patches=2000, each=each)
    mcdm = repeats(lab, groups).mcdm
    assert mcdm is not None
    assert fallback_limit(mcdm, each).value == pytest.approx(0.4 * 2.7955 * np.sqrt(2), rel=0.03)


@pytest.mark.long
@pytest.mark.parametrize("spread", [(0.3, 0.3, 0.3), (0.9, 0.3, 0.3)], ids=["round", "noisy lightness"])
def test_false_alarms_stay_near_five_in_a_hundred(spread: tuple[float, float, float]) -> None:
    """Why the covariance is kept: the mean alone, the fallback, gives 12 % when L* is thrice as noisy."""
    draw = np.random.default_rng(5)
    alarms = []
    for seed in range(200):
        lab, groups = noisy_groups(spread, patches=12, each=3, seed=seed)
        limit = limit_from(repeats(lab, groups))
        assert limit is not None
        differences = np.linalg.norm(draw.standard_normal((50, 3)) * np.sqrt(2) * np.array(spread), axis=1)
        alarms.append((differences > limit.value).mean())
    assert 0.03 < np.mean(alarms) < 0.075


def test_dark_and_light_part_only_where_their_spreads_differ() -> None:
    draw = np.random.default_rng(2)
    level = np.repeat(np.linspace(5, 95, 20), 4)
    same = np.column_stack((level, 0 * level, 0 * level)) + draw.standard_normal((80, 3)) * 0.2
    groups = [tuple(range(at, at + 4)) for at in range(0, 80, 4)]
    assert repeats_by_lightness(same, groups) is None
    noisy = same + (level < 50)[:, None] * draw.standard_normal((80, 3))
    apart = repeats_by_lightness(noisy, groups)
    assert apart is not None and apart[0].mcdm is not None and apart[1].mcdm is not None
    assert apart[0].mcdm > 3 * apart[1].mcdm


def flat(level: float) -> Array:
    return np.full(36, level)


def test_densities_of_flat_spectra_are_their_logarithms() -> None:
    run = Run(
        tuple(
            PatchRef(str(row), name, row) for row, name in enumerate(("paper", "paper", "black", "deep"), 1)
        ),
        Stated(condition="M1", backing="white"),
        wavelengths=NM,
        spectra=np.array([flat(0.9), flat(0.88), flat(0.01), flat(0.001)]),
    )
    found = density_range(run, [0, 1], [2])
    assert found.d_max == pytest.approx(2.0, abs=1e-6)
    assert found.d_min == pytest.approx(-(np.log10(0.9) + np.log10(0.88)) / 2, abs=1e-6)
    assert found.d_range == pytest.approx(2.0 - found.d_min)
    assert found.seen[0] == (0.005, pytest.approx(-np.log10(0.015 / 1.005), abs=1e-6))
    assert (found.darkest, round(found.darkest_density, 3)) == ("deep", 3.0)
    assert any("darker than the black" in remark for remark in found.remarks)
    assert any("instruments differ" in remark for remark in found.remarks)


def test_black_and_paper_by_device_values() -> None:
    device = np.array([[1, 1, 1], [0, 0, 0], [0, 0, 0], [0.5, 0.5, 0.5]], float)
    found = density_range_of_device(
        lab_run(np.array([[95, 0, -3], [5, 0, 0], [5.2, 0, 0], [50, 0, 0]], float), device)
    )
    assert found.paper_lab is not None and found.paper_lab[0] == 95
    assert found.d_max is not None and found.spread is not None and found.basis.startswith("from Y")
    assert any("backing not stated" in remark for remark in found.remarks)


def test_one_run_against_another_by_device_values() -> None:
    draw = np.random.default_rng(4)
    device = np.round(draw.uniform(size=(30, 3)), 3)
    lab = draw.uniform((10, -40, -40), (90, 40, 40), (30, 3))
    first = lab_run(lab, device)
    order = draw.permutation(30)[:20]
    later = lab_run(lab[order] + np.array([0.5, 0, 1.0]), device[order])
    found = compare_runs(first, later)
    assert found is not None and found.joined_by == "device values"
    np.testing.assert_allclose(found.bias, (0.5, 0, 1.0))
    assert (len(found.patches), found.only_first, found.only_second, found.limit) == (20, 10, 0, None)


def test_runs_without_a_common_patch_cannot_be_compared() -> None:
    first, second = lab_run(np.ones((2, 3))), lab_run(np.ones((2, 3)))
    strange = tuple(replace(ref, id="x" + ref.id, name="y" + ref.name) for ref in second.patches)
    assert compare_runs(first, replace(second, patches=strange)) is None


def test_what_makes_two_runs_incomparable_is_said() -> None:
    lab = np.array([[50.0, 0, 0]])
    found = compare_runs(
        lab_run(lab, stated=Stated(condition="M1")), lab_run(lab, stated=Stated(condition="M2"))
    )
    assert found is not None and found.remarks == ("condition differs: M1 and M2",)


def test_dark_patches_have_a_limit_of_their_own_where_their_repeats_spread_otherwise() -> None:
    draw = np.random.default_rng(8)
    level = np.repeat(np.linspace(5, 95, 20), 3)
    device = np.repeat(np.linspace(0, 1, 20)[:, None] * np.ones(3), 3, axis=0)
    lab = np.column_stack((level, 0 * level, 0 * level))
    noise = np.where(level < 50, 1.0, 0.1)[:, None]
    first, second = (lab_run(lab + noise * draw.standard_normal(lab.shape), device) for _ in range(2))
    found = compare_runs(first, second)
    assert found is not None and found.limit is not None and found.limit_dark is not None
    assert found.limit_dark.value > 5 * found.limit.value
    assert found.apart is False
    later = lab_run(lab + (level > 50)[:, None] * np.array([1.0, 0.0, 0.0]), device)
    moved = compare_runs(first, later)
    assert moved is not None and moved.apart is True
