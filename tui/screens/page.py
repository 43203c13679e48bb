"""What every screen shares: head, body, two last lines; `g`, typing, asking, copying, help, actions."""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual.events import Click, MouseEvent
from textual.events import Key as KeyPress

from evaluation.errors import DrydownError
from evaluation.plain_text import shortened
from evaluation.system_words import unwritten
from evaluation.work.bench import Bench
from tui import footers, keys
from tui.messages import GoTo
from tui.screens.paths import short
from tui.screens.prompts import Prompting
from tui.widgets import foot, head
from tui.widgets.lines import Line, text_of
from tui.widgets.part import Lines, Part

_PLACES = {"g": "next", "h": "home", "c": "compare", "n": "neutrality"}
_NO_SUCH_STEP = "After g: 1 to 6, g next open step, h Home, c Compare, n neutrality, Esc."


class Page(Prompting):
    """A full screen. Subclasses give `PAGE`, whose keys `tui.keys` lists, `body` and their lines."""

    PAGE: ClassVar[str] = ""
    TEXT: ClassVar[str] = ""  # what one does here, for the help
    HEAD_HEIGHT: ClassVar[int] = head.PLAIN_HEIGHT
    AUTO_FOCUS = None

    def __init__(self, bench: Bench) -> None:
        super().__init__()
        self.bench = bench
        self.going = False
        self.left = False  # another screen is on its way or above
        self.was_here = False
        self.warned = ""  # of what leaving would lose
        self.actions: Mapping[str, tuple[str, str]] = {}  # by key, once one was pressed

    # What subclasses fill in ------------------------------------------------------------------------------

    def body(self) -> Iterator[Part]:
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
        blocks = [part for part in self.parts.values() if isinstance(part, Lines)]
        rows = [text_of(line) for block in blocks for line in block.rows]
        return "\n".join(row.rstrip() for row in rows) + "\n"

    def file_name(self) -> str:
        return f"{self.PAGE}.txt"

    # Building and drawing ---------------------------------------------------------------------------------

    def make_parts(self) -> Iterator[Part]:
        yield Lines("head", height=self.HEAD_HEIGHT)
        yield from self.body()
        yield Lines("foot", height=foot.HEIGHT)

    def on_mount(self) -> None:
        self.refresh_page()

    def refresh_page(self) -> None:
        """Everything, after a change of size or of what is known."""
        if self.parts:
            self.one("head").show(self.head_lines(self.size.width))
            self.repaint()
            self.refresh_foot()
        if self.typing is not None:
            self.typing.put_in_place()

    def refresh_foot(self) -> None:
        if not self.parts:
            return
        width, said = self.size.width, self.said
        last = foot.keys(footers.footer(self._state(), self.drydown.config.keymap), width)
        if self.going:
            last = foot.go_line(width)
        elif self.label and said:  # the label has its line
            last = foot.saved(said, width)
        above = foot.saved(self.label or said, width, strong=self.asking is not None)
        self.one("foot").show([above, last])

    def _state(self) -> str:
        if self.asking is not None:
            return "asking" if self.asking.keys() <= {"0", "1"} else "asking.which"
        return "typing" if self.typing is not None else self.foot_state()

    # g, then where ----------------------------------------------------------------------------------------

    def action_go(self) -> None:
        self.going = True
        self.refresh_foot()

    def on_key(self, event: KeyPress) -> None:
        """Every key is taken here, in the order it came: over a slow line many arrive at once, and what one
        of them opens must be there for the next.
        """
        if self.take(event):
            event.stop()
            event.prevent_default()

    def take(self, event: KeyPress) -> bool:
        """Whether a key was ours. What is not goes on to the line that is typed in."""
        key, self.warned = event.key, ""
        if self.left:
            self.drydown.pass_on(event, self)
        elif self.typing is not None:
            return self.while_typing(self.typing, event)
        elif self.going:
            self.going = False
            self.refresh_foot()
            self._gone(key)
        elif self.asking is not None and key not in ("question_mark", "f1", "ctrl+q"):
            self.answer_asked({"y": "1", "n": "0", "escape": "0"}.get(key, key))
        else:
            return self.act(key)
        return True

    def act(self, key: str) -> bool:
        if not self.actions:
            self.actions = keys.actions(self.PAGE, self.drydown.config.keymap)
        found = self.actions.get(key)
        if found is None or not self.check_action(found[0], found[1:]):
            return False
        action = getattr(self, f"action_{found[0]}")
        action(found[1]) if found[1] else action()
        if self.drydown.screen is not self:
            self.left = True
        return True

    def on_screen_resume(self) -> None:
        self.left = False
        if self.was_here:
            self.came_back()
        self.was_here = True

    def came_back(self) -> None:
        """In sight again after another screen: what may have changed there is looked up anew."""

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

    def line_name(self, about: str) -> tuple[object, ...]:
        return self.PAGE, self.session_in_hand(), about

    # Keys of all screens ----------------------------------------------------------------------------------

    def action_back(self) -> None:
        if self.typing is not None:
            self.leave_typing()
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
        """Leave, but for something half said: then only when asked for again."""
        waiting = self.waiting()
        if waiting and self.warned != waiting:
            self.warned = waiting
            self.tell(f"{waiting} Ctrl+Q again leaves without it.")
        else:
            self.drydown.exit()

    def waiting(self) -> str:
        """What is half said here and not saved, as a sentence; "" when nothing is."""
        text = self.typing.value if self.typing is not None and self.half_typed else ""
        return f"“{shortened(text, 24)}” is not taken yet." if text else ""

    def action_dim(self) -> None:
        self.tell(f"Appearance: {self.drydown.next_appearance()}.")

    def action_copy(self) -> None:
        text = self.as_text()
        self.drydown.copy_to_clipboard(text)
        try:
            path = self.drydown.keep_copy(self.file_name(), text)
        except OSError as problem:
            why = unwritten(problem).found or "no reason told"
            self.tell(f"Sent to the terminal's clipboard, if it takes it; no file: {why}.")
        else:
            told = "Sent to the terminal's clipboard, if it takes it; also in"
            self.tell(f"{told} {short(path, self.size.width - len(told) - 4)}.")

    def action_out(self) -> None:
        self.type_text("Write to", short(Path.cwd() / self.file_name()), self._write_out)

    def _write_out(self, typed: str) -> None:
        path = Path(typed.strip()).expanduser()
        if path.exists():
            over = partial(self.attempt, partial(self._write, path))
            self.ask(f"{path.name} exists. Write over it? 1 yes, 0 no.", {"1": over})
        else:
            self._write(path)

    def _write(self, path: Path) -> None:
        try:
            path.write_text(self.as_text(), "utf-8")
        except OSError as problem:
            found, remedy = unwritten(problem)
            raise DrydownError(
                "The file was not written.", where=str(path), found=found, remedy=remedy
            ) from None
        self.tell(f"Written: {short(path, self.size.width - 13)}.")

    def _chosen(self, action: str | None) -> None:
        if action is not None:
            self.call_later(self.run_action, action)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        return self.typing is None or action in ("back", "leave", "move", "help")

    def on_click(self, event: Click) -> None:
        """While one types a click is no key: it would move away from the line."""
        if self.typing is not None:
            event.prevent_default()
            self._focus_typing()

    def _wheel(self, event: MouseEvent, rows: int) -> None:
        if self.typing is None:
            super()._wheel(event, rows)
