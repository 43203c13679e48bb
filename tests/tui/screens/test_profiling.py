"""Profiling data in Read: offered, taken over when asked, shown side by side."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from evaluation.archive import sessions
from evaluation.readings.supplied import Supplied
from evaluation.session import Session
from evaluation.work.bench import Bench
from evaluation.work.describe import begin
from evaluation.work.take_in import read
from fixtures import cgats
from fixtures.printer.machine import Machine
from fixtures.printer.papers import PAPERS
from fixtures.printer.printing import unmanaged


@pytest.fixture
def like(bench: Bench, session: Session, tmp_path: Path) -> Session:
    """A session like another, which keeps profiling data."""
    greys = np.repeat(np.linspace(0, 1, 21).round(2)[:, None], 3, axis=1)
    machine = Machine(PAPERS["Sallowfell Lustre 247"])
    found = unmanaged(machine, greys, np.random.default_rng(3), conditions=("M1", "M2"))
    path = tmp_path / "chart.txt"
    path.write_text(cgats.text(found, "chart", datetime(2026, 2, 27, tzinfo=UTC)), "utf-8")
    read.take_in(bench, session.id, read.preview(bench, session.id, path, Supplied(printed_as="unmanaged")))
    return begin.begin_like(bench, session.id)


async def test_what_another_session_keeps_is_offered_and_counts_once_it_is_asked_for(
    booth: Any, bench: Bench, like: Session
) -> None:
    async with booth() as app:
        await app.press("g", "4")
        assert "chart.txt, 21 readings, M1" in app.text and "m takes it over" in app.text
        await app.press("m")
        assert app.saved == "Count profiling data here too? 1 of session 1; 0 only look."
        assert not sessions.load(bench.archive, like.id).runs
        await app.press("1")
        assert len(sessions.load(bench.archive, like.id).runs) == 2
        assert "session 2" in app.text and "21 of equal values" in app.text and "D 2." in app.text
        await app.press("escape")
        assert "m shows what the profiling data say" in app.text
        await app.press("u")
        assert not sessions.load(bench.archive, like.id).runs
        assert "m takes it over" in app.text


async def test_looking_alone_takes_nothing_over(booth: Any, bench: Bench, like: Session) -> None:
    async with booth() as app:
        await app.press("g", "4", "m", "0")
        assert not sessions.load(bench.archive, like.id).runs
        assert "no profiling data" in app.text and "session 1" in app.text and "D 2." in app.text


async def test_without_any_there_is_nothing_to_show(booth: Any, session: Session) -> None:
    async with booth() as app:
        await app.press("g", "4", "m")
        assert app.saved.startswith("No profiling data are in")
