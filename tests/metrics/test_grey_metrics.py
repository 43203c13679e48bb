"""Casts, thirds and crossover. Sources named at each check."""

from collections.abc import Callable

import numpy as np
import pytest

from evaluation.colorimetry.difference import delta_e_2000_equal_l
from evaluation.metrics import grey_metrics
from evaluation.metrics.cast import cast_word, thirds
from evaluation.metrics.evidence import Evidence
from evaluation.metrics.gather import chosen
from evaluation.sheet.layout import Patch

EVEN = np.linspace(0.0, 100.0, 21)


def tinted(*, dark: tuple[float, float] = (0, 0), middle: tuple[float, float] = (0, 0),
           light: tuple[float, float] = (0, 0)) -> np.ndarray:  # fmt: skip
    """A wedge of 21 steps whose thirds lean."""
    lab = np.zeros((21, 3))
    lab[:, 0] = EVEN
    third = np.clip((EVEN / (100 / 3)).astype(int), 0, 2)
    lab[:, 1:] = np.array([dark, middle, light])[third]
    return lab


@pytest.mark.parametrize(
    ("angle", "word"),
    [(30, "red"), (90, "yellow"), (150, "green"), (210, "cyan"), (270, "blue"), (330, "magenta")],
)
def test_six_words_in_sectors_of_sixty_degrees(angle: float, word: str) -> None:
    """Project's own choice: sectors around 30, 90, 150, 210, 270, 330 degrees of (da*, db*)."""
    for off in (-19, 0, 19):
        at = np.radians(angle + off)
        assert cast_word(float(np.cos(at)), float(np.sin(at))) == word


@pytest.mark.parametrize(
    ("angle", "words"),
    [
        (60, "red to yellow"),
        (65, "red to yellow"),
        (111, "yellow to green"),
        (359, "magenta to red"),
        (5, "magenta to red"),
    ],
)
def test_both_words_near_a_border(angle: float, words: str) -> None:
    at = np.radians(angle)
    assert cast_word(float(np.cos(at)), float(np.sin(at))) == words


def test_thirds_split_what_was_printed_not_the_scale(wedge: Callable[..., Evidence]) -> None:
    """A matt black of L* 18: thirds end at 45.3 and 72.7."""
    L = 18 + EVEN * 0.82
    third = thirds(wedge(EVEN, aim=L, black=18.0))
    assert [int((third == t).sum()) for t in range(3)] == [7, 7, 7]


@pytest.mark.parametrize(
    ("shift", "dE00"), [((1.5, 0), 2.14), ((0, 1.5), 1.45), ((3, 0), 4.09), ((0, 3), 2.81)]
)
def test_the_eye_is_not_round_in_the_ab_plane(shift: tuple[float, float], dE00: float) -> None:
    """dCh 1.5 around neutral is 2.14 dE00 along a*, 1.45 along b*; 3.0 is 4.09 and 2.81 (COMPUTED)."""
    assert float(delta_e_2000_equal_l([50, 0, 0], [50, *shift])) == pytest.approx(dE00, abs=0.03)


def test_the_worst_third_is_graded_and_named(wedge: Callable[..., Evidence]) -> None:
    outcome = grey_metrics.cast_by_third(wedge(EVEN, measured=tinted(middle=(0.0, 1.5))))
    assert outcome is not None
    assert outcome.where == "mid-tones"
    assert float(outcome.values) == pytest.approx(1.45, abs=0.03)


def test_very_dark_steps_have_no_hue(wedge: Callable[..., Evidence]) -> None:
    lab = tinted()
    lab[:2, 1] = 5.0  # L* 0 and 5: below 8 they are drawn hollow and left out
    outcome = grey_metrics.cast_by_third(wedge(EVEN, measured=lab))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(0.0, abs=1e-9)


def test_noisy_steps_are_left_out_of_the_cast(wedge: Callable[..., Evidence]) -> None:
    assert grey_metrics.cast_by_third(wedge(EVEN, noise=0.6)) is None  # chroma noise 0.85 exceeds 0.7


