"""The likely causes of Weigh: told beside the verdict, and reached by one key from the table."""

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive.connection import Archive, open_archive


@pytest.fixture
def archive(compared_archive: Path, tmp_path: Path) -> Iterator[Archive]:
    """The demo, all evaluations finished: the strip of session 6 has a swapped pair."""
    with open_archive(shutil.copy(compared_archive, tmp_path / "finished.db")) as opened:
        yield opened


@pytest.mark.long
async def test_tab_leads_from_the_table_to_the_causes_and_back(booth: Any) -> None:
    async with booth() as app:
        await app.press("enter", "g", "5")
        assert "1 possible cause: Tab" in app.text
        await app.press("tab")
        assert "Possible cause 1 of 1: patches were swapped" in app.text
        assert "the list is another one" in " ".join(app.text.split())  # however the line is broken
        await app.press("escape")
        assert "agreement" in app.text


@pytest.mark.long
async def test_the_other_steps_tell_what_weighing_came_to(booth: Any) -> None:
    async with booth() as app:
        await app.press("enter", "g", "5")
        weighed = app.rows[2].split("in, M1 M2")[1].split()[:2]
        await app.press("g", "6")
        assert app.rows[2].split("in, M1 M2")[1].split()[:2] == weighed
        assert weighed[0] != "ready"


@pytest.mark.long
async def test_no_number_beside_a_curve_is_cut(booth: Any) -> None:
    """Saturation has five columns, the most there are."""
    async with booth() as app:
        await app.press("enter", "g", "5", *["down"] * 5, "enter")
        heads = next(row for row in app.rows if row.rstrip().endswith("dE00"))
        first = app.rows[app.rows.index(heads) + 1].split()
        assert len(first[-1].partition(".")[2]) == 1  # one decimal, whole
