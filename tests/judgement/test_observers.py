"""Several observers of one print. Values without another source were computed for the project."""

import numpy as np
import pytest

from evaluation.judgement.observers import agreement
from evaluation.judgement.observers.pooled import pooled
from evaluation.judgement.several import limit, limits, student
from evaluation.telling import observers as words

NAN = float("nan")
NINE_BY_THREE = np.array(
    [[5, 4, 5, 3, 4, 2, 5, 4, 4], [5, 4, 4, 4, 5, 3, 5, 4, 3], [4, 4, 4, 3, 4, 2, 5, 3, 3.0]]
)


def table(text):
    return np.array([[NAN if c == "." else float(c) for c in row] for row in text.split()])


def test_krippendorffs_own_example_and_that_of_three_coders():
    """K. Krippendorff 2011: four observers, 12 units, 0.815; three coders, 15 units, 0.8067."""
    four = table("123321412... 1233224125.3 .3332342251. 12332441251.")
    assert agreement.alpha(four) == pytest.approx(0.815388, abs=1e-6)
    three = table(".....34121133.3 1.213343....... ..21344.21133.4")
    assert agreement.alpha(three) == pytest.approx(0.806722, abs=1e-6)


def test_nine_regions_by_three_observers():
    found = agreement.leans(NINE_BY_THREE)
    assert [round(one.by, 3) for one in found.of] == [0.111, 0.222, -0.333]
    assert found.rest == pytest.approx(0.4410, abs=5e-5) and found.of[0].error == pytest.approx(
        0.12, abs=5e-5
    )
    assert [one.named for one in found.of] == [False, False, True]
    assert agreement.alpha(NINE_BY_THREE) == pytest.approx(0.64794, abs=5e-6)
    shares = agreement.shares(NINE_BY_THREE)
    assert (shares.equal, shares.within_one, shares.pairs) == (pytest.approx(13 / 27), 1.0, 27)


def test_a_coefficient_falls_where_observers_agree_most():
    """36 both 5, two 4/5, two 5/4: 90 % equal, alpha below 0; one apart: 0; all equal: undefined."""
    both = np.array([[5.0] * 36 + [4, 4, 5, 5], [5.0] * 36 + [5, 5, 4, 4]])
    assert agreement.shares(both).equal == 0.9
    assert agreement.alpha(both) == pytest.approx(-0.0395, abs=5e-5)
    assert agreement.coefficient(both, list(map(str, range(40)))).why_not == "regions alike"
    one = np.array([[5.0] * 40, [5.0] * 39 + [4.0]])
    assert agreement.alpha(one) == pytest.approx(0)
    assert agreement.alpha(np.full((2, 40), 5.0)) is None
    assert agreement.coefficient(NINE_BY_THREE, list("abcdefghi")).why_not == "too few"


