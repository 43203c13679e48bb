"""A kept result is that of its inputs: whatever it rests on has changed, it is not found again.

The demo's prints and readings are invented. Session 2 is printed without a profile here, so that the black of
session 3, or a tone like that of session 3, is its aim.
"""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from evaluation.archive.connection import open_archive
from evaluation.readings.said import Said
from evaluation.work import begin, compare, describe, look, paper, read, weigh
from evaluation.work.bench import Bench, sheet_of
from tests.conftest import quick_form

NOW = datetime(2026, 11, 24, 14, 2, tzinfo=UTC)


@pytest.fixture
def bench(finished: Path) -> Iterator[Bench]:
    with open_archive(finished) as archive:
        bench = Bench(archive, now=lambda: NOW)
        begin.say_condition(bench, 2, "profile_digest", None)
        yield bench


@pytest.fixture
def other(bench: Bench, finished_archive: Path) -> int:
    """A print beside session 2, on its sheet: another session than the one that session 2 names."""
    made = begin.begin_like(bench, 2)
    strip = finished_archive.parent / "demo-readings" / "baryta-mono-driver.txt"
    read.take_in(bench, made.id, read.preview(bench, made.id, strip, Said(printed_as="managed")))
    sheet = sheet_of(bench, made)
    paper.record(bench, made.id, paper.read_form(quick_form(sheet, 4), "form", sheet))
    return made.id


@pytest.mark.parametrize(("field", "said"), [("black_from", "session 3"), ("tone_wanted", "like session 3")])
def test_differences_are_those_of_the_grades_shown(bench: Bench, other: int, field: str, said: str) -> None:
    """Also once the session that sets the aim of one of them has changed."""
    weigh.weigh(bench, 3)
    describe.say_field(bench, 2, field, said)
    before = compare.worked_out(bench, (2, other)).column(2)
    look.start(bench, 3, observer="a guest")  # closes its scale: there is no black, no tone to take from it
    matrix = compare.worked_out(bench, (2, other))
    assert matrix.column(2).values != before.values, "the case is one in which the grades change"
    for row in matrix.rows:
        one = matrix.difference(row.id, 2, other)
        assert one is not None
        if one.difference is not None:
            a, b = (matrix.column(session).values[row.id].combined for session in (2, other))
            assert a is not None and b is not None
            assert one.difference == pytest.approx(b - a, abs=1e-9)
