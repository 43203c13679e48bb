"""Own references among the tools, and in Prepare once one is due."""

import shutil
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive.connection import Archive, open_archive
from evaluation.work.bench import Bench, utc_now
from evaluation.work.references import due
from tui.screens.tools.table import TOOLS


@pytest.fixture
def archive(demo_archive: Path, tmp_path: Path) -> Iterator[Archive]:
    with open_archive(shutil.copy(demo_archive, tmp_path / "demo.db")) as opened:
        yield opened


@pytest.fixture
def bench(archive: Archive) -> Bench:
    return Bench(archive, now=lambda: utc_now() + timedelta(days=16))


@pytest.mark.long
async def test_references_are_named_in_a_line_and_prepare_says_when_one_is_due(
    booth: Any, bench: Bench
) -> None:
    async with booth() as app:
        await app.press("g", "2")
        assert "Reference due" not in app.text
        await app.press("g", "t", *["down"] * [one.id for one in TOOLS].index("references"), "enter")
        await app.type("1 4 6")
        assert "session 6 to be graded first" in app.text and due.kept(bench) == ()
        await app.type("1, 4 5")
        assert due.kept(bench) == (1, 4, 5) and "the first look" in app.text
        assert "Reference due: session 1, Sallowfell Lustre 247, last graded" in app.text
        await app.press("escape", "escape", "g", "2")
        assert app.saved.startswith("Reference due: session 1")