def test_a_coefficient_of_unlike_regions_has_a_rough_interval_around_it():
    random = np.random.default_rng(5)
    true = np.repeat(np.linspace(1.6, 4.8, 10), 4)
    grades = np.clip(np.rint(true + random.normal(0, 0.5, (3, 40))), 1, 5)
    found = agreement.coefficient(grades, [str(i // 4) for i in range(40)])
    assert found.alpha > 0.6 and found.interval[0] < found.alpha < found.interval[1] and not found.why_not


def test_answers_unlike_the_others_are_named_and_nobody_is_dropped():
    """Honest observers stay below 1.15 in 95 %, a guesser above it; the screening of BT.500 needs 15."""
    random = np.random.default_rng(1)
    for m in (2, 3, 4, 6):
        honest = guesser = alone = 0
        for _ in range(60):
            grades = 4 + random.normal(0, 0.35, (m, 1)) + random.normal(0, 0.5, (m, 40))
            grades = np.clip(np.rint(grades), 1, 5)
            honest += max(agreement.unlike(grades)) > limit("unlike_others")
            grades[0] = random.integers(1, 6, 40)
            found = agreement.unlike(grades)
            guesser += found[0] > limit("unlike_others")
            alone += agreement.standing_out(grades) == ((0,) if m > 2 else (0, 1))
        assert honest <= 3 and guesser >= 57 and alone >= 55
    two = agreement.unlike(table("54321 55555"))
    assert two[0] == pytest.approx(two[1])
    assert agreement.unlike(table("5... .444")) == (None, None)
    n = np.arange(2, 15)
    assert (
        (n - 1) / np.sqrt(n) < np.sqrt(20)
    ).all()  # the largest |z| there can be, the limit of a lone outlier


@pytest.mark.parametrize(
    ("draws", "within"), [(400, 0.025), pytest.param(20_000, 0.008, marks=pytest.mark.long)]
)
def test_the_interval_of_a_pooled_grade_holds_the_truth(draws, within):
    """Regions 1.5 to 4.6, noise 0.5, rounded; leans of 0.35 or 0.6. Shares were computed from 20,000 draws.

    1.96 s / sqrt(m), which is not used, holds it in 0.56 / 0.74 / 0.83 / 0.89 for 2 / 3 / 4 / 6 observers.
    """
    for lean, stated in (
        (0.35, {1: 0.993, 2: 0.976, 3: 0.971, 4: 0.972, 6: 0.987}),
        (0.6, {1: 0.970, 2: 0.945, 3: 0.942, 4: 0.950, 6: 0.967}),
    ):
        for m, share in stated.items():
            random = np.random.default_rng(m)
            held = plain = 0
            for true in random.uniform(1.5, 4.6, draws):
                grades = true + random.normal(0, lean, m) + random.normal(0, 0.5, m)
                grades = np.clip(np.rint(grades), 1, 5)
                found = pooled(grades)
                held += found.low <= true <= found.high
                plain += m > 1 and abs(grades.mean() - true) <= 1.96 * grades.std(ddof=1) / np.sqrt(m)
            assert held / draws == pytest.approx(share, abs=within), (lean, m)
            if lean == 0.35 and m > 1:
                too_seldom = {2: 0.56, 3: 0.74, 4: 0.83, 6: 0.89}[m]
                assert plain / draws == pytest.approx(too_seldom, abs=3 * within)


def screened(grades):
    """Whether the screening of ITU-R BT.500 would drop each observer of (observers, items)."""
    mean, spread = grades.mean(0), grades.std(0, ddof=1)
    second, fourth = ((grades - mean) ** 2).mean(0), ((grades - mean) ** 4).mean(0)
    told = spread > 0
    kurtosis = np.divide(fourth, second**2, out=np.full_like(second, 3.0), where=told)
    limit_ = np.where((kurtosis >= 2) & (kurtosis <= 4), 2.0, np.sqrt(20)) * spread
    above, below = ((told & (grades >= mean + limit_)).sum(1), (told & (grades <= mean - limit_)).sum(1))
    outside = above + below
    return (outside / grades.shape[1] > 0.05) & (np.abs(above - below) < 0.3 * outside)


@pytest.mark.parametrize(("draws", "within"), [(150, 0.1), pytest.param(5_000, 0.03, marks=pytest.mark.long)])
def test_screening_finds_no_guesser_among_few(draws, within):
    """Why it is not done below `screened_from`: of guessers among 4 to 6 it drops none, among 10 a third."""
    for m, share in ((4, 0.0), (5, 0.0), (6, 0.0), (8, 0.28), (10, 0.38), (15, 0.52)):
        random, dropped = np.random.default_rng(m), 0
        for _ in range(draws):
            true = random.uniform(1.5, 5, 40) + random.normal(0, 0.35, (m, 1))
            grades = np.clip(np.rint(true + random.normal(0, 0.5, (m, 40))), 1, 5)
            grades[0] = random.integers(1, 6, 40)
            dropped += screened(grades)[0]
        assert dropped / draws == pytest.approx(share, abs=within if share else 0), m
    few = words.screening(14)
    assert "fewer than 15 observers" in few and "leaves" not in few
    assert "sets nobody aside by itself" in words.screening(15) and "fewer" not in words.screening(15)


def test_a_pooled_grade_by_hand():
    found = pooled([4.0, 5.0])
    assert found.grade == 4.5 and found.error == pytest.approx(np.sqrt((4 * 0.36 + 0.5) / 5 / 2))
    assert found.high - found.grade == pytest.approx(2.571 * found.error)
    assert pooled([4.0] * 6).error == limit("grade_floor")
    with pytest.raises(ValueError, match="no grade"):
        pooled([])


def test_students_t_by_integration():
    for freedom in range(4, 19):
        x = np.linspace(-student(freedom), student(freedom), 20001)
        density = (1 + x**2 / freedom) ** (-(freedom + 1) / 2)
        far = np.tan(np.linspace(-np.pi / 2 + 1e-6, np.pi / 2 - 1e-6, 400001))
        whole = np.trapezoid((1 + far**2 / freedom) ** (-(freedom + 1) / 2), far)
        assert np.trapezoid(density, x) / whole == pytest.approx(0.95, abs=2e-4)
    assert student(40) == pytest.approx(1.96, abs=1e-3)


def test_every_limit_is_whole_and_used():
    from pathlib import Path

    from evaluation.judgement import several

    code = "\n".join(path.read_text("utf-8") for path in Path(several.__file__).parents[1].rglob("*.py"))
    for row in limits().values():
        assert row.unit and row.note and row.mark in ("READ", "COMPUTED", "MEMORY", "own")
        assert f'"{row.name}"' in code, row.name


def test_fewer_than_two_observers_or_items_have_nothing_to_agree_about():
    assert agreement.shares(table("5432")) is None and agreement.leans(table("5432")) is None
    assert agreement.leans(table("5... .444")) is None
