"""Parts of a page: where they lie, which rows are drawn again, and the list among them."""

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from tui.widgets.lines import Line, cell, text_of
from tui.widgets.part import Lines, Part, places
from tui.widgets.rows import WINDOW, Rows


class Page:
    """What a part tells the page."""

    def __init__(self) -> None:
        self.painted: list[str] = []
        self.laid_out = 0

    def paint(self, part: Part) -> None:
        self.painted.append(part.id)

    def lay_out(self) -> None:
        self.laid_out += 1


def numbered(count: int, tall: int, *, width: int = 20, asked: list[range] | None = None) -> Rows:
    """A list of numbers in so many rows of a page."""

    def source(start: int, rows: int) -> Sequence[Line]:
        if asked is not None:
            asked.append(range(start, start + rows))
        return [f" {row}" for row in range(start, start + rows)]

    made = Rows("rows")
    made.put_at(5, tall, width)
    made.show(source, count)
    return made


def drawn(rows: Rows) -> list[str]:
    return [text_of(rows.line(y)).rstrip() for y in range(rows.tall)]


# Places -------------------------------------------------------------------------------------------------


def test_what_has_no_height_shares_what_the_others_leave() -> None:
    head, one, two, foot = Lines("head", 4), Lines("one"), Lines("two"), Lines("foot", 2)
    assert [(part.id, top, tall) for part, top, tall in places((head, one, two, foot), 24)] == [
        ("head", 0, 4),
        ("one", 4, 9),
        ("two", 13, 9),
        ("foot", 22, 2),
    ]


def test_a_part_out_of_sight_takes_no_room() -> None:
    one, two = Lines("one", 3), Lines("two")
    one.shown = False
    assert [(part.id, top, tall) for part, top, tall in places((one, two), 10)] == [("two", 0, 10)]


@given(
    heights=st.lists(st.one_of(st.none(), st.integers(0, 12)), min_size=1, max_size=6),
    rows=st.integers(1, 60),
)
def test_parts_follow_each_other_and_never_leave_the_screen(heights: list[int | None], rows: int) -> None:
    found = places([Lines(str(place), height) for place, height in enumerate(heights)], rows)
    ends = [0, *(top + tall for _, top, tall in found)]
    assert [top for _, top, _ in found] == ends[:-1]
    assert ends[-1] <= rows
    assert ends[-1] == rows or None not in heights


def test_another_height_lays_the_page_out_anew_and_the_same_does_not() -> None:
    page, lines = Page(), Lines("above", 3)
    lines.canvas = page
    lines.height = 3
    lines.shown = True
    assert page.laid_out == 0
    lines.height = 5
    lines.shown = False
    assert page.laid_out == 2


# The list -----------------------------------------------------------------------------------------------


def test_only_rows_in_sight_are_asked_for_in_windows() -> None:
    asked: list[range] = []
    rows = numbered(10_000, 10, asked=asked)
    drawn(rows)
    rows.put(7_000)
    assert drawn(rows)[-1].startswith(" ▸ 7000")
    assert {len(each) for each in asked} == {WINDOW}
    assert len(asked) <= 3


def test_the_cursor_stays_in_sight_and_scrolls_as_little_as_it_can() -> None:
    rows = numbered(30, 10)
    assert [rows.first for _ in range(12) if rows.move("down")][-4:] == [0, 1, 2, 3]
    assert rows.row_on_page == 5 + 9
    rows.move("up")
    assert (rows.first, rows.cursor) == (3, 11)
    rows.move("home")
    assert (rows.first, rows.cursor) == (0, 0)
    rows.move("end")
    assert (rows.first, rows.cursor) == (20, 29)
    assert not rows.move("down")


def test_page_keys_move_by_what_is_in_sight() -> None:
    rows = numbered(30, 10)
    rows.move("pagedown")
    assert rows.cursor == 9
    rows.move("pageup")
    assert rows.cursor == 0


def test_moving_is_told_once_and_only_when_it_happens() -> None:
    told: list[int] = []
    rows = numbered(3, 10)
    rows.moved = lambda: told.append(rows.cursor)
    rows.move("up")
    rows.move("down")
    rows.put(2)
    rows.put(99)
    assert told == [1, 2]


def test_fewer_rows_than_before_keep_the_cursor_on_the_last() -> None:
    rows = numbered(30, 10)
    rows.put(25)
    rows.show(lambda start, count: ["x"] * count, 4)
    assert (rows.cursor, rows.first) == (3, 0)


def test_a_list_that_fits_has_no_bar() -> None:
    assert not any("┃" in row for row in drawn(numbered(10, 10)))


@given(count=st.integers(11, 5000), at=st.integers(0, 5000))
def test_the_bar_lies_in_the_last_column_and_says_where_one_is(count: int, at: int) -> None:
    rows = numbered(count, 10)
    rows.put(at)
    bar = [y for y, row in enumerate(drawn(rows)) if row.endswith("┃")]
    assert bar and bar == list(range(bar[0], bar[-1] + 1))
    assert all(len(row) in (20, len(row.rstrip("┃"))) for row in drawn(rows))
    assert (bar[0] == 0) >= (rows.first == 0)
    assert (bar[-1] == 9) >= (rows.first == count - 10)


def test_wide_characters_leave_the_bar_in_its_column() -> None:
    rows = Rows("rows")
    rows.put_at(0, 2, 20)
    rows.show(lambda start, count: [cell("日本語の用紙日本語の用紙", 30)] * count, 9)
    assert [cell_len(text_of(rows.line(y))) for y in range(2)] == [20, 20]


def test_a_click_moves_and_a_click_on_the_cursor_chooses() -> None:
    chosen: list[int] = []
    rows = numbered(30, 10)
    rows.chosen = lambda: chosen.append(rows.cursor)
    rows.clicked(4, 3)
    assert (rows.cursor, chosen) == (3, [])
    rows.clicked(4, 3)
    assert chosen == [3]


def test_a_click_below_the_last_row_does_nothing() -> None:
    rows = numbered(3, 10)
    rows.clicked(4, 8)
    assert rows.cursor == 0


@pytest.mark.parametrize(("turns", "first"), [([1], 3), ([1, 1, -1], 3), ([-1], 0), ([1] * 20, 20)])
def test_the_wheel_scrolls_and_leaves_the_cursor(turns: list[int], first: int) -> None:
    rows = numbered(30, 10)
    for turn in turns:
        rows.wheeled(turn)
    assert (rows.first, rows.cursor) == (first, 0)
    rows.move("down")
    assert rows.first <= rows.cursor == 1, "the next key brings the cursor back into sight"


def test_a_click_on_the_bar_goes_to_that_place_of_the_list() -> None:
    rows = numbered(30, 10)
    rows.clicked(19, 9)
    assert (rows.first, rows.cursor) == (20, 0)
