"""The app, its workers with it, beside another program on the same archive: SQLite alone touches the file."""

import os
import shutil
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from evaluation import unfinished
from evaluation.archive import habits, sessions
from evaluation.archive.connection import open_archive
from evaluation.session import Grade, Session
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import begin
from evaluation.work.look import look
from tests.tui.conftest import NOON

READINGS = files("fixtures").joinpath("readings", "lustre-fine.txt")
PROFILE = files("fixtures").joinpath("profiles", "sallowfell-lustre-fine.icc")


def graded(bench: Bench, session: Session) -> None:
    look.start(bench, session.id, kind="quick")
    for region in sheet_of(bench, session).regions[1:]:
        if region.whole is not None:
            look.answer(bench, session.id, region.id, region.whole.id, Grade(4))


async def described(app: Any, profile: Path) -> None:
    """Name the profile on Describe, where the list stands on a field that offers it."""
    await app.press("g", "1", "home")
    for _ in range(40):
        if app.here.startswith(" ▸ profile"):
            break
        await app.press("down")
    await app.press("enter")
    await app.type(str(profile))


@pytest.mark.long
async def test_the_app_shares_an_archive_from_its_first_page_to_its_last(
    booth: Any, bench: Bench, session: Session, tmp_path: Path, elsewhere: Any
) -> None:
    graded(bench, session)
    begin.begin_like(bench, session.id)
    text = READINGS.read_text("utf-8").replace("2026-03-09T14:00:00+00:00", NOON.isoformat())
    (tmp_path / "lustre-fine.txt").write_text(text, "utf-8")
    shutil.copy(str(PROFILE), tmp_path / "print.icc")
    other = elsewhere(bench.archive.path)

    def unharmed() -> bool:
        other.save()
        return other.is_unharmed()

    async with booth() as app:
        await app.press("end", "enter")
        await described(app, tmp_path / "print.icc")
        assert sessions.load(bench.archive, 1).condition.profile == "print.icc"
        await app.press("g", "2", "1")
        assert unharmed()
        await app.press("g", "3", "4", "u", "4")
        assert unharmed()
        await app.press("g", "4", "end", "enter")
        await app.type(str(tmp_path / "lustre-fine.txt"))
        await app.press("enter", "t")
        assert len(sessions.load(bench.archive, 1).runs) == 2
        assert unharmed()
        for name in ("room.db", "room.db-wal"):
            await app.press("g", "4", "end", "enter")
            await app.type(str(tmp_path / name))
            assert "Found: the archive itself" in " ".join(app.text.split())
            await app.press("enter")
        assert unharmed()
        await app.press("g", "5", "enter", "v", "left", "c")
        assert unharmed()
        await app.press("g", "6", "end", "enter")
        await app.type(str(tmp_path / "review.md"))
        await app.press("o")
        assert sessions.load(bench.archive, 1).written
        assert unharmed()
        await app.press("g", "n", "escape", "g", "h")
        await app.press("home", "space", "down", "space", "g", "c", "enter")
        assert unharmed(), other.touched
    other.kill()
    with open_archive(bench.archive.path) as archive:
        assert all(habits.recall(archive, subject) for subject in other.saved)
        assert archive.rows("PRAGMA integrity_check") == [("ok",)]


async def test_the_app_clears_up_what_a_killed_run_left(booth: Any, bench: Bench) -> None:
    litter = unfinished.beside(bench.archive.path)
    litter.write_text("half")
    os.utime(litter, (0, 0))
    async with booth():
        assert not litter.exists()
