"""The menu after g: its last line says where one may go."""

from collections.abc import Callable

from textual.events import Key

from tui import keys
from tui.screens.base.over import Over


class Go(Over):
    """Ends at any key; `to` is told where, `stay` why not."""

    BINDINGS = keys.bindings("go")

    def __init__(self, to: Callable[[str], None], stay: Callable[[str], None]) -> None:
        super().__init__()
        self.to = to
        self.stay = stay

    def foot_state(self) -> str:
        return "go"

    def on_mount(self) -> None:
        self.above_keys([((" Go to", "strong"), (self._also(), ""), ("   Esc stays here", "quiet"))])

    def _also(self) -> str:
        """What the last line has no room for."""
        found = (keys.BY_ID[id] for id in ("go.side", "go.plan", "go.bundle", "go.merge"))
        return "".join(f"   {keys.shown(key, self.desk.config.keymap)} {key.label}" for key in found)

    async def action_digit(self, digit: str) -> None:
        await self.action_to(list(keys.STEPS)[int(digit) - 1])

    async def action_to(self, where: str) -> None:
        await self.app.pop_screen()
        self.to(where)

    async def action_stay(self) -> None:
        await self.app.pop_screen()

    def on_key(self, event: Key) -> None:
        """A key that leads nowhere: what may follow is said."""
        if event.key not in self.active_bindings:
            event.stop()
            self.app.pop_screen()
            here = keys.shown(keys.BY_ID["go"], self.desk.config.keymap)
            self.stay(f"{here} {keys.written(event.key)} leads nowhere. {here} shows the places there are.")
