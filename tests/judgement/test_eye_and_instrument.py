"""Spreads, weights and agreement of eye and instrument.

Values marked COMPUTED are arithmetic of the rules themselves, checked against direct simulation in the test.
"""

from typing import Any

import numpy as np
import pytest

from evaluation.judgement import combine, eye, instrument, offset
from evaluation.judgement.eye import Seen
from evaluation.judgement.opinion import Opinion
from evaluation.session import Cast, Grade


def said(*grades: float, observer: str = "observer 1") -> tuple[Seen, ...]:
    return tuple(Seen(observer, grade) for grade in grades)


def test_one_viewing_has_the_default_spread(room: Any) -> None:
    only = eye.opinion(said(4), room.tables)
    assert only == Opinion(4.0, pytest.approx((0.5**2 + 1 / 12) ** 0.5), 1, "1 viewing", ("observer 1",))


def test_equal_grades_never_make_the_eye_infinitely_sure(room: Any) -> None:
    """Rounding to whole grades alone has a spread of 1/sqrt(12) = 0.29."""
    many = eye.opinion(said(4, 4, 4, 4, 4), room.tables)
    assert many is not None
    assert many.spread == pytest.approx(0.29)


def test_viewings_of_one_observer_lean_on_the_default_spread(room: Any) -> None:
    """s^2 = (4 x (0.5^2 + 1/12) + (n - 1) s_n^2) / (4 + n - 1) / n, worked by hand for 2 and 4."""
    both = eye.opinion(said(2, 4), room.tables)
    assert both is not None
    assert both.grade == 3
    assert both.spread == pytest.approx(((4 * (0.25 + 1 / 12) + 1 * 2.0) / 5 / 2) ** 0.5)


def test_several_observers_count_by_their_means(room: Any) -> None:
    """Observer 1: 4 and 5, observer 2: 3. Pooled with 1/3: (4/3 + 0.5) / 5; each mean by its viewings."""
    grades = (*said(4, 5), *said(3, observer="observer 2"))
    both = eye.opinion(grades, room.tables)
    assert both is not None
    assert (both.grade, both.count, both.basis) == (3.75, 3, "2 observers")
    assert both.observers == ("observer 1", "observer 2")
    pooled = (4 / 3 + 0.5) / 5
    assert both.spread == pytest.approx(((pooled / 2 + pooled) / 4) ** 0.5)
    # What they differ by beyond their leans counts: means 4.5 and 3 less +0.5 and -0.5 leave 4 and 3.5.
    leaning = eye.opinion(grades, room.tables, {"observer 1": 0.5, "observer 2": -0.5})
    pooled = (4 / 3 + 0.5 + 0.125) / 6
    assert leaning is not None and leaning.grade == 3.75
    assert leaning.spread == pytest.approx(((pooled / 2 + pooled) / 4) ** 0.5)


def test_answers_after_the_readings_were_shown_count_only_for_want_of_others(room: Any) -> None:
    led = room.viewing({("skin", "overall"): Grade(2)}, after_reveal=True, ordinal=2)
    free = room.viewing({("skin", "overall"): Grade(5)})
    assert len(eye.answers(room.session(free, led), "skin", "overall")) == 1
    assert eye.answers(room.session(free, led), "skin", "overall")[0][1].value == Grade(5)
    assert eye.answers(room.session(led), "skin", "overall")[0][1].value == Grade(2)


def test_viewings_beside_a_reference_are_not_averaged_with_others(room: Any) -> None:
    """Single and double stimulus are different scales (ITU-R BT.500)."""
    alone = room.viewing({("skin", "overall"): Grade(5)})
    beside = room.viewing({("skin", "overall"): Grade(3)}, ordinal=2, reference=7)
    taken = eye.answers(room.session(alone, beside), "skin", "overall")
    assert [answer.value for _, answer in taken] == [Grade(3)]


def test_the_worst_third_of_a_cast_counts(room: Any) -> None:
    parts = (("dark", "none", None), ("middle", "yellow", "just"), ("light", "red", "clear"))
    assert eye.cast_grade(Cast(parts), room.tables) == 3  # type: ignore[arg-type]
    assert eye.cast_grade(Cast((("whole", "none", None),)), room.tables) == 5


def test_the_eye_keeps_half_the_weight_beside_a_steady_instrument(room: Any) -> None:
    """Inverse variance alone would leave it 1 % at 0.05, and 4 % at 0.1 (COMPUTED)."""
    for spread, left in ((0.05, 0.01), (0.1, 0.04)):
        assert 1 / 0.5**2 / (1 / 0.5**2 + 1 / spread**2) == pytest.approx(left, abs=0.005)
        both = combine.combined(Opinion(2, 0.5, 1, ""), Opinion(4, spread, 1, ""), room.tables)
        assert both.grade == pytest.approx(3.0)


def test_the_surer_eye_weighs_more_than_half(room: Any) -> None:
    both = combine.combined(Opinion(2, 0.3, 1, ""), Opinion(4, 0.6, 1, ""), room.tables)
    assert both.grade == pytest.approx(2 * 0.8 + 4 * 0.2)
    assert both.spread == pytest.approx(((0.8 * 0.3) ** 2 + (0.2 * 0.6) ** 2) ** 0.5)


