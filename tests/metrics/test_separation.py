"""Shadow and highlight separation.

Sources named at each check; contrasts with flare agree with the table of Weber contrasts between steps that
follows from CIELAB by arithmetic (COMPUTED with numpy).
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from evaluation.colorimetry.density import y_from_density
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import map_black
from evaluation.metrics import separation
from evaluation.metrics.evidence import Array, Evidence
from evaluation.metrics.gather import chosen
from evaluation.metrics.limits import Limits

SHADOW = np.linspace(0.0, 24.0, 16)


def printed(density: float, *, compensation: bool = True) -> Array:
    """L* of the shadow steps, printed perfectly at that density on a paper of L* 96."""
    xyz = xyz_from_lab(np.column_stack([SHADOW, np.zeros((16, 2))]))
    black = float(y_from_density(density) / xyz_from_lab([96.0, 0.0, 0.0])[1] * 100)
    mapped = map_black(xyz, 0.0, black) if compensation else np.maximum(xyz, [[0, black, 0]])
    return np.asarray(lab_from_xyz(mapped)[:, 0])


@pytest.mark.parametrize(
    ("L_dark", "step", "flare", "contrast"),
    [
        (3, 1, 0.0, 0.3333),
        (3, 1, 0.005, 0.1330),
        (5, 2, 0.01, 0.1425),
        (9, 0.5, 0.0, 0.0612),
        (13, 1, 0.005, 0.0811),
        (18, 3, 0.01, 0.2067),
    ],
)
def test_contrast_with_flare(L_dark: float, step: float, flare: float, contrast: float) -> None:
    """Weber contrast of neighbouring lightnesses under a veil of light (COMPUTED from CIELAB)."""
    dark, light = (separation.luminance(np.array([L, 0.0, 0.0])) for L in (L_dark, L_dark + step))
    assert float(separation.contrast(dark, light, flare)) == pytest.approx(contrast, abs=6e-5)


@pytest.mark.parametrize(
    ("lux", "white", "black"),
    [(500, 0.0146, (0.0470, 0.0364, 0.0286)), (2000, 0.0134, (0.0288, 0.0235, 0.0197))],
)
def test_what_an_eye_sees_at_both_ends(
    limits: Limits, lux: float, white: float, black: tuple[float, ...]
) -> None:
    """Two just noticeable differences of the greyscale function of DICOM PS3.14 (coefficients recalled; its
    ends, 0.05 and 3993.3 cd/m2, and number 476.36 at 100 cd/m2 agree), paper 0.87, flare 0.005: COMPUTED by
    another program at D 2.55, 2.0 and 1.6.
    """
    under = replace(limits, lux=lux)
    assert float(separation.least_contrast(1.0, 0.0, under)) == pytest.approx(white, abs=6e-5)
    Y = 10.0 ** -np.array([2.55, 2.0, 1.6]) / 0.87  # absolute densities
    assert separation.least_contrast(Y, 0.005, under) == pytest.approx(black, abs=6e-5)


@pytest.mark.parametrize("lux", [500.0, 2000.0])
def test_sound_ends_keep_their_first_and_last_step(
    wedge: Callable[..., Evidence], limits: Limits, lux: float
) -> None:
    """1.6 L* above the black at D 2.55 and 1.6, and 1.1 L* below the paper, separate in any usual booth."""
    for density in (2.55, 1.6):
        L = printed(density)
        dark = replace(wedge(SHADOW, aim=L, black=float(L[0])), limits=replace(limits, lux=lux))
        first = separation.first_shadow_step(dark)
        assert first is not None and float(first.values) == pytest.approx(1.6)
    light = replace(wedge([100 - 1.1 * k for k in range(12)]), limits=replace(limits, lux=lux))
    last = separation.last_highlight_step(light)
    assert last is not None and float(last.values) == pytest.approx(1.1)


@pytest.mark.parametrize(
    ("density", "largest_step", "largest_contrast"), [(1.6, 1.09, 0.067), (2.6, 1.60, 0.226)]
)
def test_perfectly_printed_steps_are_small_on_matt_and_still_part(
    density: float, largest_step: float, largest_contrast: float
) -> None:
    """16 steps of 1.6 L* with compensation: at D 1.6 they shrink to 1.09 L* at most, with 0.5 % flare a
    contrast of 0.067 at most; at D 2.6 to 1.60 and 0.226 (COMPUTED). All of them part, at both."""
    L = printed(density)
    Y = separation.luminance(np.column_stack([L, np.zeros((16, 2))]))
    contrast = separation.contrast(Y[:-1], Y[1:], 0.005)
    assert np.diff(L).max() == pytest.approx(largest_step, abs=0.01)
    assert contrast.max() == pytest.approx(largest_contrast, abs=0.002)
    assert contrast.min() > 0.03


@pytest.mark.parametrize("density", [1.6, 2.0, 2.6])
def test_a_perfect_print_parts_from_the_first_step(density: float, wedge: Callable[..., Evidence]) -> None:
    L = printed(density)
    outcome = separation.first_shadow_step(wedge(SHADOW, aim=L, black=float(L[0])))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(1.6)


@pytest.mark.parametrize(("density", "lost"), [(1.6, 13), (2.0, 7), (2.6, 2)])
def test_without_compensation_the_intent_loses_the_darkest_steps(
    density: float, lost: int, wedge: Callable[..., Evidence]
) -> None:
    """Relative colorimetric without compensation loses 13, 7 and 2 of 16 steps (COMPUTED)."""
    L = printed(density, compensation=False)
    Y = separation.luminance(np.column_stack([L, np.zeros((16, 2))]))
    parts = separation.contrast(Y[0], Y, 0.005) >= 0.03
    assert abs(int((~parts).sum()) - lost) <= 1
    outcome = separation.first_shadow_step(wedge(SHADOW, aim=L, black=float(L[0])))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(SHADOW[int((~parts).sum())])


def test_a_step_that_falls_back_into_black_moves_the_first_parted_step_up(
    wedge: Callable[..., Evidence],
) -> None:
    """First means: this one and all lighter ones."""
    L = printed(2.0)
    L[6] = L[0]
    outcome = separation.first_shadow_step(wedge(SHADOW, aim=L, black=float(L[0])))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(SHADOW[7])
    assert outcome.where == "step 8, P8"


def test_noise_of_the_readings_does_not_part_steps(wedge: Callable[..., Evidence]) -> None:
    L = printed(1.6)
    quiet = separation.first_shadow_step(wedge(SHADOW, aim=L, black=float(L[0])))
    noisy = separation.first_shadow_step(wedge(SHADOW, aim=L, black=float(L[0]), noise=0.6))
    assert quiet is not None and noisy is not None
    assert float(noisy.values) > float(quiet.values)


def test_the_last_highlight_step_is_counted_from_the_paper(wedge: Callable[..., Evidence]) -> None:
    source = np.linspace(100.0, 88.0, 13)
    L = source.copy()
    L[1:3] = 99.95  # two steps drowned in the paper: contrast below 0.5 %
    outcome = separation.last_highlight_step(wedge(source, aim=source, measured=L))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(3.0)


def test_without_a_black_nothing_is_said(wedge: Callable[..., Evidence]) -> None:
    assert separation.first_shadow_step(wedge(SHADOW, black=None)) is None


@pytest.mark.parametrize(("missing", "known"), [(1, False), (4, False), (9, True)])
def test_a_step_that_was_not_read_may_part(wedge: Callable[..., Evidence], missing: int, known: bool) -> None:
    """Six steps are lost in the black, the seventh parts: one below it that was not read may have parted."""
    L = printed(2.0)
    L[1:6] = L[0]
    every = wedge(SHADOW, aim=L, black=float(L[0]))
    found = separation.first_shadow_step(every)
    assert found is not None and found.where == "step 7, P7"
    gap = separation.first_shadow_step(chosen(every, [k for k in range(16) if k != missing]))
    assert (gap is not None) == known
    assert gap is None or gap.where == found.where
