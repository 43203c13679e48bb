"""What every screen shares: head, body, what was said, keys; `g`, typing, asking, copying, help, actions."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import ActiveBinding
from textual.containers import Container
from textual.screen import ModalScreen

from evaluation.errors import DrydownError, UsageProblem
from evaluation.system_words import unwritten
from evaluation.work.bench import Bench
from tui import footers
from tui.screens.base import breakpoints
from tui.screens.base.jobs import Working
from tui.screens.base.paths import short, typed_path
from tui.widgets import foot, head
from tui.widgets.keys_line import KeysLine
from tui.widgets.lines import Line, text_of
from tui.widgets.panel import Panel
from tui.widgets.row_list import RowList

_LEFT = "Nothing was saved. What you typed stands there again when you open the line."


class Page(Working):
    """A full screen. Subclasses give `PAGE`, their `BINDINGS`, `body` and their lines."""

    PAGE: ClassVar[str] = ""
    TEXT: ClassVar[str] = ""  # what one does here, for the help
    HEAD: ClassVar[str] = "plain"  # its class in the stylesheet: how tall the head is
    AUTO_FOCUS = ""

    def __init__(self, bench: Bench) -> None:
        super().__init__()
        self.bench = bench
        self.warned = ""  # of what leaving would lose
        self.covered_whole = False  # another page is above, not only a menu or a line
        self.built = False  # its parts are there to be drawn
        self._footed = ""  # the state that the last line was drawn for

    # What subclasses fill in ------------------------------------------------------------------------------

    def body(self) -> ComposeResult:
        yield from ()

    def head_lines(self, width: int) -> Sequence[Line]:
        return head.plain_head("drydown", "", width)

    def foot_state(self) -> str:
        """The key of `footers.FOOTERS` for what may be pressed now."""
        return self.PAGE

    def repaint(self) -> None:
        """Draw the body again from what is known now."""

    def as_text(self) -> str:
        """The result on this screen, whole, as text to copy or to keep in a file."""
        rows = [text_of(line) for panel in self.query("#body Panel").results(Panel) for line in panel.rows]
        return "\n".join(row.rstrip() for row in rows) + "\n"

    def file_name(self) -> str:
        return f"{self.PAGE}.txt"

    # Building and drawing ---------------------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        breakpoints.fit(self, self.app.size)
        yield Panel("head", classes=f"flat {self.HEAD}")
        with Container(id="body"):
            yield from self.body()
        yield Panel("said", classes="flat")
        yield KeysLine()
        yield Panel("small", classes="flat")

    def on_mount(self) -> None:
        self.built = True
        self.one("head").show(lambda width, height: self.head_lines(width))
        self.one("small").show(foot.too_small)
        self.refresh_page()

    def one(self, id: str) -> Panel:
        """The panel of that name."""
        return self.query_one(f"#{id}", Panel)

    @property
    def list_here(self) -> RowList:
        """The list of this screen."""
        return self.query_one(RowList)

    def refresh_page(self) -> None:
        """Everything, after a change of size or of what is known."""
        if self.built:
            self.one("head").refresh()
            self.repaint()
            self.refresh_foot()

    def refresh_foot(self) -> None:
        if not self.built:
            return
        self.one("said").show(lambda width, height: [foot.saved(self.said, width)])
        if self.foot_state() != self._footed:
            self._footed = self.foot_state()
            self.refresh_bindings()

    @property
    def active_bindings(self) -> dict[str, ActiveBinding]:
        return footers.with_footer(super().active_bindings, self.foot_state(), self.desk.config.keymap)

    def bindings_here(self) -> list[ActiveBinding]:
        """The bindings of this page, though another screen may be above it."""
        return list(self.active_bindings.values())

    # Typing -----------------------------------------------------------------------------------------------

    def line_name(self, about: str) -> tuple[object, ...]:
        """What a line that is left half typed is kept by, in all of the app."""
        return self.PAGE, self.session_in_hand(), about

    def type_text(
        self,
        label: str,
        value: str,
        done: Callable[[str], None],
        *,
        at: Callable[[], tuple[int, int, int]] | None = None,
        known: Sequence[str] = (),
        anew: bool = False,
        about: str = "",
        changed: Callable[[str], None] | None = None,
        begun: str = "",
    ) -> None:
        """Open a line to type in: above the keys after `label`, or where `at` says (column, row, width).

        What `done` refuses with a DrydownError stays in the line. What is left there half typed stands there
        again when the line is opened, found by `about`, else by `label`; a line that is `begun` with a letter
        has that alone.
        """
        # Imported late: the framework's input costs milliseconds that Home can save.
        from tui.screens.base.line import LineScreen, Wanted

        self.hint_goes()
        wanted = Wanted(label, done, at, known, changed, value, anew, about or label)
        kept = self.desk.unfinished.pop(self.line_name(wanted.about), None)
        if kept is not None:
            wanted, value = replace(wanted, first=kept, anew=False), kept
        if begun:
            wanted, value = replace(wanted, anew=False), begun
        self.app.push_screen(LineScreen(self, wanted, value))

    def line_taken(self, wanted: object, text: str) -> None:
        from tui.screens.base.line import LineScreen, Wanted

        assert isinstance(wanted, Wanted)
        self.said = ""
        try:
            wanted.done(text)
        except DrydownError as problem:
            self.refresh_foot()
            brief = isinstance(problem, UsageProblem) and not self.fits(problem.sentence)
            trouble = problem.brief if brief and isinstance(problem, UsageProblem) else problem.sentence
            self.app.push_screen(LineScreen(self, wanted, text, trouble))
        else:
            self.refresh_foot()

    def line_left(self, wanted: object, text: str) -> None:
        """What was typed is there again when the line is opened."""
        from tui.screens.base.line import Wanted

        assert isinstance(wanted, Wanted)
        if wanted.changed is not None:
            wanted.changed(wanted.first)
        elif text.strip() and text != wanted.first:
            self.desk.unfinished[self.line_name(wanted.about)] = text
            self.tell(_LEFT)

    def ask(self, question: str, answers: Mapping[str, Callable[[], object]]) -> None:
        """Put a question above the keys that a digit answers; y and n stand for 1 and 0."""
        from tui.screens.base.asking import Question

        self.said = ""
        self.refresh_foot()
        self.app.push_screen(Question(question, answers))

    # g, then where ----------------------------------------------------------------------------------------

    async def action_go(self) -> None:
        from tui.screens.base.go import Go

        await self.app.push_screen(Go(self.go_to, self.tell))

    def go_to(self, where: str) -> None:
        self.desk.go(where, self.session_in_hand())

    def session_in_hand(self) -> int | None:
        """The session that `g` and a number are about."""
        return None

    def on_screen_suspend(self) -> None:
        self.covered_whole = not isinstance(self.app.screen, ModalScreen)

    def on_screen_resume(self) -> None:
        if self.covered_whole:
            self.covered_whole = False
            self.came_back()

    def came_back(self) -> None:
        """In sight again after another page: what may have changed there is looked up anew."""

    # Keys of all screens ----------------------------------------------------------------------------------

    def action_back(self) -> None:
        self.back()

    def back(self) -> None:
        """One level out: an opened row, then this screen."""
        self.go_to("home")

    def action_move(self, way: str) -> None:
        self.hint_goes()
        self.move(way)

    def move(self, way: str) -> None:
        """An arrow, a page key, Home or End."""

    def action_enter(self) -> None:
        """Open, change, take, go on."""

    def action_undo(self) -> None:
        self.tell("Nothing to undo here.")

    async def action_sheet(self) -> None:
        """Draw the reference test image; for the session in hand, where a session is."""
        await self.desk.over("sheet", self)

    def drawn_for(self) -> int | None:
        """The session that a test image drawn from here belongs to."""
        return None

    def action_redo(self) -> None:
        self.tell("Nothing to redo here.")

    async def action_help(self) -> None:
        await self.desk.over("help", self)

    async def action_palette(self) -> None:
        await self.desk.over("palette", self)

    def action_leave(self) -> None:
        """Leave, but for something half said: then only when asked for again."""
        waiting = self.waiting()
        if waiting and self.warned != waiting:
            self.warned = waiting
            self.tell(f"{waiting} Ctrl+Q again leaves without it.")
        else:
            self.app.exit()

    def waiting(self) -> str:
        """What is half said here and not saved, as a sentence; "" when nothing is."""
        return ""

    def action_dim(self) -> None:
        self.tell(f"Appearance: {self.desk.next_appearance()}.")

    def action_copy(self) -> None:
        text = self.as_text()
        self.app.copy_to_clipboard(text)
        try:
            path = self.desk.keep_copy(self.file_name(), text)
        except OSError as problem:
            why = unwritten(problem).found or "no reason given"
            self.tell(f"Sent to the terminal's clipboard, if it takes it; no file: {why}.")
        else:
            told = "Sent to the terminal's clipboard, if it takes it; also in"
            self.tell(f"{told} {short(path, self.size.width - len(told) - 4)}.")

    def action_out(self) -> None:
        self.type_text("Write to", short(Path.cwd() / self.file_name()), self._write_out)

    def _write_out(self, typed: str) -> None:
        path = typed_path(typed)
        if path.exists():
            write = partial(self.attempt, partial(self._write, path))
            self.ask(f"{path.name} exists. Write over it? 1 yes, 0 no.", {"1": write})
        else:
            self._write(path)

    def _write(self, path: Path) -> None:
        try:
            path.write_text(self.as_text(), "utf-8")
        except OSError as problem:
            why = unwritten(problem)._asdict()
            raise DrydownError("The file was not written.", where=str(path), **why) from None
        self.tell(f"Written: {short(path, self.size.width - 13)}.")
