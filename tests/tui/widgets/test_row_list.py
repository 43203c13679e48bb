"""The list of any length: what it asks for, where the cursor stands, what a click does."""

from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager

from textual.app import App, ComposeResult
from textual.pilot import Pilot

from tui import theme
from tui.widgets.lines import Line
from tui.widgets.row_list import WINDOW, RowList


class Shell(App[None]):
    """A list of numbers in a window of twenty columns and ten rows."""

    CSS = "RowList { height: 100%; } Screen { overflow: hidden; }"

    def __init__(self, count: int) -> None:
        super().__init__()
        self.count = count
        self.asked: list[range] = []
        self.moved_to: list[int] = []
        self.chosen: list[int] = []
        for each in theme.themes():
            self.register_theme(each)
        self.theme = "dark"

    def compose(self) -> ComposeResult:
        yield RowList("rows", moved=self._moved, chosen=lambda: self.chosen.append(self.rows.cursor))

    @property
    def rows(self) -> RowList:
        return self.query_one(RowList)

    def on_mount(self) -> None:
        self.rows.show(self._source, self.count)

    def _moved(self) -> None:
        self.moved_to.append(self.rows.cursor)

    def _source(self, start: int, count: int) -> Sequence[Line]:
        self.asked.append(range(start, start + count))
        return [f" {row}" for row in range(start, start + count)]

    @property
    def seen(self) -> list[str]:
        return [strip.text.rstrip(" ▁▂▃▄▅▆▇█") for strip in self.screen._compositor.render_strips()]


@asynccontextmanager
async def shell(count: int) -> AsyncIterator[tuple[Shell, Pilot[None]]]:
    app = Shell(count)
    async with app.run_test(size=(20, 10)) as pilot:
        await pilot.pause()
        yield app, pilot


async def test_only_rows_in_sight_are_asked_for_in_windows() -> None:
    async with shell(10_000) as (app, pilot):
        app.rows.put(7_000)
        await pilot.pause()
        assert any(row.startswith(" ▸ 7000") for row in app.seen)
        assert {len(each) for each in app.asked} == {WINDOW}
        assert len({each.start for each in app.asked}) <= 3


async def test_the_cursor_stays_in_sight() -> None:
    async with shell(30) as (app, pilot):
        for _ in range(12):
            app.rows.move("down")
        await pilot.pause()
        assert any(row.startswith(" ▸ 12") for row in app.seen)
        app.rows.move("home")
        await pilot.pause()
        assert app.seen[0] == " ▸ 0"
        app.rows.move("end")
        await pilot.pause()
        assert app.seen[-1] == " ▸ 29"
        assert not app.rows.move("down")


async def test_page_keys_move_by_what_is_in_sight() -> None:
    async with shell(30) as (app, _):
        app.rows.move("pagedown")
        assert app.rows.cursor == 9
        app.rows.move("pageup")
        assert app.rows.cursor == 0


async def test_moving_is_told_once_and_only_when_it_happens() -> None:
    async with shell(3) as (app, _):
        app.rows.move("up")
        app.rows.move("down")
        app.rows.put(2)
        app.rows.put(99)
        assert app.moved_to == [1, 2]


async def test_fewer_rows_than_before_keep_the_cursor_on_the_last() -> None:
    async with shell(30) as (app, _):
        app.rows.put(25)
        app.rows.show(lambda start, count: ["x"] * count, 4)
        assert app.rows.cursor == 3


async def test_a_click_moves_and_a_click_on_the_cursor_chooses() -> None:
    async with shell(30) as (app, pilot):
        await pilot.click(offset=(4, 3))
        assert (app.rows.cursor, app.chosen) == (3, [])
        await pilot.click(offset=(4, 3))
        assert app.chosen == [3]


async def test_a_click_below_the_last_row_does_nothing() -> None:
    async with shell(3) as (app, pilot):
        await pilot.click(offset=(4, 8))
        assert app.rows.cursor == 0


async def test_rows_drawn_before_the_list_hears_of_its_size_are_drawn_again() -> None:
    """They may still be as wide as before: a terminal may change its size twice in one layout."""
    async with shell(3) as (app, _):
        drawn: list[bool] = []
        app.rows.refresh = lambda *_, **__: drawn.append(True)  # type: ignore[method-assign, assignment, return-value]
        app.rows.on_resize()
        assert drawn
