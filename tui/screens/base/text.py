"""A page of text to read: help, the whole appendix, a list too long for the screen."""

from collections.abc import Callable, Sequence

from textual.app import ComposeResult

from evaluation.work.bench import Bench
from tui import keys
from tui.screens.base.page import Page
from tui.widgets import head
from tui.widgets.lines import Line, text_of
from tui.widgets.panel import Panel

Made = Callable[[int], Sequence[Line]]


class TextPage(Page):
    """Lines made for the width of the screen, a screenful at a time. Esc goes back to where one came from."""

    PAGE = "text"
    BINDINGS = keys.bindings("text")

    def __init__(self, bench: Bench, title: str, made: Made, name: str = "text") -> None:
        super().__init__(bench)
        self.page_title = title
        self.made = made
        self.name_of_file = name
        self.top = 0

    def body(self) -> ComposeResult:
        yield Panel("text", classes="panel here")

    def foot_state(self) -> str:
        return "page"

    def head_lines(self, width: int) -> Sequence[Line]:
        pages = -(-len(self.lines) // self.room)
        now = self.top // self.room + 1 if self.top % self.room == 0 else -(-self.top // self.room) + 1
        return head.plain_head(self.page_title, f"page {min(now, pages)} of {pages}", width)

    @property
    def room(self) -> int:
        """Rows in sight."""
        return max(1, self.one("text").size.height)

    @property
    def lines(self) -> Sequence[Line]:
        """All of it, for the width of the page."""
        return self.made(self.one("text").size.width or self.size.width)

    def repaint(self) -> None:
        self.one("text").show(self._in_sight)

    def _in_sight(self, width: int, height: int) -> Sequence[Line]:
        lines = self.made(width)
        self.top = max(0, min(self.top, len(lines) - 1))
        return lines[self.top : self.top + height]

    def on_resize(self) -> None:
        self.call_after_refresh(self.refresh_page)

    def as_text(self) -> str:
        return "\n".join(text_of(line).rstrip() for line in self.lines) + "\n"

    def file_name(self) -> str:
        return f"{self.name_of_file}.txt"

    def action_more(self) -> None:
        if self.top + self.room < len(self.lines):
            self.top += self.room
            self.refresh_page()

    def action_less(self) -> None:
        self.top = max(0, self.top - self.room)
        self.refresh_page()

    def action_find(self) -> None:
        self.type_text("Find", "", self._find)

    def _find(self, wanted: str) -> None:
        lines = self.lines
        order = [*range(self.top + 1, len(lines)), *range(self.top + 1)]
        for row in order:
            if wanted.casefold() in text_of(lines[row]).casefold():
                self.top = row
                self.refresh_page()
                return
        self.tell("Not on this page.")

    def go_to(self, where: str) -> None:
        """From the page below, which knows what its session and marks are."""
        self.app.pop_screen()
        below = self.app.screen
        if isinstance(below, Page):
            below.go_to(where)

    def action_close(self) -> None:
        self.app.pop_screen()
