"""A line to type in and a question above the keys: what a screen asks for beside its own keys."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from rich.cells import cell_len
from textual.events import Key as KeyPress

from evaluation.errors import DrydownError, UsageProblem
from tui.screens.jobs import Working
from tui.widgets import foot

if TYPE_CHECKING:
    from tui.widgets.typing import Typing

_LINGER = 0.25  # seconds
_LEFT = "Nothing was saved. What you typed stands there again when you open the line."

Place = Callable[[], tuple[int, int, int]]  # column, row, width


@dataclass(frozen=True, slots=True)
class _Line:
    """A line to type in, as it was asked for."""

    label: str
    done: Callable[[str], None]
    at: Place
    known: Sequence[str]
    about: str


class Prompting(Working):
    """Letters are text only while `typing` is open; `asking` waits for a digit."""

    def __init__(self) -> None:
        super().__init__()
        self.asking: Mapping[str, Callable[[], None]] | None = None
        self.typing: Typing | None = None
        self.line: _Line | None = None  # what was typed in last, or is

    def refresh_page(self) -> None:
        """Draw everything again."""

    def line_name(self, about: str) -> tuple[object, ...]:
        """What a line that is left half typed is kept by, in all of the app."""
        return (about,)

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
        at: Place | None = None,
        known: Sequence[str] = (),
        anew: bool = False,
        about: str = "",
    ) -> None:
        """Open a line to type in: above the keys after `label`, or where `at` says (column, row, width).

        What `done` refuses with a DrydownError stays in the line. `about` names the line where `label` does
        not: what is left there half typed stands there again when it is opened.
        """
        if self.typing is not None:
            self.leave_typing()
        kept = self.drydown.unfinished.pop(self.line_name(about or label), None)
        if kept is not None:
            value, anew = kept, False
        if label:
            self.said = ""
        line = _Line(label, done, at or partial(self._above_keys, label), known, about)
        self._open_line(line, value, value, anew=anew)

    def _open_line(self, line: "_Line", value: str, first: str, *, anew: bool) -> None:
        from tui.widgets.typing import Typing  # Textual's input costs ms that Home does not need

        self.line = line
        self.typing = Typing(value, line.done, line.at, line.known, first=first, anew=anew)
        self.mount(self.typing)
        self.call_later(self._focus_typing)  # after the keys that are waiting already
        self.refresh_foot()

    def _above_keys(self, label: str) -> tuple[int, int, int]:
        column = cell_len(label) + 3
        return column, self.size.height - foot.HEIGHT, self.size.width - column - 1

    def _focus_typing(self) -> None:
        if self.typing is not None:
            self.typing.focus()

    def stop_typing(self) -> None:
        """Close the line."""
        if self.typing is not None:
            typing, self.typing = self.typing, None
            typing.close()
            self.set_focus(None)
            self.set_timer(_LINGER, typing.remove)  # keys that are on their way to it come back from it
            self.said = ""
            self.refresh_page()

    def leave_typing(self) -> None:
        """Close the line without taking it. What was typed is there again when the line is opened."""
        if self.typing is None or self.line is None:
            return
        text, changed = self.typing.value, self.half_typed
        self.stop_typing()
        if changed:
            self.drydown.unfinished[self.line_name(self.line.about or self.line.label)] = text
            self.tell(_LEFT)

    @property
    def label(self) -> str:
        """What stands before the line that is open, above the keys."""
        return f"{self.line.label}:" if self.typing is not None and self.line and self.line.label else ""

    @property
    def half_typed(self) -> bool:
        """Whether something was typed and not taken yet."""
        typing = self.typing
        return typing is not None and bool(typing.value.strip()) and typing.value != typing.first

    def on_typing_taken(self, event: Any) -> None:
        self._typed(event.typing, event.text)

    def on_typing_left(self) -> None:
        self.leave_typing()

    def on_typing_late(self, event: Any) -> None:
        self.take(event.key)

    def _typed(self, typing: "Typing", text: str) -> None:
        if typing is not self.typing or self.line is None:
            return
        line = self.line
        self.stop_typing()
        try:
            typing.done(text)
        except DrydownError as problem:
            if self.typing is None:
                self._open_line(line, text, typing.first, anew=False)
            self._not_taken(problem)

    def _not_taken(self, problem: DrydownError) -> None:
        """Say why; what was found need not be told where it stands in the line."""
        if isinstance(problem, UsageProblem) and not self.fits(problem.sentence) and self.fits(problem.brief):
            self.tell(problem.brief)
        else:
            self.refused(problem)

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
