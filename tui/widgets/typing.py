"""The one line to type in. Letters are letters only while its caret shows."""

from collections.abc import Callable, Sequence

from textual.events import Key
from textual.message import Message
from textual.suggester import SuggestFromList
from textual.widgets import Input

from evaluation.plain_text import visible


class Typing(Input):
    """A line at a place of the screen; Right takes the grey completion, Up and Down step through all.

    `anew`: the first letter replaces what stands there, an arrow keeps it.
    """

    DEFAULT_CSS = """
    Typing {
        position: absolute; height: 1; border: none; padding: 0; background: $shade;
        color: $foreground; text-style: none;
        &:focus { border: none; background: $shade; }
        &:nocolor { text-style: underline; }
        & > .input--suggestion { color: $quiet; }
        & > .input--cursor { text-style: reverse; }
    }
    """

    class Taken(Message):
        """Enter was pressed."""

        def __init__(self, typing: "Typing", text: str) -> None:
            super().__init__()
            self.typing = typing
            self.text = text

    class Left(Message):
        """Esc was pressed; nothing is taken."""

    class Late(Message):
        """A key that was on its way here when the line ended."""

        def __init__(self, key: Key) -> None:
            super().__init__()
            self.key = key

    def __init__(
        self,
        value: str,
        done: Callable[[str], None],
        at: Callable[[], tuple[int, int, int]],
        known: Sequence[str] = (),
        *,
        changed: Callable[[str], None] | None = None,
        first: str = "",
        anew: bool = False,
    ) -> None:
        suggester = SuggestFromList(known, case_sensitive=False) if known else None
        super().__init__(visible(value), suggester=suggester, select_on_focus=anew)
        self.done = done
        self.where = at
        self.first = visible(first)  # what stood there before anything was typed
        self.anew = anew
        self.closed = False
        self.known = tuple(known)
        self.own = ""  # what was typed before one went through `known`
        self.changed = changed
        self.put_in_place()

    def put_in_place(self) -> None:
        """Stand where the page wants the line now: its window may have another size."""
        column, row, width = self.where()
        self.styles.offset = (column, row)
        self.styles.width = width

    def validate_value(self, value: str) -> str:
        """Control characters, pasted or kept from a file, are shown by their stand-ins and stay such."""
        return visible(value)

    def early(self, character: str) -> None:
        """A character that was typed before the line had the focus."""
        if self.anew:
            self.value, self.anew, self.select_on_focus = "", False, False
        self.value += character
        self.cursor_position = len(self.value)

    def close(self) -> None:
        """Take no more; what still comes is given back to the screen."""
        self.closed, self.display = True, False

    def on_key(self, event: Key) -> None:
        """Enter and Esc end the line at once: keys behind them are no longer text but the screen's."""
        if not self.closed and event.key not in ("enter", "escape"):
            return
        event.stop()
        event.prevent_default()
        if self.closed:
            self.screen.post_message(self.Late(event))
        elif event.key == "enter":
            self.screen.post_message(self.Taken(self, self.value))
        else:
            self.screen.post_message(self.Left())
        self.closed = True

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

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()
        if self.changed is not None:
            self.changed(event.value)
