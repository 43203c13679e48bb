"""Triangles: three sheets at a time, two of one print; a digit names the odd one."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Final

from textual.app import ComposeResult

from evaluation.plain_text import listed
from evaluation.rounds import PLACES, Triangles
from evaluation.telling import triangle as words
from evaluation.work.bench import Bench
from evaluation.work.sidebyside import document, sidebyside, triangle
from tui import keys
from tui.screens.base.bounce import Bounce
from tui.screens.base.page import Page
from tui.screens.sidebyside import lying
from tui.widgets import head
from tui.widgets.lines import Line, cell, paragraphs
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

_COUNTS: Final = (12, 18, 24, 6)


class TrianglePage(Page):
    """Opened from Side by side with two prints: the regions and what is known; while one answers, neither."""

    PAGE = "triangle"
    BINDINGS = keys.bindings("triangle")
    TEXT = (
        "Two sheets of one print and one of the other lie in a row: which is the odd one? Enter draws them "
        "for the region of the cursor, p writes what lies where for whoever lays the sheets. Then 1, 2 or 3 "
        "names the odd one. The end tells whether there is anything to see, not how much."
    )

    def __init__(self, bench: Bench, session_ids: Sequence[int], region: str) -> None:
        super().__init__(bench)
        self.ids = tuple(session_ids)
        self.regions = sidebyside.regions_of(bench, sidebyside.prints_of(bench, self.ids), all_of=True)
        self.titles = {one.id: one.title for one in self.regions}
        here = (place for place, one in enumerate(self.regions) if one.id == region)
        self.first: int | None = next(here, 0)  # where the cursor stands when the page opens
        self.count = _COUNTS[0]
        self.test: Triangles | None = None  # that is being answered
        self.bounce = Bounce()
        self._look_up()

    def _look_up(self) -> None:
        found = sidebyside.result(self.bench, self.ids)
        self.waiting, self.found = found.lying, document.of_triangles(found)

    def body(self) -> ComposeResult:
        with Frame("list", "Regions"):
            yield RowList("regions", moved=self.refresh_page)
        yield Panel("told", "So far")
        yield Panel("pair", classes="panel here")

    def head_lines(self, width: int) -> Sequence[Line]:
        prints = listed([str(one) for one in self.ids])
        return head.plain_head(f"Triangles: sessions {prints}", "", width)

    def session_in_hand(self) -> int:
        return self.ids[0]

    def foot_state(self) -> str:
        return "triangle" if self.test is None else "triangle.lying"

    # Drawing ----------------------------------------------------------------------------------------------

    def repaint(self) -> None:
        self.set_class(self.test is not None, "-answering")
        if self.test is not None:
            self.one("pair").show(partial(lying.triangle, self.test, self.titles[self.test.region]))
            return
        self.query_one("#list", Frame).called("Regions", f"{self.count} triangles")
        self.list_here.show(self._rows, len(self.regions), self.first)
        self.first = None
        self.one("told").show(lambda width, height: paragraphs(self._told(), width)[:height])

    def _rows(self, start: int, count: int) -> list[Line]:
        room = self.list_here.room - 2
        return [cell(one.title, room) for one in self.regions[start : start + count]]

    def _told(self) -> list[str]:
        """What waits, what ended tests came to; with neither, what it takes."""
        told = [*(words.waiting(one, self.titles[one.region]) for one in self.waiting), *self.found]
        return told or list(words.before(self.count))

    def as_text(self) -> str:
        return "\n".join(self._told()) + "\n"

    # Choosing ---------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        if self.test is None:
            self.list_here.move(way)

    def action_times(self) -> None:
        if self.test is None:
            self.count = _COUNTS[(_COUNTS.index(self.count) + 1) % len(_COUNTS)]
            self.refresh_page()

    def action_enter(self) -> None:
        """Go on with what waits in the region of the cursor; else draw triangles for whoever looks."""
        if self.test is not None:
            return
        if here := self._waiting_here():
            self.test = here
            self.tell("The first sheets may be laid." if not here.answers else "Going on where it was left.")
            self.refresh_page()
        else:
            self.action_new()

    def _waiting_here(self) -> Triangles | None:
        region = self.regions[self.list_here.cursor].id
        return next((one for one in self.waiting if one.region == region), None)

    def action_new(self) -> None:
        if self.test is None:
            self.type_text("Who looks", "observer 1", self._begin)

    def _begin(self, observer: str) -> None:
        self.warned = ""
        region = self.regions[self.list_here.cursor]
        triangle.begin(
            self.bench,
            self.ids,
            observer=observer.strip() or "observer 1",
            region=region.id,
            count=self.count,
        )
        self._look_up()
        self.tell("Drawn. p writes what lies where, for whoever lays the sheets; Enter begins.")
        self.refresh_page()

    def action_page(self) -> None:
        if self._waiting_here() is None:
            self.tell("No triangles are drawn here; Enter draws them.")
        else:
            self.type_text("Write what lies where to", str(Path.cwd() / "triangles.pdf"), self._write)

    def _write(self, typed: str) -> None:
        if here := self._waiting_here():
            path = Path(typed.strip()).expanduser()
            triangle.write_page(self.bench, here, self.titles[here.region], path)
            self.tell("Written. It is not for the observer.")

    # Answering --------------------------------------------------------------------------------------------

    def action_digit(self, digit: str) -> None:
        one = self.test
        if one is None or self.bounce.same(digit, self.desk):
            return
        if digit == "0":
            self.tell("1 left, 2 middle, 3 right; guess where you see nothing.")
            return
        named = PLACES[int(digit) - 1]

        def answered() -> None:
            self.test = triangle.answer(self.bench, one, named)
            self.tell(f"{named.capitalize()}. Saved.")

        if self.attempt(answered):
            self._go_on()

    def _go_on(self) -> None:
        one = self.test
        if one is not None and not one.is_open:
            self.test = None
            self._look_up()
            self.tell(f"That was the last one. {one.right} of {len(one.shown)} right.")
        self.refresh_page()

    def action_undo(self) -> None:
        one = self.test
        if one is None or not one.answers:
            self.tell("Nothing to undo here.")
            return

        def taken_back() -> None:
            self.test = triangle.take_back(self.bench, one)
            self.tell("The last answer was taken back.")

        if self.attempt(taken_back):
            self.refresh_page()

    def back(self) -> None:
        if self.test is not None:
            self.test = None
            self._look_up()
            self.tell("Every answer is saved. Enter goes on.")
            self.refresh_page()
        else:
            self.app.pop_screen()
