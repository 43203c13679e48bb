"""Facts for readers in an archive: stated, undone, of the printer, of the paper; beside every result."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from evaluation.appendix.case import Choices
from evaluation.archive.connection import open_archive
from evaluation.entry import FACT, Draft
from evaluation.errors import SheetProblem, UsageProblem
from evaluation.readings.supplied import Supplied
from evaluation.session import PrintingCondition, Session
from evaluation.work.bench import Bench
from evaluation.work.describe import begin
from evaluation.work.facts import facts
from evaluation.work.facts.paper import paper_facts
from evaluation.work.log import redo, say, session, undo
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from evaluation.work.write_up import write_up
from fixtures import cgats
from fixtures.printer.instrument import Instrument
from fixtures.printer.machine import Machine
from fixtures.printer.papers import PAPERS
from fixtures.printer.printing import unmanaged

CONDITION = PrintingCondition(printer="Merrowby 24", paper="Sallowfell Lustre 247")
INK = "inks 10, step 2 ml, used 20 ml, area 2 m2"
AT = datetime(2026, 3, 9, 12, tzinfo=UTC)


class Clock:
    now = AT

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def bench(tmp_path: Path, clock: Clock) -> Iterator[Bench]:
    with open_archive(tmp_path / "archive.db", create=True) as archive:
        yield Bench(archive, now=clock)


def begun(bench: Bench, **said: str) -> Session:
    return begin.begin(bench, replace(CONDITION, **said), {})  # type: ignore[arg-type]


def told(bench: Bench, number: int) -> dict[str, str]:
    return {one.kind.id: one.shown for one in facts.of_session(bench, session(bench, number))}


def test_a_fact_is_stated_taken_back_and_said_again(bench: Bench) -> None:
    made = begun(bench)
    step = facts.state(bench, made.id, "ink", INK)
    assert step.words == f"Ink use: {INK}" and told(bench, made.id) == {"ink": "8.7 to 11.3 ml/m2"}
    undo(bench, made.id)
    assert told(bench, made.id) == {}
    redo(bench, made.id)
    facts.state(bench, made.id, "ink", "")
    assert told(bench, made.id) == {} and session(bench, made.id).facts == {}


def test_facts_of_the_printer_hold_in_its_other_sessions_and_those_of_a_print_do_not(bench: Bench) -> None:
    first, second = begun(bench), begun(bench, printer=" merrowby 24 ")
    other = begun(bench, printer="Merrowby 44")
    for said in ("noise: printing 57, quiet 38", f"ink: {INK}"):
        facts.state_said(bench, first.id, said)
    (noise,) = facts.of_session(bench, session(bench, second.id))
    assert noise.session == first.id and noise.shown.startswith("19 dB")
    assert told(bench, other.id) == {}
    facts.state_said(bench, second.id, "noise: printing 55, quiet 40")
    assert told(bench, second.id)["noise"].startswith("15 dB")
    assert begin.begin_like(bench, first.id).facts == {}


def test_a_print_is_timed_across_other_entries_and_clocks_that_are_set_back_are_refused(
    bench: Bench, clock: Clock
) -> None:
    made = begun(bench)
    for minutes in (12.5, 12.9, 12.6):
        facts.start_or_stop(bench, session(bench, made.id))
        assert "being timed" in told(bench, made.id)["time"]
        facts.state(bench, made.id, "ink", INK)
        clock.now += timedelta(minutes=minutes)
        facts.start_or_stop(bench, session(bench, made.id))
    assert told(bench, made.id)["time"] == "12.6 min"
    for _ in range(2):  # no print takes a second: a slip, which is kept nowhere
        facts.start_or_stop(bench, session(bench, made.id))
        clock.now += timedelta(seconds=1)
    assert told(bench, made.id)["time"] == "12.6 min"
    assert session(bench, made.id).facts["time"] == {"minutes": [12.5, 12.9, 12.6]}
    other = begun(bench)
    for _ in range(2):
        facts.start_or_stop(bench, session(bench, other.id))
    assert "time" not in session(bench, other.id).facts
    facts.start_or_stop(bench, session(bench, made.id))
    facts.state(bench, made.id, "time", "12, 13, 14")
    assert told(bench, made.id)["time"] == "13.0 min; one is being timed"
    clock.now -= timedelta(hours=1)
    with pytest.raises(UsageProblem, match="a second at least"):
        facts.start_or_stop(bench, session(bench, made.id))


def test_a_form_is_taken_whole_or_not_at_all(bench: Bench, tmp_path: Path) -> None:
    made, path = begun(bench), tmp_path / "facts.toml"
    path.write_text(facts.blank_form(), "utf-8")
    with pytest.raises(UsageProblem, match="every line blank"):
        facts.state_form(bench, made.id, path)
    filled = facts.blank_form().replace('ink     = ""', f'ink = "{INK}"')
    filled = filled.replace('curl    = ""', 'curl = "flat"')
    path.write_text(filled, "utf-8")
    with pytest.raises(SheetProblem, match="curl"):
        facts.state_form(bench, made.id, path)
    assert told(bench, made.id) == {}
    path.write_text(filled.replace("flat", "corners 1 1 2 2, after 24, humidity 50"), "utf-8")
    facts.state_form(bench, made.id, path)
    assert set(told(bench, made.id)) == {"ink", "curl"}


@pytest.mark.parametrize(
    ("kind", "values"),
    [
        ("noise", {"printing": "loud", "quiet": 38.0}),
        ("noise", {"printing": 57.0}),
        ("waste", {"cut off": 310.0, "width": 610.0, "loads": 0}),
        ("curl", {"corners": [4.0, 6.0], "after": 24.0, "humidity": 48.0}),
        ("time", {"minutes": [0.0]}),
        ("time", {"minutes": [], "started": "2026-03-09T12:00:00"}),
    ],
)
def test_a_fact_that_nobody_could_have_typed_is_none(bench: Bench, kind: str, values: dict[str, Any]) -> None:
    """A merge may bring one: it is not shown, and one that is typed takes its place."""
    first = begin.begin(bench, CONDITION, {}).id
    say(bench, first, [Draft("condition", f"{FACT}{kind}", values)])
    stated = session(bench, str(first))
    assert facts.of_session(bench, stated) == ()
    facts.start_or_stop(bench, stated)
    facts.state(bench, first, "noise", "printing 57 dB, quiet 38 dB")
    assert "noise" in [one.kind.id for one in facts.of_session(bench, session(bench, str(first)))]


def test_no_result_rests_on_a_fact(bench: Bench) -> None:
    """What was weighed stays true after a fact, and goes stale after what a weighing does rest on."""
    made = begun(bench)
    weighed = weigh.weigh(bench, made.id)
    facts.state(bench, made.id, "ink", INK)
    undo(bench, made.id)
    assert session(bench, made.id).revision == made.revision and weigh.weigh(bench, made.id) == weighed
    begin.say_condition(bench, made.id, "drying", "rack")
    assert session(bench, made.id).revision > made.revision


def test_the_paper_is_worked_out_from_both_conditions_and_both_backings(bench: Bench, tmp_path: Path) -> None:
    """Printer model: a paper with brightener, thin enough to darken over black."""
    made, machine = begun(bench), Machine(PAPERS["Sallowfell Lustre 247"])
    device = np.array([[1.0, 1, 1], [1, 1, 1], [0, 0, 0], [0.5, 0.5, 0.5]])
    for backing in ("white", "black"):
        instrument = Instrument(on_black=backing == "black")
        found = unmanaged(machine, device, np.random.default_rng(1), instrument, ("M1", "M2"))
        path = tmp_path / f"{backing}.txt"
        path.write_text(cgats.text(found, path.stem, AT), "utf-8")
        given = Supplied(printed_as="unmanaged", backing=backing)
        read.take_in(bench, made.id, read.preview(bench, made.id, path, given))
    known = {one.id: one for one in paper_facts(bench, made.id)}
    assert set(known) == {"whiteness", "brightness", "brightener", "opacity"}
    assert known["whiteness"].value is not None and 100 < known["whiteness"].value < 130
    assert known["brightness"].mark == "MEMORY" and "unconfirmed" in known["brightness"].source
    assert known["brightener"].shown.startswith("a fair amount: b* +")
    assert known["opacity"].value is not None and 0.9 < known["opacity"].value < 1
    assert all(one.tells_not.endswith(".") and one.source for one in known.values())
    facts.state(bench, made.id, "ink", INK)
    page = write_up.as_text(write_up.appendix(bench, [made.id], Choices()))
    assert "Facts for readers" in page and "8.7 to 11.3 ml/m2" in page and "ISO 2471" in page
    assert "None of this was graded" in page


def test_without_readings_of_the_bare_paper_nothing_is_said_of_it(bench: Bench) -> None:
    made = begun(bench)
    assert paper_facts(bench, made.id) == ()
    assert "Facts for readers" not in write_up.as_text(write_up.appendix(bench, [made.id], Choices()))
