"""One key at a time: over a slow line many arrive at once, and what one opens must be there for the next.

The framework hands each waiting key to the widget that has the focus at that moment, and looks it up on the
screen that is on top when it comes back. So a key, or a text that is pasted, is held until everything that
the one before set off has been through the same queues.
"""

from collections import deque
from collections.abc import Iterator, Sequence
from functools import partial
from typing import Final

from textual.app import App
from textual.dom import DOMNode
from textual.events import Event, Key, Paste
from textual.timer import Timer

_ROUNDS: Final = 2  # through the queues: once for the key, once for what its handler posted
_NEW_LINE: Final = "ctrl+j"  # Enter, pressed while the shell had the terminal
_PATIENCE: Final = 0.5  # seconds until a way that was cut off, with a screen that is gone, is given up


class KeyOrder(App[None]):
    """Takes keys in the order they were pressed, each in the state that the one before left."""

    def __init__(self, *, ansi_color: bool | None = None) -> None:
        super().__init__(ansi_color=ansi_color)
        self._held: deque[Event] = deque()
        self._under_way = False
        self.turn = 0  # of the newest key that was let go
        self._limit: Timer | None = None

    @property
    def at_rest(self) -> bool:
        """Whether no key is under way."""
        return not self._under_way

    async def on_event(self, event: Event) -> None:
        if isinstance(event, Key) and event.key == _NEW_LINE:
            event = Key("enter", "\r")
        if isinstance(event, Key | Paste) and not event.is_forwarded:
            self._held.append(event)
            if not self._under_way:
                await self._next(self.turn)
        else:
            await super().on_event(event)

    async def _next(self, turn: int) -> None:
        """Let the next key go, if the newest one was of that turn."""
        if turn != self.turn:
            return
        if self._limit is not None:
            self._limit.stop()
        self._under_way = bool(self._held)
        if not self._under_way:
            return
        self.turn += 1
        way = [
            node for node in (self.focused or self.screen).ancestors_with_self if isinstance(node, DOMNode)
        ]
        before = (self.screen, self.focused)
        self._limit = self.set_timer(_PATIENCE, partial(self._next, self.turn))
        await super().on_event(self._held.popleft())
        self._follow(iter(way), way, _ROUNDS, before)

    def _follow(self, rest: Iterator[DOMNode], way: Sequence[DOMNode], rounds: int, before: object) -> None:
        """Go the way of the key, queue by queue."""
        node = next(rest, None)
        if node is not None:
            if not node.call_later(self._follow, rest, way, rounds, before):
                self._follow(rest, way, rounds, before)
        elif rounds > 1:
            self._follow(iter(way), way, rounds - 1, before)
        elif (self.screen, self.focused) != before:
            self.screen.call_after_refresh(self.call_later, self._next, self.turn)
        else:
            self.call_later(self._next, self.turn)
