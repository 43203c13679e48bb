"""Observers, from Weigh: a column a person, one viewing set aside by keys and taken in again."""

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import Archive, open_archive
from evaluation.work.bench import Bench, utc_now


@pytest.fixture
def archive(demo_archive: Path, tmp_path: Path) -> Iterator[Archive]:
    with open_archive(shutil.copy(demo_archive, tmp_path / "demo.db")) as opened:
        yield opened


@pytest.fixture
def bench(archive: Archive) -> Bench:
    return Bench(archive, now=utc_now)


@pytest.mark.long
async def test_three_observers_stand_in_columns_and_one_is_set_aside(booth: Any, archive: Archive) -> None:
    async with booth() as app:
        await app.press("down", "down", "down", "g", "5")
        assert "3 observers: v" in app.text
        await app.press("v")
        assert app.rows[0].startswith(" Observers: Sallowfell Baryta 322, session 3")
        assert "by observer      observer 1  observer 2  observer 3  together (95 %)" in app.text
        assert "Observer 1 grades 0.4 kinder" in app.text and "1 print seen" in app.text
        await app.press("down", "x")
        await app.type("")
        assert app.saved == "Nothing was changed: a reason is kept with it."
        await app.press("x")
        await app.type("looked in daylight")
        assert app.saved == "Saved. Viewing set aside: “looked in daylight”. x takes it in again."
        assert sessions.load(archive, 3).viewings[1].aside == "looked in daylight"
        assert "set aside: " in app.text and "with all in" in app.text
        await app.press("v")
        assert "Of 18 pairs of grades" in app.text
        await app.press("escape", "escape")
        assert "3 observers: v" in app.text
        await app.press("v", "v", "end", "down")
        assert "With it in: " in app.text
        await app.press("escape", "down", "x", "escape")
        assert not sessions.load(archive, 3).viewings[1].aside
