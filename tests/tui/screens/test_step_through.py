"""Settings stepped through by keys: from Compare, from Read, from profiles alone."""

from pathlib import Path
from typing import Any

import pytest

from evaluation.session import PrintingCondition
from evaluation.work.bench import Bench
from evaluation.work.describe import begin
from fixtures.printer import icc
from tui.screens.gamut.page import StepThrough

PROFILES = Path(icc.__file__).parents[1] / "profiles"


@pytest.fixture
def settings(bench: Bench) -> tuple[int, ...]:
    """Two settings of a printer, each with its profile."""
    made = []
    for quality in ("fine", "finest"):
        name = f"sallowfell-lustre-{quality}.icc"
        condition = PrintingCondition(printer="Merrowby 24", paper="Lustre", quality=quality, profile=name)
        made.append(begin.begin(bench, condition, {}, profile=(PROFILES / name).read_bytes()).id)
    return tuple(made)


@pytest.mark.long
async def test_settings_are_stepped_through_from_compare_and_by_what_they_promise(
    booth: Any, settings: tuple[int, ...], tmp_path: Path
) -> None:
    async with booth() as app:
        await app.press("down", "space", "up", "space", "g", "4", "w")
        assert app.saved.startswith("No other session of this printer and paper keeps profiling data")
        await app.press("g", "c", "w")
        assert isinstance(app.app.screen, StepThrough)
        assert app.rows[0].startswith(" Settings stepped through") and "over fine, 2 of 2" in app.rows[0]
        assert "Red   line fine   o finest" in app.rows[1]
        assert "Finest over fine: red dark +0.5, not visible." in app.text
        await app.press("down")
        assert "Finest over fine: yellow middle +0.6, not visible." in app.text
        await app.press("up", "up")
        assert "magenta" in app.text
        await app.press("right", "right", "v")
        assert app.saved == "Against the setting before." and "over fine, 2 of 2" in app.rows[0]
        told = app.app.screen.as_text()
        assert "Profile making included, sheet spread unknown." in told and "surface colours" in told
        await app.resize(120, 36)
        assert "dE*ab outwards" in app.text and "Promised by profiles" in app.text
        await app.press("escape")
        assert app.app.screen.PAGE == "compare"


@pytest.mark.long
async def test_one_setting_is_refused_where_it_was_asked_for(booth: Any, bench: Bench) -> None:
    for _ in range(2):
        begin.begin(bench, PrintingCondition(printer="Merrowby 24", paper="Lustre", quality="fine"), {})
    async with booth() as app:
        await app.press("down", "space", "up", "space", "g", "c", "w")
        assert "The settings were not stepped through" in app.text and "one setting" in app.text
        await app.press("escape")
        assert app.app.screen.PAGE == "compare"
