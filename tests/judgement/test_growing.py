"""Whether growth is more than another sheet would bring: limits of all eighteen cells together."""

import numpy as np
import pytest

from evaluation.judgement.growing import limits, sheets_of, words
from evaluation.judgement.several import limit
from evaluation.profile.growth import Growth


def groups(rng: np.random.Generator, root: np.ndarray, sizes: tuple[int, ...]) -> list[np.ndarray]:
    drawn = [rng.standard_normal((size, 18)) @ root.T for size in sizes]
    return [each - each.mean(axis=0) for each in drawn]


def test_one_sheet_each_widens_the_limit_by_the_root_of_three() -> None:
    """1/1 + 1/1 against 1/3 + 1/3: 1.73."""
    default = sheets_of([], 0.5)
    assert default.sheets == 0
    np.testing.assert_allclose(limits(default, 1, 1) / limits(default, 3, 3), np.sqrt(3))


def test_the_default_is_the_level_of_another_sheet() -> None:
    """0.5 dE*ab on average is 0.5 / sqrt(8 / pi) an axis; the largest |z| of 18 cells stays below 2.98 in 95
    of 100 draws (normal distribution: 0.95 ** (1 / 18) two-sided)."""
    expected = 2.98 * 0.5 / np.sqrt(8 / np.pi) * np.sqrt(2)
    np.testing.assert_allclose(limits(sheets_of([], 0.5), 1, 1), expected, rtol=0.01)


@pytest.mark.parametrize("correlation", [0.0, 0.8])
def test_sheets_of_one_setting_pass_their_limit_in_about_one_of_twenty_pairs(correlation: float) -> None:
    """Cells tested one by one call something different in half of such pairs and more."""
    rng = np.random.default_rng(11)
    spread = rng.uniform(0.05, 0.07, 18)
    covariance = np.where(np.eye(18, dtype=bool), 1.0, correlation) * np.outer(spread, spread)
    root = np.linalg.cholesky(covariance)
    alarms = 0
    for _ in range(12):
        at_most = limits(sheets_of(groups(rng, root, (3, 3, 2)), 0.5), 1, 1).ravel()
        apart = (rng.standard_normal((100, 18)) - rng.standard_normal((100, 18))) @ root.T
        alarms += int((np.abs(apart) > at_most).any(axis=1).sum())
    assert 0.01 < alarms / 1200 < 0.09


def test_seven_sheets_are_too_few_for_a_spread_of_their_own() -> None:
    rng = np.random.default_rng(2)
    root = np.eye(18) * 0.06
    assert limit("growth_sheets") == 8
    assert sheets_of(groups(rng, root, (4, 3)), 0.5).sheets == 0
    found = sheets_of(groups(rng, root, (4, 4, 1)), 0.5)
    assert found.sheets == 8 and np.diag(found.covariance) == pytest.approx(0.0036, rel=0.7)


def test_words_say_measured_only_beyond_sheets_and_visible_only_where_measured() -> None:
    cells = np.full((6, 3), np.nan)
    cells[0] = 0.2, 0.6, 1.2
    cells[1] = -0.2, -0.6, -1.2
    growth = Growth(cells, np.ones((6, 3), np.intp), 0.3)
    told = words(growth, np.full((6, 3), 0.5))
    assert told[0] == ("within sheets", "measured", "visible") and told[1] == told[0]
    assert told[2] == (None, None, None)
    assert words(growth, np.full((6, 3), 1.3))[0][2] == "within sheets"
    assert words(growth, None)[0] == ("not visible", "not visible", "visible")
