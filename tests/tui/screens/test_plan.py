"""The plan by keys: a loan begun, entered, gone through, taken back; its week and its questions."""

from pathlib import Path
from typing import Any

import pytest

from evaluation.archive import loans, sessions
from evaluation.archive.connection import Archive
from evaluation.work.bench import Bench
from tui.screens.tools.table import TOOLS


@pytest.mark.long
async def test_a_loan_by_keys_from_the_first_day_on(
    booth: Any, archive: Archive, bench: Bench, clock: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    async with booth() as app:
        await app.press("g", "p")
        assert "No printer is on loan." in app.text and app.keys.startswith("Enter begin a loan")
        for key in ("space", "x", "T", "d", "v", "u", "t"):
            await app.press(key)  # nothing to do it to, and nothing breaks
        await app.press("enter")
        await app.type("2025-13-45")
        assert "a day such as 2026-12-18" in app.text
        await app.type("11 Dec")
        assert "No paper is planned yet." in app.text and "back on Fri 11 Dec, in 17 days" in app.rows[0]
        await app.press("enter")
        await app.type("Rag 293: fine, finest; portrait")
        assert app.saved == "Saved. Rag 293: fine, finest; portrait."
        await app.press("n")
        await app.type("Matt 230: fine, finest")
        await app.press("n")
        await app.type("rag 293: fine")
        assert "every paper once" in app.text
        await app.press("escape")
        assert "2 papers x 2 settings: nearly certain." in app.text
        assert app.here.split()[1:3] == ["Rag", "293"] and "print charts" in app.here and " now" in app.here

        await app.press("T")
        assert app.saved == "The clock of “print the charts” runs; T stops it."
        clock.forward(minutes=30)
        await app.press("T")
        assert app.saved.startswith("“print the charts” took 30 min")
        await app.press("space", "space")  # both settings of the paper that is in
        assert app.saved == "Saved. Rag 293, finest: print charts, done. u undoes it."
        assert "Print the charts: Matt 230, fine and finest." in app.text and "dry Wed" in app.text
        await app.press("u", "U")
        assert app.saved == "Redone: Rag 293, finest: print the charts."
        await app.press("end", "space")
        assert "is not dry before Wed 25 Nov" in app.text
        await app.press("0", "home")

        clock.forward(hours=24)
        await app.press("e", "escape")  # laid anew when one comes back
        row = next(row for row in app.rows if "read, profile" in row)
        assert " now" in row or " ready" in row
        while "read, profile" not in app.here:
            await app.press("down")
        await app.press("enter")
        assert app.app.screen.PAGE == "read" and "Rag 293" in app.rows[0]
        session = sessions.load(archive, 1)
        assert (session.condition.quality, session.condition.made_for) == ("fine", "portrait")
        await app.press("g", "p", "v")
        assert app.rows[0].startswith(" The week from Wed 25 Nov") and "Matt 230" in app.text
        await app.press("escape", "o")
        await app.type(str(tmp_path / "week.ics"))
        assert (tmp_path / "week.ics").read_text("utf-8").startswith("BEGIN:VCALENDAR")
        await app.press("o")
        await app.type(str(tmp_path / "week.csv"))
        assert (tmp_path / "week.csv").read_text("utf-8").startswith("day,from,to,step,paper,setting,latest")
        await app.press("d")
        await app.type("27 Nov")
        assert app.saved == "Saved. Fri 27 Nov is lost."
        await app.press("end", "x")
        assert "left out" in app.saved
        await app.press("c")
        assert "Print the charts: Matt 230" in app.app.clipboard


@pytest.mark.long
async def test_the_loan_and_its_questions_are_pages_of_their_own(
    booth: Any, archive: Archive, bench: Bench
) -> None:
    async with booth() as app:
        await app.press("g", "t", *["down"] * [tool.id for tool in TOOLS].index("plan"), "enter")
        await app.press("enter")
        await app.type("11 Dec")
        await app.press("e")
        assert app.here.split() == ["▸", "printer"]
        await app.press("enter")
        await app.type("Merrowby 24")
        assert app.saved == "Saved. printer: Merrowby 24." and "Merrowby 24" in app.here
        await app.press(*["down"] * 6, "enter")
        await app.type("Mon to Sat")
        assert "Mon to Sat " in app.here
        await app.press("n")
        await app.type("Rag 293: fine")
        await app.press("down", "down", "down", "enter")
        await app.type("1 Dec")
        assert app.saved == "Saved. days lost: Tue 1 Dec."
        await app.press("enter")
        await app.type("1 Dec")
        assert app.saved == "Saved. days lost: none."
        await app.press("down", "enter")
        await app.type("fine, finest; maker's profile")
        assert "Rag 293" in app.here and "fine, finest; maker's prof" in app.here
        await app.press("down", "enter")
        await app.type("25")
        assert "25 min" in app.here and "as you entered" in app.text
        await app.press("x")
        assert app.saved == "x takes a paper off; this row is none."
        await app.press("up", "x")
        assert app.saved.startswith("Rag 293 is off the plan")
        await app.press("u")
        assert app.saved == "Undone: paper Rag 293."
        await app.press("escape", "tab", "n")
        await app.type("Does it curl?")
        await app.type("a reader; Rag 293; skin")
        assert "a reader, Rag 293, skin" in app.text and "1 open question; answer before" in app.rows[0]
        await app.press("enter")
        await app.type("By 3 mm.")
        await app.type("rag.md")
        assert "By 3 mm. In rag.md." in app.text and "answered" in app.here
        await app.press("u", "escape", "u")  # not in sight on the plan: asked about first
        assert "Undo “answer to question 1”? It is on another page." in app.text
        await app.press("0")
        (one,) = (loans.load(archive) or pytest.fail("no loan")).questions
        assert (one.answer, one.appendix, one.region) == ("By 3 mm.", "", "skin")
