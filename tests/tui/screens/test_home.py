"""Home by keys: the list, what comes next, find, sort, mark, remove and bring back."""

from dataclasses import replace
from typing import Any

import pytest

from evaluation.archive import sessions
from evaluation.session import Session
from evaluation.work import home
from evaluation.work.bench import Bench
from evaluation.work.describe import begin
from evaluation.work.look import look
from tests.cases import some_now
from tui.screens.home.side_panels import known_lines
from tui.widgets.lines import texts


async def test_an_empty_archive_says_how_to_begin(booth: Any) -> None:
    async with booth() as app:
        assert "Enter begins the first session" in app.text
        assert "You need a print of such an image" in app.text
        assert "n new session" in app.keys
        await app.resize(180, 50)
        assert app.rows[1].endswith("─╮") and "╮╭" not in app.rows[1], "no panel about nothing beside it"


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
        assert "1 Neutral greyscale" in app.text and "9 more regions" in app.text


async def test_new_like_this_is_two_keys(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await app.press("n")
        assert "copied from session 1" in app.rows[0]
        made = sessions.load(bench.archive, 2)
        assert made.condition.paper == session.condition.paper
        assert made.condition.printed_at is None, "a new print has a time of its own"


@pytest.mark.parametrize("key", some_now(["n", "enter"], "enter"))
async def test_n_or_enter_in_an_empty_archive_begins_the_first_session(
    booth: Any, bench: Bench, key: str
) -> None:
    async with booth() as app:
        await app.press(key)
        assert home.count(bench) == 1
        assert "1 Describe" in app.rows[1]


async def test_removing_is_undone_by_u(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await app.press("x")
        assert "Session 1 removed. u brings it back now, the view “removed” at any time." in app.saved
        assert home.count(bench) == 0
        await app.press("u")
        assert home.count(bench) == 1
        assert "Undone: session 1 is back." in app.saved
        await app.press("u")
        assert "Nothing left to undo here." in app.saved


@pytest.mark.long
async def test_a_removed_session_is_brought_back_after_leaving(
    booth: Any, bench: Bench, session: Session
) -> None:
    """u knows what was removed since Home opened; the view knows all that ever was."""
    async with booth() as app:
        await app.press("x", "q")
    async with booth() as app:
        assert "No session is on the list; 1 was removed." in app.text
        assert "v removed" in app.keys
        await app.press("u")
        assert "Nothing left to undo here." in app.saved
        await app.press("v")
        assert "removed, 1 session" in app.rows[0]
        assert "Sallowfell Lustre 247" in app.text and "24 Nov 2026" in app.text
        assert "Enter bring back" in app.keys
        await app.press("enter")
        assert "Session 1 is back on the list." in app.saved
        assert home.count(bench) == 1
        assert "removed" not in app.rows[0], "the view is left with the last of its sessions"


@pytest.mark.long
async def test_nothing_is_done_with_a_removed_session(booth: Any, bench: Bench, session: Session) -> None:
    """Removed ones cannot be opened, marked or removed again; the way back is told."""
    begin.begin(bench, replace(session.condition, paper="Brackmoor Rag 293"), {})
    home.remove(bench, session.id)
    async with booth() as app:
        await app.press("v", "v")
        while "removed, 1 session" not in app.rows[0]:
            await app.press("v")
        for keys in (("space",), ("g", "3"), ("x",)):
            await app.press(*keys)
            assert "Session 1 is removed; Enter brings it back." in app.saved
        await app.press("v")
        assert "All sessions." in app.saved and "Brackmoor Rag 293" in app.text


@pytest.mark.long
async def test_removed_sessions_stand_last_removed_first(booth: Any, bench: Bench, session: Session) -> None:
    for paper in ("Rag one", "Rag two"):
        begin.begin(bench, replace(session.condition, paper=paper), {})
    for number in (2, 1, 3):
        home.remove(bench, number)
    async with booth() as app:
        await app.press("v")
        numbers = [row.split()[1 if row.startswith(" ▸") else 0] for row in app.rows if "24 Nov 2026" in row]
        assert numbers == ["3", "1", "2"]
        await app.press("slash", *"one", "enter")
        assert "“one”, removed, 1 session" in app.rows[0]


async def test_find_narrows_and_escape_shows_all_again(booth: Any, bench: Bench, session: Session) -> None:
    begin.begin(bench, replace(session.condition, paper="Brackmoor Rag 293"), {})
    async with booth() as app:
        await app.press("slash", *"rag")
        assert "“rag”, 1 session" in app.text, "the list narrows as one types"
        await app.press("enter")
        rows = app.text
        assert "“rag”, 1 session" in rows
        assert "Lustre" not in rows
        await app.press("escape")
        assert "2 sessions" in app.rows[0]


async def test_marks_are_counted_and_escape_drops_them(booth: Any, session: Session) -> None:
    async with booth() as app:
        await app.press("space")
        assert "1 marked." in app.saved
        assert any(" ▸*" in row for row in app.rows)
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
        assert any(" ▸" in row and " 1 Sallowfell" in row for row in app.rows)
        assert len(page.heads) <= 192


async def test_beside_the_list_stands_what_is_known(booth: Any, bench: Bench, session: Session) -> None:
    """From 120 columns on the print, at 180 its sheet; once weighed, reasons and rulers above it."""
    async with booth((180, 50)) as app:
        await app.pilot.pause(0.05)
        assert "profile           lustre-fine.icc" in app.text and "─ The sheet ─" in app.text
    found = (
        home.FoundRegion(2, "Shadow detail", 2.0, 3.9, "disagree"),
        home.FoundRegion(7, "Fine detail and registration", 4.0, None, "eye only"),
    )
    known = replace(home.coming(bench, 1), found=found, reasons=("They disagree.", "Looking again would do."))
    hidden, narrow, wide = (
        texts(known_lines(known, weighed, width, 30))
        for weighed, width in ((False, 50), (True, 36), (True, 50))
    )
    assert "They disagree" not in "".join(hidden) and "┼" not in "".join(hidden), "it would sway the eye"
    assert narrow[:5] == [
        " They disagree. Looking again would",
        " do.",
        "",
        " ≠ Eye and readings disagree:",
        " shadow detail.",
    ]
    assert wide[3:5] == [
        "≠ 2 shadow detail                ┼───E━━━━━━━I───┼",
        "  7 fine detail and registration ┼───┼───┼───E───┼",
    ]


async def test_a_second_observer_sees_no_grades_of_the_first(
    booth: Any, bench: Bench, session: Session
) -> None:
    """Named in Look, not begun yet: what the first one graded stays out of sight on Home, and it says why."""
    look.start(bench, session.id)
    assert home.kept_from(bench, {session.id: "observer 1"}) == frozenset()
    assert home.kept_from(bench, {session.id: "Ann"}) == {session.id}
    async with booth((120, 36)) as app:
        await app.press("g", "3")
        app.pilot.app.observers[session.id] = "Ann"
        await app.press("g", "h")
        await app.pilot.pause(0.1)
        assert "Ann looks next: grades of others" in app.text
        assert app.pilot.app.screen.kept_from == {session.id}
