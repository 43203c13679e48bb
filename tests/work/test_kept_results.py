"""A kept result is that of its inputs: whatever it rests on has changed, it is not found again.

The demo's prints and readings are invented. Session 2 is printed without a profile here, so that the black of
session 3, or a tone like that of session 3, is its aim.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive import sessions, weighings
from evaluation.archive.connection import open_archive
from evaluation.judgement import codec
from evaluation.judgement import weigh as judgement
from evaluation.judgement.opinion import Named, Weighing
from evaluation.judgement.rules import RULES
from evaluation.readings.supplied import Supplied
from evaluation.session import Grade, Session
from evaluation.work import home
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.compare import compare
from evaluation.work.describe import begin, fields
from evaluation.work.look import look
from evaluation.work.paper import viewing
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from evaluation.work.weigh.inputs import inputs_of
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
    read.take_in(bench, made.id, read.preview(bench, made.id, strip, Supplied(printed_as="managed")))
    sheet = sheet_of(bench, made)
    viewing.record(bench, made.id, viewing.read_form(quick_form(sheet, 4), "form", sheet))
    return made.id


@pytest.mark.long
@pytest.mark.parametrize(
    ("field", "said"),
    [
        ("black_from", "session 3"),
        pytest.param("tone_wanted", "like session 3", marks=pytest.mark.long),
    ],
)
def test_differences_are_those_of_the_grades_shown(bench: Bench, other: int, field: str, said: str) -> None:
    """Also once the session that sets the aim of one of them has changed."""
    weigh.weigh(bench, 3)
    fields.say_field(bench, 2, field, said)
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


def counted(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The sessions that are weighed from now on, rather than found."""
    worked_out: list[int] = []
    judged = judgement.weigh

    def weighed(session: Session, *given: Any, **more: Any) -> Weighing:
        worked_out.append(session.id)
        return judged(session, *given, **more)

    monkeypatch.setattr(judgement, "weigh", weighed)
    return worked_out


