"""Dark: nothing on the screen until a key, so that it lights nothing in the booth."""

from textual.events import Key
from textual.screen import ModalScreen


class Dark(ModalScreen[None]):
    """Any key ends it; that key does nothing else."""

    def __init__(self) -> None:
        super().__init__()
        self.styles.background = "black"

    def on_key(self, event: Key) -> None:
        event.stop()
        event.prevent_default()
        self.dismiss()
