"""An observer's calibration among the tools: sessions by mark or by number, refused lines kept."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive.connection import Archive, open_archive
from tui.screens.tools.table import TOOLS


@pytest.fixture
def archive(finished: Path) -> Iterator[Archive]:
    with open_archive(finished) as opened:
        yield opened


@pytest.mark.long
async def test_a_calibration_takes_the_sessions_marked_on_home(booth: Any, archive: Archive) -> None:
    async with booth() as app:
        await app.press(
            "end", "space", "g", "t", *["down"] * [one.id for one in TOOLS].index("calibration"), "enter"
        )
        assert re.fullmatch(r"booth \d+", app.app.screen.typing.value)
        await app.type("booth")
        assert "a name, then the numbers of one observer" in app.text
        await app.press("enter")
        assert app.app.screen.typing.value == "booth"
        await app.type("Ann's booth 1 2 4 5")
        assert "Calibration “Ann's booth”" in app.rows[0] and "grades off the readings" in app.text
        assert '[calibrations."Ann\'s booth"]' in app.text and "lean = " in app.text
        await app.press("escape", "enter")
        assert app.app.screen.typing.value == "Ann's booth 1 2 4 5"