def test_crossover_is_a_distance_between_thirds(wedge: Callable[..., Evidence]) -> None:
    lab = tinted(dark=(0.0, -1.2), light=(0.0, 0.8))
    outcome = grey_metrics.crossover(wedge(EVEN, measured=lab))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(2.0)
    assert outcome.where == "shadows against highlights"


def test_crossover_of_a_neutral_print_stays_small(wedge: Callable[..., Evidence]) -> None:
    """Noise 0.3 per axis, 7 steps a third: below 0.46 in 95 % of draws, although some pair of thirds points
    more than 90 degrees apart in 82 % (COMPUTED)."""
    outcome = grey_metrics.crossover(wedge(EVEN[2:], noise=0.3, draws=4000))
    assert outcome is not None
    assert float(np.percentile(outcome.values[1:], 95)) == pytest.approx(0.46, abs=0.04)
    means, _, _ = grey_metrics.third_shifts(wedge(EVEN[2:], noise=0.3, draws=4000))
    unit = means[1:] / np.linalg.norm(means[1:], axis=-1, keepdims=True)
    cosines = np.einsum("dik,djk->dij", unit, unit)
    assert np.mean((cosines < 0).any(axis=(1, 2))) == pytest.approx(0.82, abs=0.1)


def test_the_maximum_of_a_wedge_is_an_extreme_value(wedge: Callable[..., Evidence]) -> None:
    """Why the maximum is never graded: neutral wedge, noise 0.3 and 0.8-1.2 in the blacks: mean dCh 0.46,
    mean maximum 1.69, in one of the two darkest steps in 92 of 100 draws (COMPUTED)."""
    noise = np.full(21, 0.3)
    noise[:2] = (1.2, 0.8)
    drawn = np.random.default_rng(11).standard_normal((4000, 21, 2)) * noise[:, None]
    dCh = np.hypot(drawn[..., 0], drawn[..., 1])
    assert dCh.mean() == pytest.approx(0.46, abs=0.02)
    assert dCh.max(axis=1).mean() == pytest.approx(1.69, abs=0.15)
    assert (dCh.argmax(axis=1) < 2).mean() == pytest.approx(0.92, abs=0.05)


def test_shadow_cast_leaves_the_black_to_its_own_line(wedge: Callable[..., Evidence]) -> None:
    source = np.linspace(0.0, 24.0, 16)
    L = 12 + source * 0.6
    lab = np.column_stack([L, np.zeros(16), np.full(16, 2.0)])
    lab[0, 2] = 9.0
    outcome = grey_metrics.shadow_cast(wedge(source, aim=L, measured=lab, black=12.0))
    assert outcome is not None
    assert outcome.patches == 14  # source L* 3.2 to 24
    assert float(outcome.values) == pytest.approx(
        float(delta_e_2000_equal_l([20, 0, 0], [20, 0, 2])), abs=0.02
    )


def test_three_lightest_inked_steps_make_the_entry(wedge: Callable[..., Evidence]) -> None:
    source = np.linspace(100.0, 88.0, 12)
    lab = np.column_stack([source, np.zeros(12), np.zeros(12)])
    lab[1:4, 2] = 1.0
    lab[0, 2] = 8.0  # bare paper is no ink
    outcome = grey_metrics.highlight_entry_cast(wedge(source, measured=lab))
    assert outcome is not None
    assert outcome.patches == 3
    assert float(outcome.values) == pytest.approx(
        float(delta_e_2000_equal_l([98, 0, 0], [98, 0, 1])), abs=0.01
    )


def test_the_ring_is_judged_by_its_centres(wedge: Callable[..., Evidence]) -> None:
    patches = tuple(
        Patch(f"R{k}", str(40 + k), "ring", source=source, series=group, step=step)
        for k, (group, step, source) in enumerate(
            [("dark", 1, (0.2, 0.2, 0.2)), ("dark", 2, (0.21, 0.2, 0.2)), ("middle", 1, (0.5, 0.5, 0.5))]
        )
    )
    lab = np.array([[25.0, 0, 0], [25.0, 9, 0], [50.0, 0, 3.0]])
    aim = np.array([[25.0, 0, 0], [25.0, 1.5, 0], [50.0, 0, 0]])
    outcome = grey_metrics.ring_offset(wedge([25, 25, 50], aim=aim, measured=lab, patches=patches))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(2.81, abs=0.03)
    assert outcome.where == "middle step 1, 42"


