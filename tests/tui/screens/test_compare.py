"""Compare by keys: marking on Home, moving, base, sorting, groups, an opened row, stopping."""

import re
import shutil
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive.connection import Archive, open_archive
from evaluation.work.bench import Bench, utc_now
from evaluation.work.compare import compare
from tests.cases import some_now

FOUR = (1, 6, 4, 5)


@pytest.fixture
def archive(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Archive]:
    """A copy for one test; nothing is compared in it unless `weighed` is asked for."""
    stored = "compared_archive" if "weighed" in request.fixturenames else "finished_archive"
    with open_archive(shutil.copy(request.getfixturevalue(stored), tmp_path / "finished.db")) as opened:
        yield opened


@pytest.fixture
def bench(archive: Archive) -> Bench:
    """On the clock that the demo was built by: its prints are as old as it says."""
    return Bench(archive, now=utc_now)


async def opened(app: Any, ids: tuple[int, ...] = FOUR) -> None:
    """Mark sessions on Home, newest first in the list of six, and compare them."""
    at = 6
    for session in ids:
        way = "down" if session < at else "up"
        await app.press(*[way] * abs(at - session), "space")
        at = session
    await app.press("g", "c")


@pytest.fixture
def weighed() -> None:
    """All that the screen needs is stored: see `archive`."""


@pytest.mark.parametrize("size", some_now([(80, 24), (120, 36)], (80, 24)))
async def test_papers_stand_as_columns_the_base_first(
    booth: Any, weighed: None, size: tuple[int, int]
) -> None:
    async with booth(size) as app:
        await opened(app)
        assert app.rows[0].startswith(" Compare, 4 prints, for general use")
        assert app.rows[0].endswith("the eye's grades; base: session 1")
        heading = app.rows[2].strip("│").split("│")[0].split()
        assert heading == ["session", "1", "base", "6", "4", "5"]
        assert app.rows[3].strip("│").split()[0] == "paper"
        assert app.here.startswith(" ▸ neutral greyscale")
        assert any("alike" in row for row in app.rows)
        assert "for general use" in app.text
        assert all(len(row) <= size[0] for row in app.rows)


async def test_one_marked_session_is_not_compared(booth: Any) -> None:
    async with booth() as app:
        await app.press("space", "g", "c")
        assert app.saved == "Mark two sessions or more on Home with Space, then g c."


@pytest.mark.long
async def test_what_is_missing_is_worked_out_and_the_words_fill_in(booth: Any) -> None:
    async with booth() as app:
        await opened(app, (1, 4))
        await app.settle()
        assert app.app.screen.matrix.missing == ()
        assert any(word in app.text for word in ("large", "measured", "alike"))


@pytest.mark.long
async def test_the_cell_under_the_cursor_is_told_in_a_sentence(booth: Any, weighed: None) -> None:
    async with booth() as app:
        await opened(app)
        assert "The base, which the others are compared with." in app.text
        await app.press("down", "right", "right")
        assert "Ring-around, session 4 against 1:" in app.text


@pytest.mark.long
async def test_the_eye_s_view_shows_its_grades_apart_and_beside_stands_the_order(
    booth: Any, weighed: None
) -> None:
    async with booth((120, 36)) as app:
        await opened(app)
        matrix = app.app.screen.matrix
        graded = {
            (row.id, one.b): one.graded
            for row in matrix.rows
            for column in matrix.columns
            if (one := matrix.difference(row.id, 1, column.session)) and one.graded
        }
        apart = sum(first != second for first, second in graded.values())
        cells = "\n".join(row[:79] for row in app.rows)
        assert apart and len(re.findall(r"\d\.\d (?:higher|lower)", cells)) == apart
        assert "order for general use" in app.text
        await app.press("right")
        beside = [row[79:].strip("│ ") for row in app.rows]
        assert beside[2].split() == ["eye", "readings", "combined"]
        assert beside[3].startswith("session 1") and beside[4].startswith("session 6")


@pytest.mark.long
async def test_more_papers_than_fit_are_reached_with_the_base_kept(booth: Any, weighed: None) -> None:
    async with booth() as app:
        await opened(app, (1, 6, 4, 5, 2, 3))
        await app.settle()
        assert app.rows[2].split() == ["session", "2", ">", "1", "base", "6", "4", "5"]
        await app.press(*["right"] * 5)
        assert app.rows[2].split() == ["session", "<", "2", "1", "base", "5", "2", "3"]
        await app.press(*["left"] * 5)
        assert app.rows[2].split()[-4:] == ["base", "6", "4", "5"]


@pytest.mark.long
async def test_b_makes_the_current_print_the_base(booth: Any, weighed: None) -> None:
    async with booth() as app:
        await opened(app)
        await app.press("right", "right", "b")
        assert app.rows[0].endswith("base: session 4")
        assert app.rows[2].split()[:3] == ["session", "4", "base"]
        await app.press("b")
        assert app.saved == "This is the base already."


@pytest.mark.long
async def test_s_sorts_by_the_row_then_by_verdict_then_as_marked(booth: Any, weighed: None) -> None:
    async with booth() as app:
        await opened(app)
        before = app.rows[2]
        await app.press("s")
        assert app.saved == "Papers by neutral greyscale."
        await app.press("down", "s")
        assert app.saved == "Papers by ring-around."
        await app.press("s")
        assert app.saved == "Papers by verdict for general use."
        await app.press("s")
        assert app.saved == "Papers as marked."
        assert app.rows[2] == before


@pytest.mark.long
async def test_the_current_print_stays_current_when_the_order_changes(booth: Any, weighed: None) -> None:
    async with booth() as app:
        await opened(app)
        await app.press("right", "right")
        current = app.app.screen.table.current.session
        await app.press("s")
        assert app.app.screen.table.current.session == current


