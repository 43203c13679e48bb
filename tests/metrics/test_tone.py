"""Evenness, kept share, level and jumps of tone. Sources named at each check."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from evaluation.colorimetry.density import y_from_density
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import map_black
from evaluation.metrics import tone
from evaluation.metrics.evidence import Array, Evidence
from evaluation.sheet.layout import Patch

EVEN = np.linspace(0.0, 100.0, 21)


def mapped(density: float, source: Array = EVEN) -> Array:
    """L* of even steps after black compensation to a black of that density on a paper of L* 96."""
    xyz = xyz_from_lab(np.column_stack([source, np.zeros((len(source), 2))]))
    black = float(y_from_density(density) / xyz_from_lab([96.0, 0.0, 0.0])[1] * 100)
    return np.asarray(lab_from_xyz(map_black(xyz, 0.0, black))[:, 0])


def test_a_melted_pair_among_twenty_steps(wedge: Callable[..., Evidence]) -> None:
    """r = 0 once, 1 otherwise: standard deviation 0.22 (COMPUTED identity)."""
    L = EVEN.copy()
    L[10:] -= 5.0
    outcome = tone.evenness(wedge(EVEN, measured=L))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(0.22, abs=0.005)
    assert outcome.where == "step 10, P10 to step 11, P11"


def test_a_single_step_that_lies_off_is_named(wedge: Callable[..., Evidence]) -> None:
    L = EVEN.copy()
    L[7] += 2.0
    outcome = tone.evenness(wedge(EVEN, measured=L))
    assert outcome is not None
    assert outcome.where == "step 8, P8"


@pytest.mark.parametrize(("density", "spread"), [(2.6, 0.03), (2.0, 0.12), (1.6, 0.23)])
def test_even_in_the_file_is_not_even_on_paper(
    density: float, spread: float, wedge: Callable[..., Evidence]
) -> None:
    """A perfect print: step sizes spread by 0.03, 0.12, 0.23 of their mean (COMPUTED); measured over aimed
    by nothing."""
    L = mapped(density)
    sizes = np.diff(L)
    assert sizes.std() / sizes.mean() == pytest.approx(spread, abs=0.012)
    outcome = tone.evenness(wedge(EVEN, aim=L))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(0.0, abs=1e-9)


def test_the_first_step_shrinks_on_matt_paper() -> None:
    """At D 1.6 the first step of 5 becomes 2.1 (COMPUTED)."""
    assert np.diff(mapped(1.6))[0] == pytest.approx(2.1, abs=0.05)


def test_without_an_aim_of_tone_evenness_goes_by_a_straight_line(wedge: Callable[..., Evidence]) -> None:
    line = 18.0 + EVEN * 0.82
    outcome = tone.evenness(wedge(EVEN, measured=line, black=18.0, tone_has_aim=False))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(0.0, abs=1e-9)
    assert tone.tone_shift(wedge(EVEN, measured=line, black=18.0, tone_has_aim=False)) is None
    assert tone.tone_mid_shift(wedge(EVEN, measured=line, black=18.0, tone_has_aim=False)) is None


def test_kept_share_tells_the_paper_from_the_fault(wedge: Callable[..., Evidence]) -> None:
    """Low contrast with a share near 1 is the paper; a plateau is not."""
    source = np.linspace(0.0, 24.0, 16)
    L = mapped(1.6, source)
    perfect = tone.shadow_kept_share(wedge(source, aim=L))
    assert perfect is not None
    assert float(perfect.values) == pytest.approx(1.0)
    blocked = L.copy()
    blocked[4:8] = L[4]
    outcome = tone.shadow_kept_share(wedge(source, aim=L, measured=blocked))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(0.0, abs=1e-9)
    assert outcome.where == "step 5, P5 to step 8, P8"


def test_level_is_the_mean_distance_and_the_place_the_largest(wedge: Callable[..., Evidence]) -> None:
    L = EVEN - 2.0
    L[4] -= 2.0
    outcome = tone.tone_shift(wedge(EVEN, measured=L))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx((20 * 2 + 4) / 21)
    assert outcome.where == "step 5, P5"
    middle = tone.tone_mid_shift(wedge(EVEN, measured=L))
    assert middle is not None
    assert float(middle.values) == pytest.approx(2.0)


@pytest.fixture
def gradient() -> tuple[Patch, ...]:
    return tuple(Patch(f"G{k}", f"G{k}", "gradient", series="sky", step=k) for k in range(1, 34))


def test_an_edge_in_a_gradient_is_found_and_noise_alone_is_not(
    wedge: Callable[..., Evidence], gradient: tuple[Patch, ...]
) -> None:
    source = np.linspace(20.0, 90.0, 33)
    step = 70.0 / 32
    edge = source + np.where(np.arange(33) >= 16, 1.5 * step, 0.0)
    outcome = tone.gradient_jump(wedge(source, measured=edge, patches=gradient))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(1.5)
    assert outcome.where is not None and ("G16" in outcome.where or "G17" in outcome.where)
    noise = np.random.default_rng(3).standard_normal((200, 33, 1)) * [[[0.3, 0, 0]]]
    still = wedge(source, patches=gradient, noise=0.3)
    noisy = wedge(source, measured=still.measured + noise, patches=gradient, noise=0.3)
    values = tone.gradient_jump(noisy)
    assert values is not None
    assert np.mean(values.values < 0.3) > 0.8


def test_a_gradient_of_few_patches_is_not_used(wedge: Callable[..., Evidence]) -> None:
    assert tone.gradient_jump(wedge(np.linspace(0, 100, 31))) is None


def test_noise_among_many_steps_is_no_edge(wedge: Callable[..., Evidence]) -> None:
    """z = Phi^-1(1 - 0.05 / (2 N)): 3.5 for four ramps of 33 (COMPUTED). Noise alone shows an edge in one
    print of twenty, where 2 ln n for each ramp showed one in every third or fourth.
    """
    patches = tuple(
        Patch(f"{name}{k}", f"{name}{k}", "gradient", series=name, step=k)
        for name in "abcd"
        for k in range(1, 34)
    )
    L = np.tile(np.linspace(30, 80, 33), 4)
    evidence = wedge(L, patches=patches, noise=0.15, draws=600)
    found = tone.gradient_jump(evidence)
    assert found is not None
    edges = float((np.asarray(found.values)[1:] > 0).mean())
    assert edges < 0.09
    edge = np.where(np.arange(132) >= 50, 1.6, 0.0)  # one whole step in the middle of the second ramp
    jumped = tone.gradient_jump(wedge(L, measured=L + edge, patches=patches, noise=0.15))
    assert jumped is not None and 0.5 < float(jumped.values) <= 1.0


def test_on_matt_paper_a_jump_is_graded_from_two_readings_up(wedge: Callable[..., Evidence]) -> None:
    L = np.linspace(30, 80, 33)
    matt, glossy = wedge(L, black=18.0, noise=0.1), wedge(L, black=3.0, noise=0.1)
    assert tone.jump_too_noisy(matt) and not tone.jump_too_noisy(glossy)
    assert not tone.jump_too_noisy(replace(matt, counts=np.full(33, 2.0)))
