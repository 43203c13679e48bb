"""Every action of the screen below by its name, found by a few letters of it, in any order of words."""

from collections.abc import Iterator, Mapping

from textual.app import ComposeResult
from textual.fuzzy import Matcher
from textual.screen import ModalScreen

from tui import footers, keys
from tui.keys import Key
from tui.screens.painted import Painted
from tui.widgets import foot, head
from tui.widgets.lines import Line, cell
from tui.widgets.part import Lines, Part
from tui.widgets.rows import Rows
from tui.widgets.typing import Typing


class Palette(Painted, ModalScreen[str | None]):
    """Ends with the action to run on the screen below, or None."""

    BINDINGS = keys.bindings("palette")
    CSS = "Palette { background: $background; }"

    def __init__(self, page: str, keymap: Mapping[str, str]) -> None:
        super().__init__()
        self.keymap = keymap
        self.actions = [key for key in keys.keys_of(page) if not key.fixed and key.show != "arrows"]
        self.found = list(self.actions)

    def make_parts(self) -> Iterator[Part]:
        yield Lines("head", height=4)
        yield Rows("actions")
        yield Lines("foot", height=foot.HEIGHT)

    def widgets_over(self) -> ComposeResult:
        yield Typing("", self._take, lambda: (11, 2, 60), changed=self._narrow)

    def on_mount(self) -> None:
        self.query_one(Typing).focus()
        self.refresh_page()

    def refresh_page(self) -> None:
        width = self.size.width
        lines = [*head.plain_head("Every action by name", "", width), "   Action:"]
        self.one("head").show(lines)
        pairs = footers.footer("palette", self.keymap)
        self.one("foot").show([foot.saved("", width), foot.keys(pairs, width)])
        self.list_here.show(self._lines, len(self.found))

    def _lines(self, start: int, count: int) -> list[Line]:
        return [
            f"  {cell(key.tooltip, 56)}{keys.shown(key, self.keymap)}"
            for key in self.found[start : start + count]
        ]

    def _narrow(self, text: str) -> None:
        self.found = matching(self.actions, text)
        self.list_here.show(self._lines, len(self.found), 0)

    def _take(self, _text: str) -> None:
        """Enter in the line: the action under the cursor is taken."""

    def on_typing_left(self) -> None:
        self.dismiss(None)

    def on_typing_taken(self) -> None:
        if self.found:
            key = self.found[self.list_here.cursor]
            self.dismiss(key.action or key.id.rpartition(".")[2])

    def action_move(self, way: str) -> None:
        self.list_here.move(way)

    def action_close(self) -> None:
        self.dismiss(None)


def matching(actions: list[Key], text: str) -> list[Key]:
    """Actions whose name has the letters of `text` in order, the best first; all of them without text."""
    if not text.strip():
        return list(actions)
    matcher = Matcher(text.strip())
    scored = [(matcher.match(key.tooltip), key) for key in actions]
    return [key for score, key in sorted(scored, key=lambda pair: -pair[0]) if score > 0]
