"""A page of text to read: help, the whole appendix, a list too long for the screen."""

from collections.abc import Callable, Iterator, Sequence

from evaluation.work.bench import Bench
from tui.screens.page import Page
from tui.widgets import head
from tui.widgets.lines import Line, text_of
from tui.widgets.part import Lines, Part

Made = Callable[[int], Sequence[Line]]


class TextPage(Page):
    """Lines made for the width of the screen, a screenful at a time. Esc goes back to where one came from."""

    PAGE = "text"

    def __init__(self, bench: Bench, title: str, made: Made, name: str = "text") -> None:
        super().__init__(bench)
        self.page_title = title
        self.made = made
        self.name_of_file = name
        self.top = 0

    def body(self) -> Iterator[Part]:
        yield Lines("body")

    def foot_state(self) -> str:
        return "page"

    def head_lines(self, width: int) -> Sequence[Line]:
        pages = -(-len(self.made(width)) // self.room())
        now = self.top // self.room() + 1 if self.top % self.room() == 0 else -(-self.top // self.room()) + 1
        return head.plain_head(self.page_title, f"page {min(now, pages)} of {pages}", width)

    def room(self) -> int:
        return max(1, self.size.height - self.HEAD_HEIGHT - 2)

    def repaint(self) -> None:
        lines = self.made(self.size.width)
        self.top = max(0, min(self.top, len(lines) - 1))
        self.one("body").show(lines[self.top : self.top + self.room()])

    def as_text(self) -> str:
        return "\n".join(text_of(line).rstrip() for line in self.made(self.size.width)) + "\n"

    def file_name(self) -> str:
        return f"{self.name_of_file}.txt"

    def action_more(self) -> None:
        if self.top + self.room() < len(self.made(self.size.width)):
            self.top += self.room()
            self.refresh_page()

    def action_less(self) -> None:
        self.top = max(0, self.top - self.room())
        self.refresh_page()

    def action_find(self) -> None:
        self.type_text("Find", "", self._find)

    def _find(self, wanted: str) -> None:
        lines = self.made(self.size.width)
        order = [*range(self.top + 1, len(lines)), *range(self.top + 1)]
        for row in order:
            if wanted.casefold() in text_of(lines[row]).casefold():
                self.top = row
                self.refresh_page()
                return
        self.tell("Not on this page.")

    def action_close(self) -> None:
        if self.typing is not None:
            self.leave_typing()
        else:
            self.drydown.pop_screen()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        return self.typing is None or action == "close"
