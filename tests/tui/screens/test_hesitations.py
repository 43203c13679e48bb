"""Where somebody who walked through the app by keys once hesitated: the screen tells it now."""

from pathlib import Path
from typing import Any

import pytest

from evaluation.archive import sessions
from evaluation.session import Session
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe.fields import FIELDS
from evaluation.work.look import look


@pytest.mark.long
async def test_a_region_has_the_number_that_is_printed_beside_it(
    booth: Any, bench: Bench, session: Session
) -> None:
    """Shadows are the third region of the viewing and number 2 on the sheet."""
    look.start(bench, session.id, kind="quick")
    async with booth() as app:
        await app.press("g", "3", "down", "down")
        assert "─ 2 Shadow detail ─" in app.text and "region 3" not in app.text


async def test_what_was_begun_is_taken_back_before_what_was_saved(
    booth: Any, bench: Bench, session: Session
) -> None:
    look.start(bench, session.id)
    async with booth() as app:
        await app.press("g", "3", "0", "0", "0")  # no lean in any third
        await app.press("left", "2", "1", "u")  # yellow, just; then not
        assert app.saved == "Begun again; nothing of it was saved."
        saved = sessions.load(bench.archive, session.id).viewing
        assert saved is not None and len(saved.answers) == 1
        await app.press("u")
        assert app.saved.startswith("Undone: neutral greyscale, cast")


@pytest.mark.long
async def test_a_refusal_goes_with_the_next_digit(booth: Any, bench: Bench, session: Session) -> None:
    look.start(bench, session.id)
    async with booth() as app:
        await app.press("g", "3", "9")
        assert "the colour of the cast" in app.saved
        await app.press("2")
        assert app.saved == ""


@pytest.mark.long
async def test_a_remark_is_told_back_where_the_region_ends(
    booth: Any, bench: Bench, session: Session
) -> None:
    look.start(bench, session.id, kind="quick")
    async with booth() as app:
        await app.press("g", "3", "0", "4", "r")
        await app.type("left edge [b]only[/b]")
        assert app.saved.endswith("Remark on Neutral greyscale: “left edge [b]only[/b]”.")
        await app.press("left")
        assert "Remark: left edge [b]only[/b]" in app.text


@pytest.mark.long
async def test_a_short_viewing_of_the_ring_tells_what_to_do_and_which_is_meant(
    booth: Any, bench: Bench, session: Session
) -> None:
    ring = sheet_of(bench, session).region("ring")
    assert ring.title == "Ring-around"
    look.start(bench, session.id, kind="quick")
    async with booth() as app:
        await app.press("g", "3", "down", "0")
        assert "First choose the field of each" in app.text
        assert "Meant as" in app.text and "dark 61" in app.text


@pytest.mark.long
async def test_what_was_measured_in_the_booth_is_told_back_whole(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth() as app:
        await app.press("g", "2", *["down"] * 7, "enter")
        await app.type("2040 lx, 5050 K, P1, second A")
        assert app.saved == "Saved 14:02. Viewing light: done, 2040 lx, 5050 K, P1, second A."
        await app.press("up")
        assert "Entered: 2040 lx, 5050 K, P1, second A." in app.text


@pytest.mark.long
async def test_at_the_end_every_grade_is_listed(booth: Any, bench: Bench, session: Session) -> None:
    look.start(bench, session.id, kind="quick")
    async with booth() as app:
        for grade in "4344555544":
            await app.press("g", "3", "0", grade)
            if grade == "3":
                await app.press("a")
        assert "Look is finished but for one" in app.text
        assert "3  ring-around, look again" in app.text and "4  neutral greyscale" in app.text


@pytest.mark.long
async def test_a_file_to_write_is_looked_at_when_it_is_typed(
    booth: Any, bench: Bench, session: Session, tmp_path: Path
) -> None:
    async with booth() as app:
        await app.press("g", "6", "end", "enter")
        await app.type("")
        await app.press("enter")
        await app.type(str(tmp_path / "page.html2"))
        assert "Expected: a file ending in .html, .md or .pdf" in " ".join(app.text.split())
        assert app.app.screen.typing.value == str(tmp_path / "page.html2")
        await app.type(str(tmp_path))
        assert app.here.rstrip().endswith("sallowfell-lustre-247-1.html")
        await app.press("enter")
        await app.type(str(tmp_path / "page"))
        assert app.here.rstrip().endswith("page.html")


@pytest.mark.long
async def test_a_fault_that_is_noted_says_what_it_looks_like(
    booth: Any, bench: Bench, session: Session
) -> None:
    look.start(bench, session.id, kind="quick")
    async with booth() as app:
        await app.press("g", "3", "down", "down", "3")
        assert "Puddling: wet, blotchy dark areas." in app.text
        await app.press("3")
        assert "Puddling" not in app.text


@pytest.mark.long
async def test_a_folder_that_is_gone_is_told_once_and_in_a_line(
    booth: Any, bench: Bench, session: Session, tmp_path: Path
) -> None:
    async with booth() as app:
        app.app.watch_folder = tmp_path / "gone"
        await app.press("g", "4")
        assert "not listed" in app.saved and "another file or folder" in app.text
        await app.press("t")
        said = app.saved
        app.app.screen._look()  # as it does by itself every two seconds
        await app.settle()
        assert app.saved == said and "not listed" not in said


@pytest.mark.long
async def test_the_size_of_a_sheet_is_one_answer(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await app.press("g", "1", "home", "down", "down", "down", "enter")
        await app.type("a3")
        assert app.saved == "Saved 14:02. Sheet: 297 x 420 mm."


@pytest.mark.long
async def test_what_a_row_of_describe_asks_for_is_never_cut(
    booth: Any, bench: Bench, session: Session
) -> None:
    """In the smallest window there are two lines for it; numbered choices stand in their place."""
    async with booth() as app:
        await app.press("g", "1", "home")
        for field in FIELDS:
            shown = " ".join(app.text.split())
            numbered = "other: Enter, then type it" in shown or (
                field.choices and f"1 {field.choices[0]}" in shown
            )
            assert field.help in shown or numbered, field.id
            await app.press("down")


async def test_a_view_of_home_is_never_empty(booth: Any, bench: Bench, session: Session) -> None:
    """The only session is being prepared."""
    async with booth() as app:
        await app.press("v")
        assert app.saved == "Only sessions in the state: preparing."
        await app.press("v")
        assert app.saved == "All sessions."
