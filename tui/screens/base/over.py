"""What lies over a page and leaves it in sight: its own two last lines, and keys of its own."""

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.binding import ActiveBinding
from textual.screen import ModalScreen

from tui import footers
from tui.desk import Desk
from tui.screens.base import breakpoints
from tui.widgets.keys_line import KeysLine
from tui.widgets.lines import Line
from tui.widgets.panel import Made, Panel


class Over(ModalScreen[None]):
    """Subclasses give their `BINDINGS`, `foot_state` and what lies between."""

    AUTO_FOCUS = ""

    def foot_state(self) -> str:
        """The key of `footers.FOOTERS` for what may be pressed now."""
        return ""

    def between(self) -> ComposeResult:
        """What lies over the page, above the two last lines."""
        yield from ()

    def compose(self) -> ComposeResult:
        breakpoints.fit(self, self.app.size)
        yield from self.between()
        yield Panel("over", classes="over")
        yield KeysLine()

    def above_keys(self, lines: Sequence[Line] | Made) -> None:
        """Say something above the keys."""
        self.query_one("#over", Panel).show(lines)

    @property
    def desk(self) -> Desk:
        """The app, as far as a screen knows it."""
        return self.app  # type: ignore[return-value]

    @property
    def active_bindings(self) -> dict[str, ActiveBinding]:
        return footers.with_footer(super().active_bindings, self.foot_state(), self.desk.config.keymap)
