"""Home by keys: the list, what comes next, find, sort, mark, remove and bring back."""

from dataclasses import replace
from typing import Any

import pytest

from evaluation.archive import sessions
from evaluation.session import Session
from evaluation.work import begin, home, look
from evaluation.work.bench import Bench


async def test_an_empty_archive_says_how_to_begin(booth: Any) -> None:
    async with booth() as app:
        assert any("n begins one" in row for row in app.rows)
        assert "n new session" in app.keys


async def test_the_lower_half_says_what_comes_next(booth: Any, session: Session) -> None:
    async with booth() as app:
        rows = app.text
        assert "Sallowfell Lustre 247" in rows
        assert "next       Prepare, machine settled after moving" in rows
        assert "readings   none yet" in rows


async def test_enter_goes_on_where_one_stopped(booth: Any, bench: Bench, session: Session) -> None:
    look.start(bench, session.id)
    async with booth() as app:
        await app.press("enter")
        assert "region 1 of" in app.text


async def test_new_like_this_is_two_keys(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await app.press("n")
        assert "copied from session 1" in app.rows[0]
        made = sessions.load(bench.archive, 2)
        assert made.condition.paper == session.condition.paper
        assert made.condition.printed_at is None, "a new print has a time of its own"


async def test_n_in_an_empty_archive_begins_the_first_session(booth: Any, bench: Bench) -> None:
    async with booth() as app:
        await app.press("n")
        assert home.count(bench) == 1
        assert "1 Describe" in app.rows[1]


async def test_removing_is_undone_by_u(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await app.press("x")
        assert "Session 1 removed. u brings it back." in app.saved
        assert home.count(bench) == 0
        await app.press("u")
        assert home.count(bench) == 1
        assert "Undone: session 1 is back." in app.saved
        await app.press("u")
        assert "Nothing left to undo here." in app.saved


async def test_find_narrows_and_escape_shows_all_again(booth: Any, bench: Bench, session: Session) -> None:
    begin.begin(bench, replace(session.condition, paper="Brackmoor Rag 293"), {})
    async with booth() as app:
        await app.press("slash", *"rag", "enter")
        rows = app.text
        assert "“rag”, 1 session" in rows
        assert "Lustre" not in rows
        await app.press("escape")
        assert "2 sessions" in app.rows[0]


async def test_marks_are_counted_and_escape_drops_them(booth: Any, session: Session) -> None:
    async with booth() as app:
        await app.press("space")
        assert "1 marked." in app.saved
        assert any(row.startswith(" ▸*") for row in app.rows)
        await app.press("escape")
        assert not any("▸*" in row for row in app.rows)


async def test_a_window_that_is_too_small_is_told_in_one_sentence(booth: Any, session: Session) -> None:
    async with booth((60, 20)) as app:
        text = " ".join(" ".join(app.rows).split())
        assert text == (
            "drydown needs 80 columns and 24 rows; this window has 60 and 20. Nothing is lost. "
            "Make it larger, or use the command line."
        )
        await app.resize(80, 24)
        assert "Sallowfell Lustre 247" in app.text


@pytest.mark.parametrize("key", ["q", "ctrl+q"])
async def test_leaving_has_two_routes(booth: Any, key: str) -> None:
    async with booth() as app:
        await app.press(key)
        assert not app.app.is_running


async def test_many_sessions_are_asked_for_in_windows(booth: Any, bench: Bench, session: Session) -> None:
    """The list asks for what is in sight only: 64 rows at a time."""
    archive = bench.archive
    with archive.transaction() as connection:
        row = connection.execute("SELECT * FROM session").fetchone()
        names = [column[0] for column in connection.execute("SELECT * FROM session").description]
        marks = ", ".join("?" * len(names))
        for number in range(2, 301):
            values = dict(zip(names, row, strict=True)) | {"id": number, "uid": f"{number:032x}"}
            connection.execute(f"INSERT INTO session VALUES ({marks})", tuple(values.values()))
    async with booth() as app:
        page = app.app.screen
        assert len(page.heads) == 64
        await app.press("end")
        assert any(row.startswith(" ▸") and " 1 Sallowfell" in row for row in app.rows)
        assert len(page.heads) <= 192