def test_what_is_kept_is_what_was_worked_out(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    made = [weigh.weigh(bench, session) for session in (1, 2, 3, 4, 5, 6)]
    again = counted(bench, monkeypatch)
    assert [weigh.weigh(Bench(bench.archive, now=bench.now), one.session) for one in made] == made
    assert again == []


@pytest.mark.long
def test_other_rules_find_nothing_that_was_kept(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    weigh.weigh(bench, 1)
    compare.worked_out(bench, (1, 4))
    assert next(home.verdict(head) for head in home.heads(bench) if head.id == 1) is not None
    monkeypatch.setattr(judgement, "RULES", RULES + 1)
    monkeypatch.setattr(home, "RULES", RULES + 1)
    assert compare.at_once(bench, (1, 4)).unweighed == (1, 4)
    assert next(home.verdict(head) for head in home.heads(bench) if head.id == 1) is None
    again = counted(bench, monkeypatch)
    assert weigh.weigh(bench, 1).inputs.rules == RULES + 1
    assert again == [1]


@pytest.mark.parametrize(
    "damage",
    [
        "UPDATE weighing SET result = replace(result, '4', '5')",
        "UPDATE weighing SET result = '{}'",
        "UPDATE weighing SET inputs = '" + "0" * 64 + "'",
    ],
)
def test_a_row_that_is_another_is_worked_out_anew(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, damage: str
) -> None:
    made = weigh.weigh(bench, 1)
    bench.archive.connection.execute(damage)
    again = counted(bench, monkeypatch)
    assert weigh.weigh(bench, 1) == made
    assert again == [1]


def test_a_kept_text_that_is_no_weighing_is_worked_out_anew(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As a version with other fields would have kept it, in good order."""
    made = weigh.weigh(bench, 1)
    text = codec.encoded(made).replace('"causes":', '"suspicions":')
    bench.archive.connection.execute(
        "UPDATE weighing SET result = ?, sum = ? WHERE session = 1", (text, weighings.sum_of(text.encode()))
    )
    again = counted(bench, monkeypatch)
    assert weigh.weigh(bench, 1) == made
    assert again == [1]


@pytest.mark.long
def test_no_result_comes_or_goes_with_the_clock(bench: Bench) -> None:
    """Session 6 is a print of 52 minutes when it was looked at, however late that is shown; one that nobody
    has looked at or read has no age to tell.
    """
    later = replace(bench, now=lambda: NOW + timedelta(days=400))
    fresh = begin.begin_like(bench, 1)
    begin.say_condition(bench, fresh.id, "printed_at", NOW - timedelta(hours=2))
    for session in (1, 2, 3, 4, 5, 6, fresh.id):
        made = weigh.weigh(bench, session)
        bench.archive.connection.execute("DELETE FROM weighing")
        assert weigh.weigh(later, session) == made


@pytest.mark.long
def test_other_settings_at_the_same_bench_are_other_results(bench: Bench) -> None:
    """The profile was opened with the tables of before."""
    wide = "[thresholds]\ngamut_distance = 40\n"
    bench.archive.connection.execute("DELETE FROM weighing")
    weigh.weigh(bench, 1)
    at_once, afresh = replace(bench, settings_text=wide), Bench(bench.archive, wide, bench.now)
    made = weigh.weigh(at_once, 1)
    bench.archive.connection.execute("DELETE FROM weighing")
    assert made == weigh.weigh(afresh, 1) != weigh.weigh(bench, 1)


@pytest.mark.long
def test_the_spread_of_the_anchors_is_the_one_in_the_settings(bench: Bench) -> None:
    """And stays it, however many prints of one observer were weighed before."""
    in_force = weigh.tables(bench)
    least = (in_force["anchor_spread"] ** 2 + in_force["instrument_spread"] ** 2) ** 0.5
    spreads = [
        finding.instrument.spread
        for session in (1, 2, 3, 4, 5, 6, 1)
        for finding in weigh.weigh(bench, session).findings
        if finding.instrument is not None
    ]
    assert min(spreads) == pytest.approx(least, abs=0.02)
    assert all(spread >= least for spread in spreads)


def test_a_list_knows_the_results_of_the_settings_in_force(bench: Bench) -> None:
    def listed(settings: str | None) -> str | None:
        at = Bench(bench.archive, settings, bench.now)
        return next(home.verdict(head) for head in home.heads(at) if head.id == 1)

    strict = "[thresholds]\naccepted_other = 5\naccepted_key = 5\n"
    shipped = weigh.weigh(bench, 1).verdicts["general"].verdict
    assert (listed(None), listed(strict)) == (shipped, None)
    weigh.weigh(Bench(bench.archive, strict, bench.now), 1)
    assert (listed(None), listed(strict)) == (shipped, "accepted with remarks")


LAMP = "nm,power\n350,1\n" + "\n".join(f"{nm},{{:g}}" for nm in range(360, 790, 10)) + "\n"


def test_a_lamp_counts_by_its_spectrum_not_by_where_it_lies(bench: Bench) -> None:
    folder = bench.archive.path.parent / "lamps"
    folder.mkdir()
    begin.say_readiness(bench, 1, "viewing_light", "done", {"second": "my lamp"})
    inputs = inputs_of(bench, weigh.tables(bench))
    said = sessions.load(bench.archive, 1)
    assert inputs(said).light == ""

    def light(name: str, power: float) -> str:
        (folder / name).write_text(LAMP.replace("{:g}", f"{power:g}"), "utf-8")
        found = inputs_of(bench, weigh.tables(bench))(said).light
        (folder / name).unlink()
        return found

    assert light("my lamp.csv", 1.0) == light("my lamp.txt", 1.0) != ""
    assert light("my lamp.csv", 2.0) != light("my lamp.csv", 1.0)
    assert light("another lamp.csv", 1.0) == ""


def test_whoever_is_named_in_turn_is_an_input_too(bench: Bench, other: int) -> None:
    """Whether session 3 is accepted leans on the black of the third."""
    fields.say_field(bench, 2, "black_from", "session 3")
    begin.say_condition(bench, 3, "black_from", other)
    begin.say_condition(bench, other, "black_from", 2)  # which closes the circle

    def named() -> tuple[Named, ...]:
        return inputs_of(bench, weigh.tables(bench))(sessions.load(bench.archive, 2)).named

    before = named()
    assert [one.session for one in before] == [3, other]
    look.answer(bench, other, "ring", "overall", Grade(2))
    assert [one.session for one in named()] == [3, other] and named() != before
    home.remove(bench, 3)
    assert [(one.session, one.removed) for one in named()] == [(3, True)]
