"""A line to type in, over the page it belongs to. Letters are letters only while it is open."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

from textual.app import ComposeResult
from textual.widgets import Input

from evaluation.plain_text import shortened
from tui import keys
from tui.screens.base.over import Over
from tui.widgets.lines import Line, wrapped
from tui.widgets.typing import Typing

Place = Callable[[], tuple[int, int, int]]  # column, row, width


@dataclass(frozen=True, slots=True)
class Wanted:
    """A line to type in, as a page asks for it.

    label    stands before it, above the keys; "": the line lies where `at` says
    done     takes the text; what it refuses with a DrydownError stays in the line
    known    what was entered before, for Up, Down and completion
    changed  called at every letter
    first    what stood there before anything was typed
    anew     the first letter replaces what stands there, an arrow keeps it
    about    names the line where the label does not
    """

    label: str
    done: Callable[[str], None]
    at: Place | None = None
    known: Sequence[str] = ()
    changed: Callable[[str], None] | None = None
    first: str = ""
    anew: bool = False
    about: str = ""


class Owner(Protocol):
    """What a line needs of the page below it."""

    def line_taken(self, wanted: Wanted, text: str) -> None:
        """Enter: the line is closed; a text that is refused opens it again."""
        ...

    def line_left(self, wanted: Wanted, text: str) -> None:
        """Esc: the line is closed and nothing taken."""
        ...

    async def action_help(self) -> None: ...


class LineScreen(Over):
    """`trouble` says why the text was not taken."""

    BINDINGS = keys.bindings("typing", first=True)
    AUTO_FOCUS = "Typing"

    def __init__(self, owner: Owner, wanted: Wanted, value: str, trouble: str = "") -> None:
        super().__init__()
        self.owner = owner
        self.wanted = wanted
        self.value = value
        self.trouble = trouble

    def foot_state(self) -> str:
        return "typing" if self.wanted.known else "typing.free"

    def between(self) -> ComposeResult:
        anew = self.wanted.anew and not self.trouble
        yield Typing(self.value, self.wanted.known, first=self.wanted.first, anew=anew)

    def on_mount(self) -> None:
        self._above()
        self._put_in_place()

    def on_resize(self) -> None:
        self.call_after_refresh(self._put_in_place)  # the page below moves first

    def _put_in_place(self) -> None:
        typing = self.query_one(Typing)
        if self.wanted.at is not None:
            column, row, width = self.wanted.at()
        else:
            column = len(self.wanted.label) + 3
            row, width = self.size.height - 2, self.size.width - column - 1
        typing.styles.offset = (column, row)
        typing.styles.width = width

    def _above(self) -> None:
        """Why the text was not taken; then the label, before the line itself; else nothing."""
        self.query_one("#over").display = bool(self.trouble or self.wanted.label)
        self.above_keys(self._lines)

    def _lines(self, width: int, height: int) -> list[Line]:
        told = wrapped(self.trouble, width - 2) if self.trouble else []
        label = [f"{self.wanted.label}:"] if self.wanted.label else []
        return [((f" {row}", "strong"),) for row in (*told, *label)]

    def tell(self, sentence: str) -> None:
        """Say something above the line."""
        self.trouble = sentence
        self._above()

    @property
    def typing(self) -> Typing:
        return self.query_one(Typing)

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()
        if self.wanted.changed is not None:
            self.wanted.changed(event.value)

    async def action_take(self) -> None:
        text = self.typing.value
        await self.app.pop_screen()
        self.owner.line_taken(self.wanted, text)

    async def action_stop(self) -> None:
        text = self.typing.value
        await self.app.pop_screen()
        self.owner.line_left(self.wanted, text)

    def action_step(self, way: str) -> None:
        self.typing.step(way)

    async def action_help(self) -> None:
        await self.owner.action_help()

    def action_leave(self) -> None:
        """Leave, but for something half typed: then only when asked for again."""
        half = f"“{shortened(self.typing.value, 24)}” is not taken yet. Ctrl+Q again leaves without it."
        if self.typing.half_typed and self.trouble != half:
            self.tell(half)
        else:
            self.app.exit()