def test_eye_and_readings_disagree_beyond_1_41(room: Any) -> None:
    """max(1, 2 sqrt(0.5^2 + 0.5^2)) = 1.41 (COMPUTED) whatever the spreads, the offset taken out."""
    assert offset.agrees(3.0, 4.41, 0.0, room.tables)
    assert not offset.agrees(3.0, 4.42, 0.0, room.tables)
    assert offset.agrees(3.0, 4.9, -0.5, room.tables)
    assert not offset.agrees(3.0, 2.0, -0.5, room.tables)


def test_the_offset_of_a_session_is_half_its_median_at_eight_regions(room: Any) -> None:
    """k = v / (v + 1.57 (0.58^2 + 0.54^2) / n), v = 0.3^2 + 0.2^2: 0.513 at n = 8 (COMPUTED)."""
    apart = [(3.0, 4.0)] * 7 + [(1.0, 5.0)]
    assert offset.apart(apart, room.tables) == -1.0
    assert offset.offset(apart, room.tables) == pytest.approx(-0.513, abs=0.003)
    assert offset.offset(apart[:3], room.tables) == 0.0 and offset.apart(apart[:3], room.tables) is None


def test_a_harsh_eye_is_no_row_of_disagreements(room: Any) -> None:
    """Shares of regions that disagree, COMPUTED by another program: 5.6 % without a lean, 6.9 with leans of
    sd 0.5, 11 for an observer harsh by 1; a fault of 1.5 or 2 grades seen by eye alone is found in 47-50 and
    71-73 %.
    """
    rng = np.random.default_rng(3)

    def share(lean: float, spread: float, fault: float = 0.0) -> float:
        found = []
        for _ in range(800):
            x = np.clip(4.2 + 0.6 * rng.standard_normal(8), 1, 5)
            seen = x + lean + spread * rng.standard_normal() + 0.5 * rng.standard_normal(8)
            seen[0] -= fault
            eyes = np.clip(np.rint(seen), 1, 5)
            read = np.clip(x + 0.54 * rng.standard_normal(8), 1, 5)
            both = list(zip(eyes.tolist(), read.tolist(), strict=True))
            off = offset.offset(both, room.tables)
            each = [not offset.agrees(*pair, off, room.tables) for pair in both]
            found.append(each[0] if fault else np.mean(each))
        return float(np.mean(found))

    assert share(0, 0) < 0.07 and share(0, 0.5) < 0.09 and share(-1, 0) < 0.14
    assert share(0, 0, 1.5) > 0.38 and share(0, 0, 2.0) > 0.6


def test_the_worst_of_five_good_metrics_is_drawn_down_by_noise_and_half_is_taken_off() -> None:
    """Five metrics truly 4.5 with grade noise 0.3 score 4.15, eight 4.07, one 4.49 (COMPUTED; clipped at 5).

    Half of that pull can be taken off by the draws: 4.29 for five.
    """
    rng = np.random.default_rng(7)
    for count, expected in ((1, 4.49), (5, 4.15), (8, 4.07)):
        worst = np.clip(4.5 + 0.3 * rng.standard_normal((20_000, count)), 1, 5).min(axis=1)
        assert worst.mean() == pytest.approx(expected, abs=0.015)
    corrected = []
    for _ in range(2_000):
        readings = 4.5 + 0.3 * rng.standard_normal(5)
        draws = np.vstack([readings, readings + 0.3 * rng.standard_normal((100, 5))])
        corrected.append(instrument.unbiased(np.clip(draws, 1, 5).min(axis=1)))
    assert np.mean(corrected) == pytest.approx(4.29, abs=0.04)


def test_worst_of_three_keys_is_pulled_least() -> None:
    """Why a region has at most three key metrics."""
    rng = np.random.default_rng(8)
    worst = np.clip(4.5 + 0.3 * rng.standard_normal((20_000, 3)), 1, 5).min(axis=1)
    assert worst.mean() == pytest.approx(4.25, abs=0.02)


def test_an_instrument_is_never_surer_than_its_anchors(room: Any) -> None:
    still = np.full(200, 4.0)
    assert instrument.spread(still, room.tables) == pytest.approx((0.5**2 + 0.2**2) ** 0.5)


@pytest.mark.parametrize(
    ("by_eye", "by_instrument", "unseen", "word"),
    [
        (None, None, (), "none"),
        (None, 4.0, (), "instrument only"),
        (4.0, None, (), "eye only"),
        (4.0, 4.5, (), "agree"),
        (2.0, 4.5, (), "disagree"),
        (2.0, 4.5, ("banding",), "eye only"),
        (4.5, 2.0, ("banding",), "disagree"),
    ],
)
def test_words_of_agreement(
    room: Any, by_eye: float | None, by_instrument: float | None, unseen: tuple[str, ...], word: str
) -> None:
    seen = None if by_eye is None else Opinion(by_eye, 0.5, 1, "")
    read = None if by_instrument is None else Opinion(by_instrument, 0.5, 1, "")
    assert combine.agreement(seen, read, (), unseen, 0.0, room.tables) == word
