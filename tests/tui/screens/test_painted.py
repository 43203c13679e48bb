"""A page draws itself: one widget, every row once, and again only what looks different."""

from typing import Any

from textual.widget import Widget

from evaluation.session import Session
from tui.screens.painted import Painted


def changed(app: Any, monkeypatch: Any) -> list[int]:
    """Rows of the screen that are asked to be drawn from now on."""
    rows: list[int] = []
    real = type(app.app.screen).refresh

    def refresh(self: Widget, *regions: Any, **more: Any) -> Widget:
        rows.extend(region.y for region in regions)
        return real(self, *regions, **more)

    monkeypatch.setattr(type(app.app.screen), "refresh", refresh)
    return rows


async def test_a_page_has_no_widget_but_the_line_to_type_in(booth: Any, session: Session) -> None:
    async with booth() as app:
        for step in "123456h":
            await app.press("g", step)
            mine = [
                each for each in app.app.screen.query("*") if not type(each).__module__.startswith("textual")
            ]
            assert mine == []
        await app.press("slash")
        assert [type(each).__name__ for each in app.app.screen.query("*")].count("Typing") == 1


async def test_a_move_of_the_cursor_draws_the_two_rows_and_what_speaks_of_them(
    booth: Any, session: Session, monkeypatch: Any
) -> None:
    async with booth() as app:
        await app.press("g", "2")
        rows = changed(app, monkeypatch)
        await app.press("down")
        top = app.app.screen.list_here.top
        at = app.app.screen.list_here.cursor
        assert {top + at - 1, top + at} <= set(rows)
        assert not {0, 1, 2, 3, 22, 23} & set(rows), "neither head nor foot changed"


async def test_what_stays_the_same_is_not_drawn_again(booth: Any, session: Session, monkeypatch: Any) -> None:
    async with booth() as app:
        await app.press("g", "1")
        rows = changed(app, monkeypatch)
        app.app.screen.refresh_page()
        assert rows == []


async def test_a_window_made_small_shows_one_sentence_and_large_again_all(
    booth: Any, session: Session
) -> None:
    async with booth() as app:
        whole = app.text
        await app.resize(60, 20)
        assert "drydown needs 80 columns and 24 rows" in app.text and "Lustre" not in app.text
        await app.resize(80, 24)
        assert app.text == whole


async def test_a_window_resized_while_another_screen_was_above_fits_in_the_first_frame_back(
    booth: Any, session: Session, monkeypatch: Any
) -> None:
    async with booth() as app:
        await app.press("g", "1", "question_mark")
        await app.resize(120, 36)
        monkeypatch.setattr(Painted, "on_resize", lambda self: None)  # it comes after that frame
        await app.press("escape", "g", "h")
        assert app.keys.endswith("? all keys"), "the last line is the last row of the window"
        assert len(app.rows[1]) == 120


async def test_another_appearance_draws_every_row_in_its_greys(booth: Any, session: Session) -> None:
    async with booth() as app:
        before = app.picture
        await app.press("D")
        assert app.app.theme == "dim"
        after = app.picture
        assert "#d0d0d0" in before and "#d0d0d0" not in after


async def test_the_wheel_and_clicks_reach_the_list(booth: Any, session: Session) -> None:
    async with booth() as app:
        await app.press("g", "1")
        rows = app.app.screen.list_here
        before = rows.cursor
        await app.pilot.click(offset=(10, rows.top + 2))
        await app.settle()
        assert rows.cursor == 2 != before
        assert app.here.strip().startswith("▸ paper")