def test_a_ring_whose_centre_was_not_read_has_no_offset(wedge: Callable[..., Evidence]) -> None:
    """The nearest field to it is meant as coloured; its distance is no fault of the print."""
    ring = [(1.5, 0.0), (0.0, 1.5), (-1.5, 0.0), (0.0, 3.0)]
    patches = tuple(
        Patch(f"R{k}", str(40 + k), "ring", source=(0.5, 0.5, 0.5), series="middle", step=k)
        for k in range(2, 6)
    )
    aim = np.array([[50.0, a, b] for a, b in ring])
    read = wedge([50] * 4, aim=aim, measured=aim, patches=patches)
    assert grey_metrics.ring_offset(read) is None
    assert grey_metrics.ring_offset(chosen(read, [0])) is None


@pytest.mark.parametrize(("radius", "low", "high"), [(1.5, 1.45, 2.14), (3.0, 2.8, 4.1), (6.0, 5.3, 7.5)])
def test_rings_in_dE00(radius: float, low: float, high: float) -> None:
    """Ring 1.5 = 1.45-2.14, ring 3 = 2.8-4.1, ring 6 = 5.3-7.5 dE00 (COMPUTED)."""
    angles = np.radians(np.arange(0, 360, 5))
    ring = np.column_stack([np.full(72, 50.0), radius * np.cos(angles), radius * np.sin(angles)])
    dE = delta_e_2000_equal_l([50.0, 0, 0], ring)
    assert dE.min() == pytest.approx(low, abs=0.1)
    assert dE.max() == pytest.approx(high, abs=0.15)


def test_quantisation_of_a_pick_on_rings(limits: object) -> None:
    """With rings at 0, 1.5, 3 the answer's quantisation alone is 0.47 rms an axis (COMPUTED)."""
    rng = np.random.default_rng(4)
    angles = np.radians(np.arange(0, 360, 45))
    ring = [(0.0, 0.0)] + [(r * np.cos(t), r * np.sin(t)) for r in (1.5, 3.0) for t in angles]
    points = np.array(ring)
    r, t = 3.0 * np.sqrt(rng.random(20_000)), 2 * np.pi * rng.random(20_000)
    true = np.column_stack([r * np.cos(t), r * np.sin(t)])
    picked = points[np.linalg.norm(true[:, None] - points[None], axis=-1).argmin(axis=1)]
    assert np.sqrt(((true - picked) ** 2).mean()) == pytest.approx(0.47, abs=0.03)


def test_greys_that_part_under_a_light(wedge: Callable[..., Evidence]) -> None:
    """What the whole scale shares is adapted to; the largest distance between two steps counts."""
    shift = np.tile([1.0, 0.5], (21, 1))
    shared = grey_metrics.light_shift_differential(wedge(EVEN, shifts={"A": shift}))
    assert shared is not None and float(shared.values) == pytest.approx(0.0)
    parting = shift.copy()
    parting[10] += [2.0, 0.0]
    outcome = grey_metrics.light_shift_differential(wedge(EVEN, shifts={"A": shift, "LED-B3": parting}))
    assert outcome is not None
    assert float(outcome.values) == pytest.approx(2.0)
    assert outcome.where is not None and outcome.where.startswith("under LED-B3")


def test_where_a_tone_is_wanted_and_not_known_no_cast_is_read(wedge: Callable[..., Evidence]) -> None:
    evidence = wedge(EVEN, cast_has_aim=False)
    for metric in (grey_metrics.cast_by_third, grey_metrics.crossover, grey_metrics.shadow_cast):
        assert metric(evidence) is None
