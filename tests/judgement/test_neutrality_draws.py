"""Neutrality of prints from the printer model: what was built in is found, what was not is not invented.

Every draw is another sheet of the same process (ink amounts from sheet to sheet) read anew with an
instrument's noise. The printer, its inks and papers are invented; the 95 of 100 is the promise held here.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from evaluation.judgement.greys import NeutralityRecord
from evaluation.judgement.greys_compared import beside, ranked, worst_third
from evaluation.judgement.neutrality_record import neutrality_record
from evaluation.readings.match import match
from evaluation.session import PrintingCondition, Session
from evaluation.sheet.load import map_text, read_map
from fixtures.printer.instrument import Instrument, next_sheet
from fixtures.printer.machine import Machine
from fixtures.printer.path import Path
from fixtures.printer.printing import Job, readings
from fixtures.prints import BARYTA, kept_profile

SHEET = read_map(map_text("mono-7"), "mono-7")
ENDS = {SHEET.paper_patch, SHEET.black_patch}
GREYS = [p.id for p in SHEET.patches if p.source is not None and (p.region == "mono_neutral" or p.id in ENDS)]
NOW = datetime(2026, 3, 10, 12, 0, tzinfo=UTC)
STILL = Instrument(zero=0.0, gain=0.0, noise=0.0)
# Yellow since the calibration: more in the mid-tones and less in the shadows; and more throughout.
TURNING = (0.0, 0.0, 0.0, 0.009, 0.017, 0.015, -0.022, -0.034, 0.0)
WARM = (0.0, 0.03, 0.04, 0.05, 0.05, 0.04, 0.04, 0.03, 0.0)

Printed = Callable[..., NeutralityRecord]


def turning(share: float = 1.0) -> Machine:
    return Machine(BARYTA, drift={"yellow": tuple(share * value for value in TURNING)})


NEUTRAL, DRIVER = Machine(BARYTA), Machine(BARYTA, mode="black and white")


@pytest.fixture(scope="module")
def printed(room: Any) -> Printed:
    """The record of one sheet of a process, read with the instrument's noise; without a seed, without any."""

    def made(machine: Machine, seed: int | None, *, session: int = 2, **more: Any) -> NeutralityRecord:
        rng = np.random.default_rng(0 if seed is None else seed)
        dosed = machine if seed is None else replace(machine, dose=next_sheet(rng))
        path = Path(kept_profile("sallowfell-baryta-fine"), SHEET.encoding or "srgb")
        job = Job(dosed, path, STILL if seed is None else Instrument(), ("M1",))
        takens = [match(run, SHEET) for run in readings(SHEET, job, rng, only=GREYS, twice=GREYS[::2])]
        mode = "driver's black and white" if machine.mode == "black and white" else "through the profile"
        condition = PrintingCondition(
            driver_mode=mode,
            intent="relative colorimetric",
            black_point_compensation=True,
            printed_at=NOW - timedelta(days=3),
        )
        told = Session(session, "0" * 32, SHEET.digest, NOW, 1, condition)
        record = neutrality_record(told, SHEET, takens, room.tables, **more)
        assert record is not None
        return record

    return made


def seeds(count: int) -> range:
    return range(1000, 1000 + count)


def test_what_is_built_in_is_a_turn_of_two(printed: Printed) -> None:
    """The print without any noise, for the tests below: 2 dCh between two thirds."""
    built = printed(turning(), None).crossover
    assert built is not None and built.turn == pytest.approx(2.0, abs=0.25)
    assert (built.dark, built.light) == ("blue", "yellow")
    assert printed(NEUTRAL, None).crossover is None


@pytest.mark.long
@pytest.mark.parametrize("count", [20, pytest.param(100, marks=pytest.mark.long)])
def test_a_crossover_of_two_is_found_and_located(printed: Printed, count: int) -> None:
    built = printed(turning(), None).crossover
    assert built is not None
    found = [printed(turning(), seed).crossover for seed in seeds(count)]
    near = [turn for turn in found if turn is not None and abs(turn.near_l - built.near_l) <= 6]
    assert len(near) >= 0.95 * count
    assert np.mean([turn.turn for turn in near]) == pytest.approx(built.turn, abs=0.2)


@pytest.mark.long
@pytest.mark.parametrize("count", [20, pytest.param(100, marks=pytest.mark.long)])
@pytest.mark.parametrize("machine", [NEUTRAL, DRIVER], ids=["profile", "driver"])
def test_no_crossover_in_neutral_prints_in_95_of_100_draws(
    printed: Printed, machine: Machine, count: int
) -> None:
    assert sum(printed(machine, seed).crossover is None for seed in seeds(count)) >= 0.95 * count


@pytest.mark.long
@pytest.mark.parametrize("count", [8, pytest.param(100, marks=pytest.mark.long)])
def test_a_toned_print_whose_tone_is_stated_is_not_blamed(printed: Printed, count: int) -> None:
    """The tone is that of another sheet of the same process; unstated it is a cast in two thirds or more."""
    toned = Machine(BARYTA, drift={"yellow": WARM})
    reference = printed(toned, 1)
    curve = np.array([(step.L, step.a, step.b) for step in reference.steps])
    blamed = [sum(t.cast != "none" for t in printed(toned, s).thirds.values()) for s in seeds(3)]
    assert min(blamed) >= 2
    clean = [
        all(third.cast == "none" for third in printed(toned, seed, tone=curve).thirds.values())
        for seed in seeds(count)
    ]
    assert sum(clean) >= 0.95 * count


@pytest.mark.long
@pytest.mark.parametrize("count", [3, pytest.param(30, marks=pytest.mark.long)])
def test_modes_rank_by_their_worst_third_as_built(printed: Printed, count: int) -> None:
    machines = {2: turning(2.0), 3: DRIVER, 4: turning(), 5: NEUTRAL}
    built = {one: printed(machine, None, session=one) for one, machine in machines.items()}
    order = ranked(built)
    worst = [worst_third(built[one]) for one in order]
    assert [third.de00 for third in worst if third] == sorted(third.de00 for third in worst if third)
    assert order[0] == 5 and order[-1] == 2
    for seed in seeds(count):
        drawn = {one: printed(m, seed + one, session=one) for one, m in machines.items()}
        assert ranked(drawn) == order


@pytest.mark.long
@pytest.mark.parametrize("count", [12, pytest.param(100, marks=pytest.mark.long)])
def test_two_sheets_of_one_mode_are_alike_and_a_turned_one_is_not(
    room: Any, printed: Printed, count: int
) -> None:
    """All rows of a pair, with Holm's correction: at most 5 tables of 100 show a difference that is none."""
    tables = room.tables
    alike = [
        not any(row.beyond for row in beside(printed(DRIVER, s), printed(DRIVER, 9000 + s), tables).rows)
        for s in seeds(count)
    ]
    assert sum(alike) >= 0.95 * count
    turned = beside(printed(NEUTRAL, 1), printed(turning(2.0), 2), tables)
    assert {row.what: row.word for row in turned.casts}["middle"] == "large"
