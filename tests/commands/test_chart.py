"""`drydown chart`: facts of profiling data side by side, and another session's taken over."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from fixtures import cgats
from fixtures.printer.machine import Machine
from fixtures.printer.papers import PAPERS
from fixtures.printer.printing import unmanaged
from tests.commands.conftest import unpromised
from tests.profile.carrying import table

Drydown = Callable[..., Any]


@pytest.fixture
def condition(tmp_path: Path) -> Path:
    path = tmp_path / "condition.toml"
    path.write_text('[condition]\nprinter = "Merrowby 24"\npaper = "Lustre"\nquality = "3"\n', "utf-8")
    return path


@pytest.fixture
def chart(tmp_path: Path) -> Path:
    levels = np.repeat(np.linspace(0, 1, 21).round(2)[:, None], 3, axis=1)
    colours = np.array([[1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 0], [1, 1, 1]] * 3)
    machine = Machine(PAPERS["Sallowfell Lustre 247"])
    found = unmanaged(
        machine, np.vstack([levels, colours]), np.random.default_rng(3), conditions=("M1", "M2")
    )
    path = tmp_path / "chart.txt"
    path.write_text(cgats.text(found, "chart", datetime(2026, 2, 27, tzinfo=UTC)), "utf-8")
    return path


def test_facts_of_two_sessions_stand_side_by_side(drydown: Drydown, condition: Path, chart: Path) -> None:
    for _ in range(2):
        drydown("new", "--from", condition)
    assert drydown("read", 1, chart, "--unmanaged").code == 0
    told = drydown("chart", 1, 2)
    assert told.code == 0
    lines = told.out.splitlines()
    assert lines[0].split() == ["session", "1", "session", "2"]
    assert any(line.startswith("greys") and "21 of equal values" in line for line in lines)
    assert any(line.startswith("file") and line.endswith("no profiling data") for line in lines)
    assert "Session 2 may take over: chart.txt, 36 readings, M1 and M2, kept with session 1." in lines


def test_taking_over_lets_the_other_session_count_them(
    drydown: Drydown, condition: Path, chart: Path
) -> None:
    for _ in range(2):
        drydown("new", "--from", condition)
    drydown("read", 1, chart, "--unmanaged")
    found = drydown("chart", 2, "--take-over", 1, "--json").json
    (told,) = found["sessions"]
    assert told["chart"]["file"] == "chart.txt" and told["offered"] == []
    assert told["chart"]["black"]["flatness"]["readings"] == 4
    assert len(told["chart"]["greys"]["steps"]) == 21 and told["chart"]["whitener"]["db"] > 1
    assert drydown("chart", 1, 2, "--json").json["between"][0]["compared"]["word"] == "alike"


def test_a_new_session_is_told_what_another_keeps(drydown: Drydown, condition: Path, chart: Path) -> None:
    assert "Profiling data" not in drydown("new", "--from", condition).err
    drydown("read", 1, chart, "--unmanaged")
    told = drydown("new", "--like", 1)
    assert told.out == "2\n" and "drydown chart 2 --take-over 1" in told.err


def test_what_is_not_offered_is_one_sentence(drydown: Drydown, condition: Path) -> None:
    for _ in range(2):
        drydown("new", "--from", condition)
    told = drydown("chart", 1, "--take-over", 2)
    assert told.code == 2 and told.err.count("\n") == 1 and "Nothing was taken over." in told.err


def test_the_json_has_the_promised_shape(drydown: Drydown, condition: Path, chart: Path) -> None:
    for _ in range(3):
        drydown("new", "--from", condition)
    text = chart.read_text("utf-8").replace('"chart"', '"another"')
    for session, day in ((1, "2026-02-27"), (1, "2026-03-20"), (2, "2026-03-21"), (3, "2026-03-22")):
        chart.write_text(text.replace("2026-02-27", day), "utf-8")
        assert drydown("read", session, chart, "--unmanaged").code == 0
    found = drydown("chart", 1, 2, "--json").json
    assert (
        unpromised("chart", found) == [] and found["sessions"][0]["again"] and found["sessions"][0]["offered"]
    )


def test_the_density_that_the_instrument_gave_stands_beside_the_computed_one(
    drydown: Drydown, condition: Path, tmp_path: Path
) -> None:
    """D_VIS of ISO 28178, status T of ISO 5-3; L* 20 is Y 2.99 by CIE 15, so D 1.52 is computed."""
    rows = [(n, v, v, v, 20 + 0.3 * v, 0, 0, 1.67 - v / 160) for n, v in enumerate(range(0, 256, 51))]
    names = "SAMPLE_ID RGB_R RGB_G RGB_B LAB_L LAB_A LAB_B D_VIS"
    (tmp_path / "dense.txt").write_text(table(names, rows, 'DENSITY_STATUS "T"\n'))
    drydown("new", "--from", condition)
    assert drydown("read", 1, tmp_path / "dense.txt", "--unmanaged").code == 0
    told = [" ".join(line.split()) for line in drydown("chart", 1).out.splitlines()]
    assert "black, as given D 1.67, status T" in told and any("black D 1.52" in line for line in told)
    document = drydown("chart", 1, "--json").json
    assert document["sessions"][0]["chart"]["black"]["given"] == {"density": 1.67, "status": "T"}
    assert unpromised("chart", document) == []
