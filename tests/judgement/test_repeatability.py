"""Limits of repeats by simulation, and Holm's correction against a worked example."""

from itertools import pairwise

import numpy as np
import pytest

from evaluation.judgement.repeatability import (
    MEAN_LENGTH,
    holm_adjusted,
    isotropic,
    limit_from_covariance,
    root,
)
from evaluation.judgement.tables import load_tables
from evaluation.readings.repeat_limits import repeats

TABLES = load_tables()
LEVEL = TABLES["level"]


def by_mean_difference(mcdm: float, readings: float) -> float:
    """The plain rule: 2.48 times the mean difference from the mean, corrected for few readings behind it."""
    return float(TABLES["repeat_rule"] * mcdm * np.sqrt(readings / (readings - 1)))


def holm(p_values: list[float], level: float = 0.05) -> tuple[bool, ...]:
    return tuple(p <= level for p in holm_adjusted(p_values))


def test_two_single_readings_exceed_248_times_the_mean_difference_in_five_percent() -> None:
    """2.48: 95th percentile of the difference of two readings over the true mean distance (COMPUTED)."""
    assert pytest.approx(1.596, abs=0.001) == MEAN_LENGTH
    limit = limit_from_covariance(isotropic(1.0), 1, 1, TABLES)
    assert limit == pytest.approx(2.48, abs=0.03)
    assert TABLES["repeat_rule"] == 2.48


@pytest.mark.parametrize(("readings", "factor"), [(2, 3.5), (3, 3.0), (5, 2.8)])
def test_few_duplicates_make_the_raw_statistic_too_small(readings: int, factor: float) -> None:
    """With 2, 3, 5 duplicates the factor on the raw mean distance is 3.5, 3.0, 2.8 (COMPUTED)."""
    assert by_mean_difference(1.0, readings) == pytest.approx(factor, abs=0.05)


def test_means_of_several_readings_lie_closer() -> None:
    S = isotropic(0.5)
    single = limit_from_covariance(S, 1, 1, TABLES)
    assert limit_from_covariance(S, 4, 4, TABLES) == pytest.approx(single / 2)


@pytest.mark.long
@pytest.mark.parametrize(
    ("spread", "by_mean", "by_covariance"),
    [((0.3, 0.3, 0.3), (0.04, 0.08), (0.04, 0.075)), ((0.9, 0.3, 0.3), (0.09, 0.15), (0.04, 0.075))],
)
def test_false_alarms_of_both_rules(
    spread: tuple[float, float, float], by_mean: tuple[float, float], by_covariance: tuple[float, float]
) -> None:
    """12 patches read three times: the rule of 2.48 gives 6 % false alarms with equal noise and 12 % with L*
    three times as noisy; the pooled covariance 5-7 % in both (COMPUTED)."""
    rng = np.random.default_rng(2)
    alarms = np.zeros(2)
    runs = 300
    groups = [tuple(range(3 * k, 3 * k + 3)) for k in range(12)]
    for _ in range(runs):
        known = repeats(rng.standard_normal((36, 3)) * spread, groups)
        assert known.covariance is not None and known.mcdm is not None
        apart = np.linalg.norm(
            (rng.standard_normal((200, 3)) - rng.standard_normal((200, 3))) * spread, axis=-1
        )
        alarms += [
            (apart > by_mean_difference(known.mcdm, 3)).mean(),
            (apart > limit_from_covariance(known.covariance, 1, 1, TABLES)).mean(),
        ]
    rates = alarms / runs
    assert by_mean[0] < rates[0] < by_mean[1]
    assert by_covariance[0] < rates[1] < by_covariance[1]


def test_a_root_of_a_singular_covariance() -> None:
    S = np.array([[1.0, 1.0, 0.0], [1.0, 1.0, 0.0], [0.0, 0.0, 0.0]])
    assert root(S) @ root(S).T == pytest.approx(S)


def test_holm_by_the_encyclopaedias_example() -> None:
    """Four hypotheses, p = 0.01, 0.04, 0.03, 0.005 at 5 %: the fourth and first are rejected, then it stops.

    Source: the example of the encyclopaedia article on the method of Holm (1979), Scandinavian Journal of
    Statistics 6, 65-70 (MEMORY); adjusted values checked by hand.
    """
    p = [0.01, 0.04, 0.03, 0.005]
    adjusted = holm_adjusted(p)
    assert [value <= 0.05 for value in adjusted] == [True, False, False, True]
    assert adjusted == pytest.approx((0.03, 0.06, 0.06, 0.02))


def test_holm_never_rejects_more_than_no_correction_nor_less_than_bonferroni() -> None:
    rng = np.random.default_rng(5)
    for _ in range(50):
        p = (rng.random(8) ** 2).tolist()
        bonferroni = [value * len(p) <= 0.05 for value in p]
        plain = [value <= 0.05 for value in p]
        for adjusted, least, most in zip(holm_adjusted(p), bonferroni, plain, strict=True):
            assert least <= (adjusted <= 0.05) <= most


def test_adjusted_values_keep_their_order() -> None:
    p = [0.001, 0.02, 0.02, 0.3, 0.9]
    assert all(low <= high for low, high in pairwise(holm_adjusted(p)))
    assert holm_adjusted([]) == ()


def test_tables_without_a_difference_stay_clean() -> None:
    """Ten cells at 95 % each: 60 % clean tables, twenty 36 % (COMPUTED); with the correction 95 %."""
    assert pytest.approx(0.60, abs=0.005) == 0.95**10
    assert pytest.approx(0.36, abs=0.005) == 0.95**20
    rng = np.random.default_rng(6)
    clean = np.mean([min(holm_adjusted(rng.random(10).tolist())) > LEVEL for _ in range(3000)])
    assert clean == pytest.approx(0.95, abs=0.012)
