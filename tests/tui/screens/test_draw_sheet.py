"""The test image drawn from inside: chosen by keys, written with its list, found again by its code."""

from pathlib import Path
from typing import Any

import pytest

from evaluation.archive import sessions
from evaluation.errors import UsageProblem
from evaluation.session import Session
from evaluation.sheet.request import SheetRequest
from evaluation.work.bench import Bench
from evaluation.work.describe import wanted_sheet


async def write(app: Any, path: Path) -> None:
    """A small sheet at a path: A4, 150 ppi, without pictures, pages and form."""
    await app.press("home", "3", "down", "enter", "enter")
    await app.type("150")
    await app.press("end", "up", "2", "up", "2", "up", "2", "end", "enter")
    await app.type(str(path))
    await app.press("o")


async def test_the_first_screen_says_how_to_get_a_sheet(booth: Any) -> None:
    async with booth() as app:
        assert "t draws the test image for your paper" in app.text
        assert "t draw a test image" in app.keys
        await app.press("t")
        assert "Draw the reference test image" in app.rows[0]
        await app.press("escape")
        assert "No session yet." in app.text


@pytest.mark.long
async def test_a_sheet_drawn_from_a_session_belongs_to_it(
    booth: Any, bench: Bench, session: Session, tmp_path: Path
) -> None:
    path = tmp_path / "image.tif"
    async with booth() as app:
        await app.press("g", "1", "t")
        assert "for session 1" in app.rows[0]
        await write(app, path)
        assert path.exists() and path.with_name("image.patches.txt").exists()
        code = sessions.load(bench.archive, 1).condition.sheet_code
        assert code and f"Code of this sheet: {code}" in app.text
        assert "never fitted to the page" in app.text and "Care:" in app.text, "how to print it, and the care"
        await app.press("escape")
        assert code in app.text, "the row of Describe has it"


@pytest.mark.long
async def test_a_sheet_that_is_there_is_asked_about(booth: Any, session: Session, tmp_path: Path) -> None:
    path = tmp_path / "image.tif"
    path.write_bytes(b"mine")
    async with booth() as app:
        await app.press("t")
        await write(app, path)
        assert "image.tif exists. Write over it?" in app.text
        await app.press("0")
        assert path.read_bytes() == b"mine"


@pytest.mark.long
async def test_what_cannot_be_drawn_stays_in_its_row(booth: Any, session: Session) -> None:
    async with booth() as app:
        await app.press("t", "home", "enter", "enter")
        await app.type("enormous")
        assert "Expected: one of A4" in app.text
        assert app.app.screen.typing.value == "enormous"


@pytest.mark.parametrize(
    ("name", "text", "shown"),
    [
        ("size", "400x600mm", "400 x 600 mm"),
        ("size", "a3+", "A3+"),
        ("resolution", "360", "360"),
        ("encoding", "eciRGB v2", "eciRGB v2"),
        ("kind", "black and white", "black and white"),
        ("margins", "5", "5 5 5 5"),
        ("margins", "3 4 14,5 4", "3 4 14.5 4"),
        ("roll", "24in", "609.6 mm"),
        ("roll", "none", "none"),
        ("pictures", "no", "no"),
        ("feed", "across", "across"),
        ("feed", "as it lies", "as it lies"),
        ("patch pages", "no", "no"),
        ("booth form", "no", "no"),
    ],
)
def test_every_field_shows_what_was_asked(name: str, text: str, shown: str) -> None:
    assert wanted_sheet.shown(wanted_sheet.asked(SheetRequest(), name, text), name) == shown


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("size", ""),
        ("resolution", "fine"),
        ("resolution", "9"),
        ("margins", "1 2"),
        ("margins", "200"),
        ("own picture", "/nowhere/at/all.jpg"),
        ("roll", "wide"),
    ],
)
def test_a_field_refuses_what_cannot_be_drawn(name: str, text: str) -> None:
    with pytest.raises(UsageProblem):
        wanted_sheet.asked(SheetRequest(), name, text)


async def test_a_letter_in_an_opened_row_begins_to_type(booth: Any, session: Session) -> None:
    async with booth() as app:
        await app.press("t", "home", "enter")
        await app.pilot.press("A", "4")
        assert app.app.screen.typing.value == "A4", "neither a choice nor a key of the page"
        await app.press("enter")
        assert app.app.screen.wanted.size_mm == (210, 297)
