"""A line to type in and a question above the keys: what a screen asks for beside its own keys."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from textual.events import Key as KeyPress

from tui.screens.jobs import Working
from tui.widgets import foot

if TYPE_CHECKING:
    from tui.widgets.typing import Typing

_LINGER = 0.25  # seconds


class Prompting(Working):
    """Letters are text only while `typing` is open; `asking` waits for a digit."""

    def __init__(self) -> None:
        super().__init__()
        self.asking: Mapping[str, Callable[[], None]] | None = None
        self.typing: Typing | None = None

    def refresh_page(self) -> None:
        """Draw everything again."""

    def take(self, event: KeyPress) -> bool:
        """Whether a key was for this screen."""
        return False

    def act(self, key: str) -> bool:
        """Do what a key stands for here; False where it stands for nothing."""
        return False

    def ask(self, question: str, answers: Mapping[str, Callable[[], None]]) -> None:
        """Put a question above the keys that a digit answers; y and n stand for 1 and 0."""
        self.asking = {"0": lambda: None, **answers}
        self.tell(question)

    def type_text(
        self,
        label: str,
        value: str,
        done: Callable[[str], None],
        *,
        at: tuple[int, int, int] | None = None,
        known: Sequence[str] = (),
        anew: bool = False,
    ) -> None:
        """Open a line to type in: above the keys after `label`, or `at` (column, row, width)."""
        from tui.widgets.typing import Typing  # Textual's input costs ms that Home does not need

        if self.typing is not None:
            self.stop_typing()
        if at is None:
            self.said = f"{label}:"
            column = len(label) + 3
            at = (column, self.size.height - foot.HEIGHT, self.size.width - column - 1)
        self.typing = Typing(value, done, at, known, anew=anew)
        self.mount(self.typing)
        self.call_later(self._focus_typing)  # after the keys that are waiting already
        self.refresh_foot()

    def _focus_typing(self) -> None:
        if self.typing is not None:
            self.typing.focus()

    def stop_typing(self) -> None:
        """Close the line; what was typed is not taken."""
        if self.typing is not None:
            typing, self.typing = self.typing, None
            typing.close()
            self.set_focus(None)
            self.set_timer(_LINGER, typing.remove)  # keys that are on their way to it come back from it
            self.said = ""
            self.refresh_page()

    def on_typing_taken(self, event: Any) -> None:
        self._typed(event.typing, event.text)

    def on_typing_left(self) -> None:
        self.stop_typing()

    def on_typing_late(self, event: Any) -> None:
        self.take(event.key)

    def _typed(self, typing: "Typing", text: str) -> None:
        if typing is self.typing:
            self.stop_typing()
            self.attempt(partial(typing.done, text))

    def while_typing(self, typing: "Typing", event: KeyPress) -> bool:
        if event.key == "enter":  # it came before the line had the focus
            self._typed(typing, typing.value)
            return True
        if event.key in ("escape", "up", "down", "f1", "ctrl+q"):
            return self.act(event.key)
        if event.is_printable and event.character is not None:  # it came before the line had the focus
            typing.early(event.character)
            return True
        return False

    def answer_asked(self, key: str) -> None:
        answer = (self.asking or {}).get(key)
        if answer is not None:
            self.asking = None
            self.said = ""
            answer()
            self.refresh_foot()