@pytest.mark.long
async def test_p_groups_by_paper_and_further(booth: Any, weighed: None) -> None:
    async with booth() as app:
        await opened(app)
        await app.press("p")
        assert app.rows[2].startswith("   by paper")
        for key in ("printer", "quality", "mode", "age"):
            await app.press("p")
            assert app.rows[2].startswith(f"   by {key}")
        await app.press("p")
        assert app.saved == "Not grouped."


@pytest.mark.long
async def test_e_hides_rows_that_are_alike_in_all(booth: Any, weighed: None) -> None:
    async with booth() as app:
        await opened(app)
        hidden = [row for row in app.app.screen.matrix.rows if row not in compare_rows(app.app.screen.matrix)]
        await app.press("e")
        assert app.saved == f"{len(hidden)} rows alike in all are hidden."
        assert all(row.title.lower() not in app.text for row in hidden)
        await app.press("e")
        assert app.saved == "All rows."


def compare_rows(matrix: Any) -> tuple[Any, ...]:
    from evaluation.work.compare import order

    return order.differing(matrix)


@pytest.mark.long
async def test_f_asks_for_another_use_and_v_for_another_voice(booth: Any, weighed: None) -> None:
    async with booth() as app:
        await opened(app)
        await app.press("f")
        assert "for black and white" in app.rows[0]
        assert "the eye's grades" in app.rows[0]  # the eye comes first
        await app.press("v")
        assert "combined grades" in app.rows[0]
        await app.press("v")
        assert "the readings' grades" in app.rows[0]


@pytest.mark.long
@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_a_row_opens_to_curves_with_letters_and_facts(
    booth: Any, weighed: None, size: tuple[int, int]
) -> None:
    async with booth(size) as app:
        await opened(app)
        await app.press("enter")
        assert "b* of the greys from their aim, b* over L*" in app.text
        assert "D-max" in app.text and "whitener" in app.text
        assert [
            row.split()[:2]
            for row in (row.strip("│") for row in app.rows)
            if row.startswith(("  a ", "  d "))
        ] == [
            ["a", "1"],
            ["d", "5"],
        ]
        await app.press("v")
        assert "a* of the greys" in app.text
        await app.press("down", "down")
        assert "lightness of the steps" in app.text
        assert all(len(row) <= size[0] for row in app.rows)
        await app.press("escape")
        assert "D-max" not in app.text


@pytest.mark.long
async def test_tab_tells_in_sentences_what_differs(booth: Any, weighed: None) -> None:
    async with booth() as app:
        await opened(app)
        await app.press("tab")
        assert "Prints that do not differ by enough for general use" in app.text
        assert "For the review" in app.text
        await app.press("escape")
        assert app.rows[0].startswith(" Compare, 4 prints, for")


@pytest.mark.long
async def test_the_table_is_copied_whole(booth: Any, weighed: None, tmp_path: Path) -> None:
    async with booth() as app:
        await opened(app)
        await app.press("c")
        text = (tmp_path / "copied" / "compare.txt").read_text("utf-8")
        assert re.search(r"session +1 base", text) and "For the review" in text
        await app.press("c")
        cells = [row.split("\t") for row in app.app.clipboard.splitlines()]
        assert cells[0][:3] == ["no.", "region", "1 Sallowfell Lustre 247, quality fine"]
        assert {len(row) for row in cells} == {10} and cells[1][1] == "Neutral greyscale"
        await app.press("right", "c", "c", "c")  # a move begins with the page again
        assert app.app.clipboard.startswith("Neutral greyscale, session 6 against 1: ")
        assert "Session 6 is Sallowfell Lustre 247" in app.app.clipboard


@pytest.mark.long
async def test_find_goes_to_a_paper(booth: Any, weighed: None) -> None:
    async with booth() as app:
        await opened(app)
        await app.press("slash")
        await app.type("cold")
        assert app.app.screen.table.current.session == 5
        await app.press("slash")
        await app.type("nothing like it")
        assert app.saved == "No paper of that name."


@pytest.mark.long
async def test_esc_stops_the_work_and_keeps_what_was_done(
    booth: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The work waits after its first step until Esc was pressed."""
    go_on = threading.Event()
    worked_out = compare.worked_out

    def slow(*args: Any, stopped: Any, tell: Any, **more: Any) -> Any:
        def told(words: str) -> None:
            tell(words)
            if words.startswith("Comparing"):
                go_on.wait(10)

        return worked_out(*args, stopped=stopped, tell=told, **more)

    monkeypatch.setattr(compare, "worked_out", slow)
    async with booth() as app:
        await app.pilot.press("down", "space", "down", "space", "down", "down", "down", "space", "g", "c")
        while not app.saved.startswith("Comparing"):
            await app.pilot.pause(0.05)
        assert "stop" in app.keys
        assert re.search(r"━.* \d+%", app.text), "a bar says how far it is"
        await app.pilot.press("escape")
        go_on.set()
        await app.settle()
        assert app.saved == "Stopped. What was worked out until then is kept."
        assert not app.app.screen.query_one("ProgressBar").display
        assert app.app.screen.matrix.missing, "what was left is not shown as if it were there"


@pytest.mark.long
async def test_hostile_names_stay_text(booth: Any, bench: Bench, weighed: None) -> None:
    from evaluation.work.describe import begin

    begin.say_condition(bench, 4, "paper", "[bold red]Rag[/]\x1b[2J")
    async with booth() as app:
        await opened(app)
        await app.settle()
        assert "\x1b" not in app.text
        assert "[bold" in app.text or "Rag[/]" in app.text
