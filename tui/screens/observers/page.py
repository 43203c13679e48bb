"""Observers: the viewings of a print, what each person graded, how alike; one may be set aside."""

from collections.abc import Callable, Sequence
from functools import partial

from textual.app import ComposeResult

from evaluation.session import Viewing
from evaluation.work import log
from evaluation.work.bench import Bench
from evaluation.work.weigh import observers, observers_document, set_aside
from tui import keys
from tui.screens.base.page import Page
from tui.screens.base.text import TextPage
from tui.screens.observers import lines
from tui.widgets import head
from tui.widgets.lines import Line, paragraphs, text_of
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList


class ObserversPage(Page):
    """Opened from Weigh. What it shows is looked up again after every key of value."""

    PAGE = "observers"
    BINDINGS = keys.bindings("observers")
    TEXT = (
        "What several people graded of one print: a column each, then all of them together. x sets a viewing "
        "aside, with a reason, or takes it in again; Weigh then gives both results. v shows all of it in "
        "sentences, with the caveats."
    )

    def __init__(self, bench: Bench, session_id: int, caveats: Callable[[int], Sequence[Line]]) -> None:
        super().__init__(bench)
        self.session_id = session_id
        self.caveats = caveats
        self._look_up()

    def _look_up(self) -> None:
        self.session = log.session(self.bench, self.session_id)
        self.found = observers.observers(self.bench, self.session_id)
        self.seen = {one.name: one.prints for one in self.found.people}

    def body(self) -> ComposeResult:
        with Frame("list", "Viewings"):
            yield RowList("viewings", moved=self.refresh_page)
        yield Panel("grades", "Grades")
        yield Panel("told", "How alike")

    def head_lines(self, width: int) -> Sequence[Line]:
        paper = self.session.condition.paper or "No paper named"
        return head.plain_head(f"Observers: {paper}, session {self.session_id}", "", width)

    def session_in_hand(self) -> int:
        return self.session_id

    def repaint(self) -> None:
        self.list_here.show(self._rows, len(self.session.viewings))
        self.one("grades").show(lambda width, height: lines.table(self.found, width)[:height])
        self.one("told").show(lambda width, height: self._told(width)[:height])

    def _rows(self, start: int, count: int) -> list[Line]:
        room = self.list_here.room - 2
        return [
            lines.viewing(one, self.session, self.seen.get(one.observer, 1), room)
            for one in self.session.viewings[start : start + count]
        ]

    def _told(self, width: int) -> list[Line]:
        return paragraphs(observers_document.told(self.found), width)

    def as_text(self) -> str:
        rows = [*self._rows(0, len(self.session.viewings)), "", *lines.table(self.found, 100), ""]
        return "\n".join(text_of(line).rstrip() for line in [*rows, *self._told(100)]) + "\n"

    # Keys -------------------------------------------------------------------------------------------------

    @property
    def viewing(self) -> Viewing:
        return self.session.viewings[self.list_here.cursor]

    def move(self, way: str) -> None:
        self.list_here.move(way)

    def action_aside(self) -> None:
        one = self.viewing
        if one.aside:
            self.attempt(partial(self._set, one.ordinal, ""))
        else:
            self.type_text(f"Why viewing {one.ordinal} is set aside", "", partial(self._set, one.ordinal))

    def _set(self, ordinal: int, reason: str) -> None:
        """Raises DrydownError where the viewing cannot be set aside."""
        if not reason.strip() and not self.viewing.aside:
            self.tell("Nothing was changed: a reason is kept with it.")
            return
        step = set_aside.set_aside(self.bench, self.session_id, ordinal, reason)
        self._look_up()
        self.said = f"Saved. {step.words}. x takes it in again." if reason else f"Saved. {step.words}."
        self.refresh_page()

    def action_view(self) -> None:
        self.app.push_screen(TextPage(self.bench, "Observers and caveats", self._all, "observers"))

    def _all(self, width: int) -> list[Line]:
        return ["", *lines.table(self.found, width), "", *self._told(width), *self.caveats(width)]

    def back(self) -> None:
        self.app.pop_screen()
