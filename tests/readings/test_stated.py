"""When something was measured: a moment with its zone, whatever the file wrote."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest

from evaluation.errors import UsageProblem
from evaluation.readings.run import PatchRef, Run, Stated, when_measured, zoned
from evaluation.readings.stated import moment, with_supplied
from evaluation.readings.supplied import Supplied

LOCAL = datetime(2026, 3, 2, 14, 5).astimezone()


@pytest.mark.parametrize(
    "text",
    [
        "2026-03-02 14:05",
        "2026-03-02T14:05:00",
        "2026/03/02 14:05",
        "02.03.2026 14:05",
        "Mon Mar 2 14:05:00 2026",
    ],
)
def test_a_time_without_offset_is_local_time(text: str) -> None:
    assert moment(text) == LOCAL


@pytest.mark.parametrize("text", ["2026-03-02T13:05:00Z", "2026-03-02T14:05:00+01:00"])
def test_an_offset_in_the_file_counts(text: str) -> None:
    assert moment(text) == datetime(2026, 3, 2, 13, 5, tzinfo=UTC)


@pytest.mark.parametrize("text", ["0001-01-01", "9999-12-31T23:59:59-12:00", "1970-01-01T00:00:00Z"])
def test_a_clock_that_was_never_set_states_no_time(text: str) -> None:
    assert moment(text) is None


@pytest.mark.parametrize("text", [None, "", "03/04/2026", "yesterday", "2" * 41])
def test_what_can_be_read_two_ways_or_none_states_no_time(text: str | None) -> None:
    assert moment(text) is None


def test_runs_sort_by_their_moment_and_undated_ones_are_oldest() -> None:
    day = datetime(2026, 3, 2, 12, tzinfo=UTC)
    times = [day, None, zoned(datetime(2026, 3, 2, 12)), day - timedelta(days=90)]
    runs = [Run((PatchRef("1", "", 1),), Stated(measured_at=at)) for at in times]
    in_order = [run.stated.measured_at for run in sorted(runs, key=when_measured)]
    assert in_order[:2] == [None, day - timedelta(days=90)]
    assert all(one <= other for one, other in pairwise(in_order[1:]))


@pytest.mark.parametrize("name", ["D50", "d65", "A", "F2", "LED-B3"])
def test_an_illuminant_is_said_by_its_name(name: str) -> None:
    assert with_supplied(Stated(), Supplied(illuminant=name), "file").illuminant == name.upper()


def test_a_word_that_is_no_illuminant_is_not_kept() -> None:
    with pytest.raises(UsageProblem, match=r"such as D50, D65, A or LED-B3\. Found: “FOO”"):
        with_supplied(Stated(), Supplied(illuminant="foo"), "file")
