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
from evaluation.work.describe import begin, fields
from evaluation.work.take_in import read
from fixtures import cgats
from fixtures.printer import icc
from fixtures.printer.machine import Machine
from fixtures.printer.papers import PAPERS
from fixtures.printer.printing import unmanaged
from tests.profile.carrying import carrying, table, text_tag
from tui.screens.tools.table import TOOLS


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


@pytest.mark.long
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
        await app.press("g", "t", *["down"] * [one.id for one in TOOLS].index("chart"), "enter")
        assert "Profiling data, session 2" in app.rows[0] and "session 1" in app.text and "D 2." in app.text


@pytest.mark.long
async def test_looking_alone_takes_nothing_over(booth: Any, bench: Bench, like: Session) -> None:
    async with booth() as app:
        await app.press("g", "4", "m", "0")
        assert not sessions.load(bench.archive, like.id).runs
        assert "no profiling data" in app.text and "session 1" in app.text and "D 2." in app.text


async def test_without_any_there_is_nothing_to_show(booth: Any, session: Session) -> None:
    async with booth() as app:
        await app.press("g", "4", "m")
        assert app.saved.startswith("No profiling data here")


@pytest.mark.long
async def test_a_profile_with_its_readings_is_offered_first_and_one_without_a_date_is_told_of(
    booth: Any, bench: Bench, session: Session, tmp_path: Path
) -> None:
    """The profile is in the archive: its file need not be at hand."""
    rows = [(n, v, v, v, 10 + v / 3, 0, 0) for n, v in enumerate(range(0, 256, 15), 1)]
    inside = table("SAMPLE_ID RGB_R RGB_G RGB_B LAB_L LAB_A LAB_B", rows)
    sound = (Path(icc.__file__).parents[1] / "profiles" / "sallowfell-lustre-fine.icc").read_bytes()
    path = tmp_path / "mine.icc"
    path.write_bytes(carrying(sound, {b"targ": text_tag(inside)}))
    fields.say_field(bench, session.id, "profile", str(path))
    path.unlink()
    (tmp_path / "room-readings").mkdir()
    (tmp_path / "room-readings" / "later.txt").write_text(inside)
    async with booth() as app:
        await app.press("g", "4")
        assert "mine.icc" in app.here and "what the profile was made from" in app.here
        await app.press("enter")
        assert "18 of the profile's own" in app.text and "they stand inside it" in app.text
        await app.press("t")
        (run,) = read.taken_in(bench, sessions.load(bench.archive, session.id))
        assert (run.run.printed_as, run.run.part) == ("unmanaged", "tag “targ”")
        assert "what the profile was made from" not in app.text and "mine.icc" in app.text
        await app.press("home", "enter")
        assert app.saved.startswith("Found: another chart (6 of its 18 patches are")
        await to_row(app, "printed without a profile")
        await app.press("1")
        await to_row(app, "profile from it")
        await app.press("1")
        assert "profile from it yes" in app.text and "said by you" in app.text
        await to_row(app, "measured")
        await app.press("enter")
        await app.type("2015-05-12")
        await app.press("enter")
        assert "measured        2015-05-12" in app.text
        await app.press("t")
        stated = read.taken_in(bench, sessions.load(bench.archive, session.id))[1].run.stated
        assert stated.made_profile and stated.measured_at == datetime(2015, 5, 12, tzinfo=UTC)


async def to_row(app: Any, name: str) -> None:
    await app.press("home")
    while not app.here.lstrip("▸ ").startswith(name):
        before = app.here
        await app.press("down")
        assert app.here != before, name
