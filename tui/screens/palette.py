"""Every action of the screen below by its name, found by a few letters of it, in any order of words."""

from collections.abc import Mapping

from textual.app import ComposeResult
from textual.fuzzy import Matcher
from textual.screen import ModalScreen

from tui import keys
from tui.keys import Key
from tui.widgets import foot, head
from tui.widgets.lines import Line, Lines, cell
from tui.widgets.rows import Rows
from tui.widgets.typing import Typing


class Palette(ModalScreen[str | None]):
    """Ends with the action to run on the screen below, or None."""

    BINDINGS = keys.bindings("palette")
    CSS = """
    Palette { background: $background; layers: base over; }
    Palette > #palette-head { height: 4; }
    Palette > #palette-foot { height: 2; }
    """

    def __init__(self, page: str, keymap: Mapping[str, str]) -> None:
        super().__init__()
        self.keymap = keymap
        self.actions = [key for key in keys.keys_of(page) if not key.fixed and key.show != "arrows"]
        self.found = list(self.actions)

    def compose(self) -> ComposeResult:
        yield Lines(id="palette-head")
        yield Rows(id="palette-rows")
        yield Lines(id="palette-foot")
        yield Typing("", self._take, (11, 2, 60), changed=self._narrow)

    def on_mount(self) -> None:
        self.query_one(Typing).focus()
        self._draw()

    def on_resize(self) -> None:
        self._draw()

    def _draw(self) -> None:
        width = self.size.width
        lines = [*head.plain_head("Every action by name", "", width), "   Action:"]
        self.query_one("#palette-head", Lines).show(lines)
        pairs = keys.footer("palette", self.keymap)
        self.query_one("#palette-foot", Lines).show([foot.saved("", width), foot.keys(pairs, width)])
        self.query_one(Rows).show(self._lines, len(self.found))

    def _lines(self, start: int, count: int) -> list[Line]:
        return [
            f"  {cell(key.tooltip, 56)}{keys.shown(key, self.keymap)}"
            for key in self.found[start : start + count]
        ]

    def _narrow(self, text: str) -> None:
        self.found = matching(self.actions, text)
        self.query_one(Rows).show(self._lines, len(self.found), 0)

    def _take(self, _text: str) -> None:
        """Enter in the line: the action under the cursor is taken."""

    def on_typing_left(self) -> None:
        self.dismiss(None)

    def on_typing_taken(self) -> None:
        if self.found:
            key = self.found[self.query_one(Rows).cursor]
            self.dismiss(key.action or key.id.rpartition(".")[2])

    def action_move(self, way: str) -> None:
        self.query_one(Rows).move(way)

    def action_close(self) -> None:
        self.dismiss(None)


def matching(actions: list[Key], text: str) -> list[Key]:
    """Actions whose name has the letters of `text` in order, the best first; all of them without text."""
    if not text.strip():
        return list(actions)
    matcher = Matcher(text.strip())
    scored = [(matcher.match(key.tooltip), key) for key in actions]
    return [key for score, key in sorted(scored, key=lambda pair: -pair[0]) if score > 0]
