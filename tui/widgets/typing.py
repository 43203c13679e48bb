"""The one line to type in."""

from collections.abc import Sequence

from textual.suggester import SuggestFromList
from textual.widgets import Input

from evaluation.plain_text import visible


class Typing(Input):
    """A line at a place of the screen; Right takes the grey completion, `step` goes through all."""

    def __init__(self, value: str, known: Sequence[str] = (), *, first: str = "", anew: bool = False) -> None:
        suggester = SuggestFromList(known, case_sensitive=False) if known else None
        super().__init__(visible(value), suggester=suggester, select_on_focus=anew)
        self.first = visible(first)
        self.known = tuple(known)
        self.own = ""  # what was typed before one went through `known`

    def validate_value(self, value: str) -> str:
        """Control characters, pasted or kept from a file, are shown by their stand-ins and stay such."""
        return visible(value)

    @property
    def half_typed(self) -> bool:
        """Whether something was typed and not taken yet."""
        return bool(self.value.strip()) and self.value != self.first

    def step(self, way: str) -> None:
        """Through what was typed here before; what one has typed oneself is among it, at its end."""
        if not self.known or way not in ("up", "down"):
            return
        if self.value not in self.known:
            self.own = self.value
        texts = (*self.known, *([self.own] if self.own.strip() else []))
        at = texts.index(self.value) if self.value in texts else (-1 if way == "down" else 0)
        self.value = texts[(at + (1 if way == "down" else -1)) % len(texts)]
        self.cursor_position = len(self.value)
