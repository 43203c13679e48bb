"""What every screen shares: head, body, two last lines; `g`, typing, asking, copying, help, actions."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.events import Key as KeyPress
from textual.events import Resize
from textual.screen import Screen
from textual.widget import Widget
from textual.worker import Worker, WorkerState

from evaluation.errors import DrydownError
from evaluation.plain_text import visible
from evaluation.work.bench import Bench
from tui import keys
from tui.messages import Done, Failed, GoTo, Progress
from tui.widgets import foot, head
from tui.widgets.lines import Line, Lines, text_of

if TYPE_CHECKING:
    from tui.app import DrydownApp
    from tui.widgets.typing import Typing

Job = Callable[[Bench, Callable[[str], None]], Any]
NEED = (80, 24)
_LINGER = 0.25  # seconds
_PLACES = {"g": "next", "h": "home", "c": "compare", "n": "neutrality"}
_NO_SUCH_STEP = "After g: 1 to 6, g next open step, h Home, c Compare, n neutrality, Esc."


class Page(Screen[None]):
    """A full screen. Subclasses give `PAGE`, `BINDINGS`, `body` and the text of their lines."""

    PAGE: ClassVar[str] = ""
    TEXT: ClassVar[str] = ""  # what one does here, for the help
    HEAD_HEIGHT: ClassVar[int] = head.PLAIN_HEIGHT
    AUTO_FOCUS = None
    DEFAULT_CSS = """
    Page { layers: base over; }
    Page > #small { layer: over; width: 100%; height: 100%; background: $background; }
    """

    def __init__(self, bench: Bench) -> None:
        super().__init__()
        self.bench = bench
        self.said = ""  # the last thing saved, undone or refused
        self.going = False
        self.left = False  # another screen is on its way or above
        self.asking: Mapping[str, Callable[[], None]] | None = None
        self.typing: Typing | None = None
        self.ticket = 0

    @property
    def drydown(self) -> "DrydownApp":
        return self.app  # type: ignore[return-value]

    # What subclasses fill in ------------------------------------------------------------------------------

    def body(self) -> ComposeResult:
        yield from ()

    def head_lines(self, width: int) -> Sequence[Line]:
        return head.plain_head("drydown", "", width)

    def foot_state(self) -> str:
        """The key of `keys.FOOTERS` for what may be pressed now."""
        return self.PAGE

    def repaint(self) -> None:
        """Draw the body again from what is known now."""

    def as_text(self) -> str:
        """The result on this screen, whole, as text to copy or to keep in a file."""
        rows = [text_of(line) for widget in self.query(Lines) if widget.id != "small" for line in widget.rows]
        return "\n".join(row.rstrip() for row in rows) + "\n"

    def file_name(self) -> str:
        return f"{self.PAGE}.txt"

    # Building and drawing ---------------------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        yield Lines(id="head", height=self.HEAD_HEIGHT)
        yield from self.body()
        yield Lines(id="foot", height=foot.HEIGHT)

    def on_mount(self) -> None:
        self.refresh_page()

    def on_resize(self, event: Resize) -> None:
        self.refresh_page()

    def refresh_page(self) -> None:
        """Everything, after a change of size or of what is known."""
        if not self.is_mounted:
            return
        width, height = self.size
        self._cover_small(width, height)
        self.query_one("#head", Lines).show(self.head_lines(width))
        self.repaint()
        self.refresh_foot()

    def _cover_small(self, width: int, height: int) -> None:
        """A window that is too small shows one sentence over everything; made when it is needed first."""
        too_small = width < NEED[0] or height < NEED[1]
        covers = self.query("#small").results(Lines)
        cover = next(covers, None)
        if cover is None and too_small:
            cover = Lines(id="small")
            self.mount(cover)
        if cover is not None:
            cover.display = too_small
            cover.show(foot.too_small(width, height, NEED))

    def refresh_foot(self) -> None:
        width = self.size.width
        last = foot.keys(keys.footer(self._state(), self.drydown.config.keymap), width)
        if self.going:
            last = foot.go_line(width)
        self.query_one("#foot", Lines).show(
            [foot.saved(self.said, width, strong=self.asking is not None), last]
        )

    def tell(self, sentence: str) -> None:
        """Put a sentence above the keys."""
        self.said = sentence
        self.refresh_foot()

    def _state(self) -> str:
        if self.asking is not None:
            return "asking"
        return "typing" if self.typing is not None else self.foot_state()

    # g, then where ----------------------------------------------------------------------------------------

    def action_go(self) -> None:
        self.going = True
        self.refresh_foot()

    def on_key(self, event: KeyPress) -> None:
        """Every key is taken here, in the order it came: over a slow line many arrive at once, and what one
        of them opens must be there for the next.
        """
        if self._take(event):
            event.stop()
            event.prevent_default()

    def _take(self, event: KeyPress) -> bool:
        """Whether a key was ours. What is not goes on to the line that is typed in."""
        key = event.key
        if self.left:
            self.drydown.pass_on(event, self)
        elif self.typing is not None:
            return self._while_typing(self.typing, event)
        elif self.going:
            self.going = False
            self.refresh_foot()
            self._gone(key)
        elif self.asking is not None and key not in ("question_mark", "f1", "ctrl+q"):
            self._answer_asked({"y": "1", "n": "0", "escape": "0"}.get(key, key))
        else:
            return self._act(key)
        return True

    def _while_typing(self, typing: "Typing", event: KeyPress) -> bool:
        if event.key == "enter":  # it came before the line had the focus
            self._typed(typing, typing.value)
            return True
        if event.key in ("escape", "up", "down", "f1", "ctrl+q"):
            return self._act(event.key)
        if event.is_printable and event.character is not None:  # it came before the line had the focus
            typing.early(event.character)
            return True
        return False

    def _act(self, key: str) -> bool:
        found = keys.actions(self.PAGE, self.drydown.config.keymap).get(key)
        if found is None or not self.check_action(found[0], found[1:]):
            return False
        action = getattr(self, f"action_{found[0]}")
        action(found[1]) if found[1] else action()
        if self.drydown.screen is not self:
            self.left = True
        return True

    def _answer_asked(self, key: str) -> None:
        answer = (self.asking or {}).get(key)
        if answer is not None:
            self.asking = None
            self.said = ""
            answer()
            self.refresh_foot()

    def on_screen_resume(self) -> None:
        self.left = False

    def _gone(self, key: str) -> None:
        if key in "123456" and len(key) == 1:
            self.go_to(list(keys.STEPS)[int(key) - 1])
        elif key in _PLACES:
            self.go_to(_PLACES[key])
        elif key != "escape":
            self.tell(_NO_SUCH_STEP)

    def go_to(self, where: str) -> None:
        self.left = True  # keys that still come here are for the screen that is asked for
        self.drydown.post_message(GoTo(where, self.session_in_hand()))

    def session_in_hand(self) -> int | None:
        """The session that `g` and a number are about."""
        return None

    # Typing and asking ------------------------------------------------------------------------------------

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
        self._take(event.key)

    def _typed(self, typing: "Typing", text: str) -> None:
        if typing is self.typing:
            self.stop_typing()
            self.attempt(partial(typing.done, text))

    def attempt(self, act: Callable[[], object]) -> bool:
        """Do what may be refused; a refusal is told above the keys, or in the window if it is long."""
        try:
            act()
        except DrydownError as problem:
            self.refused(problem)
            return False
        return True

    def refused(self, problem: DrydownError) -> None:
        if cell_len(problem.sentence) <= self.size.width - 2:
            self.tell(problem.sentence)
        else:
            self.show_problem(problem)

    # Keys of all screens ----------------------------------------------------------------------------------

    def action_back(self) -> None:
        if self.typing is not None:
            self.stop_typing()
        else:
            self.back()

    def back(self) -> None:
        """One level out: an opened row, then this screen."""
        self.go_to("home")

    def action_move(self, way: str) -> None:
        if self.typing is not None:
            self.typing.step(way)
        else:
            self.move(way)

    def move(self, way: str) -> None:
        """An arrow, a page key, Home or End."""

    def action_enter(self) -> None:
        """Open, change, take, go on."""

    def action_undo(self) -> None:
        self.tell("Nothing to undo here.")

    def action_redo(self) -> None:
        self.tell("Nothing to say again here.")

    def action_help(self) -> None:
        from tui.screens.help import HelpPage  # opened on demand, not on the way to the first frame

        self.drydown.push_screen(HelpPage(self.bench, self.PAGE, self.TEXT))

    def action_palette(self) -> None:
        from tui.screens.palette import Palette

        self.drydown.push_screen(Palette(self.PAGE, self.drydown.config.keymap), self._chosen)

    def action_leave(self) -> None:
        self.drydown.exit()

    def action_dim(self) -> None:
        self.tell(f"Appearance: {self.drydown.next_appearance()}.")

    def action_copy(self) -> None:
        text = self.as_text()
        self.drydown.copy_to_clipboard(text)
        try:
            path = self.drydown.keep_copy(self.file_name(), text)
        except OSError as problem:
            self.tell(f"Sent to the terminal's clipboard, if it takes it; no file: {problem.strerror}.")
        else:
            told = "Sent to the terminal's clipboard, if it takes it; also in"
            self.tell(f"{told} {short(path, self.size.width - len(told) - 4)}.")

    def action_out(self) -> None:
        self.type_text("Write to", short(Path.cwd() / self.file_name()), self._write_out)

    def _write_out(self, typed: str) -> None:
        path = Path(typed.strip()).expanduser()
        if path.exists():
            self.ask(f"{path.name} exists. Write over it? 1 yes, 0 no.", {"1": partial(self._write, path)})
        else:
            self._write(path)

    def _write(self, path: Path) -> None:
        try:
            path.write_text(self.as_text(), "utf-8")
        except OSError as problem:
            self.show_problem(
                DrydownError(
                    "The file was not written.",
                    where=str(path),
                    found=problem.strerror or "no way to write there",
                    remedy="Name another place.",
                )
            )
        else:
            self.tell(f"Written: {short(path, self.size.width - 13)}.")

    def _chosen(self, action: str | None) -> None:
        if action is not None:
            self.call_later(self.run_action, action)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        return self.typing is None or action in ("back", "leave", "move", "help")

    # Work in threads --------------------------------------------------------------------------------------

    def start_job(self, name: str, work: Job) -> None:
        """Do slow work in a thread with a connection of its own; only messages come back."""
        self.ticket += 1
        self.run_worker(
            partial(self._job, name, work, self.ticket),
            name=name,
            group=name,
            description=name,
            exit_on_error=False,
            exclusive=True,
            thread=True,
        )

    def _job(self, name: str, work: Job, ticket: int) -> None:
        try:
            with self.drydown.own_bench() as bench:
                value = work(bench, lambda words: void(self.post_message(Progress(words))))
        except DrydownError as problem:
            self.post_message(Failed(name, problem, ticket))
        else:
            self.post_message(Done(name, value, ticket))

    def on_progress(self, event: Progress) -> None:
        self.tell(event.words)

    def on_done(self, event: Done) -> None:
        """Only the newest job is waited for; an answer to an older one comes too late to matter."""
        if event.ticket == self.ticket:
            self.done(event.job, event.value)

    def on_failed(self, event: Failed) -> None:
        if event.ticket == self.ticket:
            self.failed(event.job, event.problem)

    def done(self, job: str, value: Any) -> None:
        """A job ended with a value."""

    def failed(self, job: str, problem: DrydownError) -> None:
        """A job ended with a problem; nothing was kept."""
        self.tell("")
        self.show_problem(problem)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """A job met what nobody foresaw: it is told in the same window, and the app lives."""
        if event.state is WorkerState.ERROR:
            self.tell("")
            found = f"{type(event.worker.error).__name__}: {event.worker.error}"
            self.show_problem(
                DrydownError(
                    f"“{event.worker.name}” did not finish; what was saved before stays.",
                    found=found,
                    remedy="Write this out and tell the people who make drydown.",
                )
            )

    def show_problem(self, problem: DrydownError) -> None:
        from tui.screens.problem import ProblemWindow

        self.drydown.push_screen(ProblemWindow(problem))

    def one(self, widget_id: str) -> Lines:
        return self.query_one(f"#{widget_id}", Lines)


def short(path: Path, room: int = 1000) -> str:
    """A path as people write it, with ~ for their own folder; its name alone where there is no room."""
    try:
        told = "~/" + visible(str(path.absolute().relative_to(Path.home())))
    except (ValueError, RuntimeError):
        told = visible(str(path.absolute()))
    return told if cell_len(told) <= room else visible(path.name)


def void(_: object) -> None:
    """For callbacks whose result nobody needs."""


def shown_widgets(page: Page) -> list[Widget]:
    """Widgets of a page that are in sight; for tests."""
    return [widget for widget in page.walk_children(Widget) if widget.display]
