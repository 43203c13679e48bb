"""What readings of each class of colour spread by: against simulation, and by hand."""

import numpy as np
import pytest

from evaluation.readings import colour_classes
from evaluation.readings.colour_classes import CLASSES, MIDDLE_GREY, STRONG, default, pooled, proportions
from evaluation.readings.repeat_limits import repeats

# Of one reading, L* a* b*, of a matt paper of the printer model: dark, middle and light greys, muted, strong.
SPREADS = np.array(
    [(0.11, 0.02, 0.02), (0.14, 0.03, 0.03), (0.10, 0.03, 0.02), (0.12, 0.06, 0.05), (0.11, 0.12, 0.15)]
)
COLOURS = np.array([(20, 0, 0), (50, 1, 1), (90, 0, -3), (60, 20, 10), (50, 60, 30)], np.float64)


def test_a_class_without_repeats_has_its_proportions_at_the_scale_of_the_others() -> None:
    """S = (6 diag(q (1, r, r))^2 + sum d d') / (6 + f), by hand for one pair of greys 0.2 L* apart."""
    found = repeats(np.array([[50.0, 0, 0], [50.2, 0, 0]]), [(0, 1)])
    S = pooled(found.squares)
    q2 = 0.02 / (1 + 2 * 0.2**2)
    assert S[MIDDLE_GREY] == pytest.approx((6 * q2 * np.diag([1, 0.04, 0.04]) + np.diag([0.02, 0, 0])) / 7)
    assert S[STRONG] == pytest.approx(q2 * np.diag([1, 2.25, 2.25]))


@pytest.mark.long
def test_few_repeats_show_the_spread_of_every_class_better_than_one_covariance() -> None:
    """Twenty patches read twice, a third of them strong: greys are less noisy in a*, b* than all together."""
    rng = np.random.default_rng(8)
    kinds = np.repeat([0, 1, 2, 3, 4], [2, 4, 3, 4, 7])
    by_class, together = [], []
    for _ in range(200):
        first, second = (COLOURS[kinds] + SPREADS[kinds] * rng.standard_normal((20, 3)) for _ in range(2))
        found = repeats(np.concatenate([first, second]), [(k, k + 20) for k in range(20)])
        by_class.append(np.sqrt(np.diagonal(pooled(found.squares), axis1=1, axis2=2)))
        together.append(np.sqrt(np.diagonal(found.covariance)))
    ratio = np.median(by_class, axis=0) / SPREADS
    assert np.all((ratio > 0.6) & (ratio < 1.8))
    assert (np.median(together, axis=0) / SPREADS)[:3, 1:].min() > 2.5


def test_the_default_is_the_stated_spread_on_average() -> None:
    kinds = np.array([1, 1, 2, 3, 4, 4])
    S = default(0.3, kinds)
    assert np.trace(S[kinds], axis1=1, axis2=2).mean() == pytest.approx(3 * 0.3**2)
    for kind in CLASSES:
        spread = np.sqrt(np.diagonal(S[kind]))
        assert spread / spread[0] == pytest.approx(proportions(kind))


def test_a_colour_has_its_class_by_lightness_and_chroma() -> None:
    assert colour_classes.classes(COLOURS).tolist() == list(CLASSES)
