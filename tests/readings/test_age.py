"""The age of a print from stated times: none where they contradict each other, a span where one is a day."""

from datetime import UTC, datetime, timedelta, timezone

import pytest

from evaluation.readings.age import Age, age, impossible

PRINTED = datetime(2026, 11, 22, 18, 58, tzinfo=UTC)


@pytest.mark.parametrize(
    ("at", "expected"),
    [
        (PRINTED + timedelta(minutes=30), Age(0.5, 0.5)),
        (PRINTED, Age(0.0, 0.0)),
        (PRINTED - timedelta(minutes=1), None),
        (datetime(2026, 11, 22, tzinfo=UTC), Age(0.0, 24 - 18 - 58 / 60)),
        (datetime(2026, 11, 24, tzinfo=UTC), Age(29 + 2 / 60, 53 + 2 / 60)),
        (datetime(2026, 11, 21, tzinfo=UTC), None),
        (datetime(2026, 11, 22, 20, 58, tzinfo=timezone(timedelta(hours=2))), Age(0.0, 0.0)),
    ],
)
def test_an_age_is_what_the_times_allow(at: datetime, expected: Age | None) -> None:
    found = age(PRINTED, at)
    assert (found is None) == (expected is None)
    if found is not None and expected is not None:
        assert (found.least, found.most) == pytest.approx((expected.least, expected.most))


def test_an_age_in_hours_is_told_where_the_minute_is_known() -> None:
    assert Age(5.0, 5.0).hours == 5.0
    assert Age(5.0, 29.0).hours is None


def test_nothing_is_impossible_of_a_print_without_a_time() -> None:
    assert impossible(None, [PRINTED]) == ()
    assert impossible(PRINTED, [PRINTED, PRINTED - timedelta(days=7)]) == (PRINTED - timedelta(days=7),)
