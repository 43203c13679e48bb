"""Facts for readers by keys: typed, timed, taken back."""

from typing import Any

import pytest

from evaluation.session import Session
from evaluation.work.bench import Bench
from evaluation.work.log import session as now
from tests.tui.conftest import Clock


@pytest.mark.long
async def test_facts_are_typed_timed_and_taken_back(
    booth: Any, bench: Bench, session: Session, clock: Clock
) -> None:
    async with booth() as app:
        await app.press("g", "1", "f")
        assert app.app.screen.PAGE == "facts" and app.rows[0].rstrip().endswith("facts for readers")
        assert "of the session; not stated" in app.here and "Type: inks 10" in app.text
        await app.press("enter")
        await app.type("inks 10, step 2, used 20")
        assert "also area" in app.text
        await app.type("inks 10, step 2, used 20, area 2")
        assert "8.7 to 11.3 ml/m2" in app.here and app.saved.startswith("Saved")
        await app.press("T")
        assert "Time for a print" in app.here and "being timed" in app.here
        clock.forward(minutes=12.5)
        await app.press("T")
        assert "12.5 min, of 1; three make a median" in app.here
        await app.press("u", "u")
        assert now(bench, 1).facts.keys() == {"ink"}
        assert "Ink use: 8.7 to 11.3 ml/m2" in app.app.screen.as_text()
        await app.press("u")
        assert now(bench, 1).facts == {} and "Ink use" in app.here
        await app.press("escape", "f")
        await app.resize(120, 36)
        assert "Counters of all inks before and" in app.text
