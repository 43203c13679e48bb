"""Dark: nothing on the screen until a key, so that it lights nothing in the booth."""

from textual.app import ComposeResult
from textual.events import Key
from textual.screen import ModalScreen

from tui.widgets.lines import Lines


class Dark(ModalScreen[None]):
    """Any key ends it; that key does nothing else."""

    CSS = "Dark { background: black; } Dark > Lines { background: black; }"

    def compose(self) -> ComposeResult:
        yield Lines()

    def on_key(self, event: Key) -> None:
        event.stop()
        event.prevent_default()
        self.dismiss()
