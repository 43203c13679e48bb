"""Read: a file is looked at first, then taken in. Its facts are shown, its values only behind the gate."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Any

from textual.events import Key

from evaluation.errors import DrydownError, UsageProblem
from evaluation.readings.supplied import Doubtful, OpenQuestions, Supplied
from evaluation.work import log
from evaluation.work.bench import Bench
from evaluation.work.take_in import files, read
from evaluation.work.take_in.facts import FileFact
from tui import keys
from tui.screens.base.choice_lines import letter_of
from tui.screens.base.paths import short, typed_path
from tui.screens.read.file import FileInHand
from tui.screens.read.folder import ReadingsFolder
from tui.screens.steps.step import clock
from tui.widgets.lines import Line
from tui.widgets.panel import Frame


class Read(ReadingsFolder):
    """Files of the folder, newest first; one opened to its facts; what it leaves open is asked."""

    PAGE = "read"
    BINDINGS = keys.bindings("read")
    TEXT = (
        "Enter reads the file under the cursor and shows what it states; t takes it in. Nothing is kept "
        "before. p types readings patch by patch. Values of regions you have not graded stay out of sight; "
        "v shows the patches. m shows profiling data, printed unmanaged: black, greys, settings side by side."
    )

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench, session_id)
        self.wanted: FileInHand | None = None  # being read, or open
        self.said_of: dict[Path, Supplied] = {}  # about files that were opened here
        self.mistyped = ""  # a path that was typed and could not be read: it stands there again

    @property
    def busy(self) -> bool:
        return self.wanted is not None

    @property
    def opened(self) -> FileInHand | None:
        """The file whose rows are shown in place of the folder's."""
        return self.wanted if self.wanted is not None and self.wanted.state != "unread" else None

    def done(self, job: str, value: Any) -> None:
        if job == "chart":
            self.show_chart(*value)
        elif self.wanted is not None:
            self.wanted.known(value)
            self.said_of[self.wanted.path] = self.wanted.words
            self._open_with("Not taken in yet. The archive is unchanged.")

    def failed(self, job: str, problem: DrydownError) -> None:
        if isinstance(problem, OpenQuestions | Doubtful) and problem.questions and self.wanted is not None:
            self.wanted.asks = problem.questions
            self.said_of[self.wanted.path] = self.wanted.words
            changes = "The file leaves this open, and it changes numbers. Nothing is guessed."
            self._open_with(changes if isinstance(problem, OpenQuestions) else f"Found: {problem.found}.")
        else:
            self._close("")
            self.show_problem(problem)

    def _open_with(self, sentence: str) -> None:
        """Show the file in hand, the cursor on what it leaves open."""
        assert self.wanted is not None
        self.said, self.mistyped = sentence, ""
        self.list_here.cursor = self.wanted.first_open
        self.refresh_page()

    def _close(self, sentence: str) -> None:
        """Back to the folder and the file in it; an answer that is still on its way comes too late."""
        self.ticket += 1
        paths = [each.path for each in self.found]
        if self.opened and self.opened.path in paths:
            self.list_here.cursor = paths.index(self.opened.path)
        self.wanted, self.said = None, sentence
        self.refresh_page()

    # Drawing ----------------------------------------------------------------------------------------------

    def foot_state(self) -> str:
        return f"read.{self.opened.state}" if self.opened else "read.files"

    def repaint(self) -> None:
        opened, rows = self.opened, self.list_here
        above, below, frame = self.one("above"), self.one("below"), self.query_one("#list", Frame)
        above.display, below.display = opened is None, opened is not None
        if opened is None:
            none = "" if self.found else ": no measurement file" + f" with “{self.match}”" * bool(self.match)
            frame.called(f"Files in {short(self.folder)}{none}")
            rows.show(self._file_rows, len(self.found) + 1)
            above.show(self._above)
        else:
            frame.called(opened.path.name)
            rows.show(partial(self._opened_rows, opened), opened.count)
            below.show(self._below)

    def _below(self, width: int, height: int) -> Sequence[Line]:
        opened = self.opened
        rows = self.list_here
        return opened.below(rows.cursor, self.session, self.sheet, width, rows.room) if opened else []

    def _opened_rows(self, opened: FileInHand, start: int, count: int) -> list[Line]:
        return opened.rows(start, count, width=self.list_here.room)

    # Keys -------------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        if way == "left" and self.opened:
            self.back()
        else:
            self.list_here.move(way)

    def moved(self) -> None:
        if self.opened:
            self.opened.choosing = False
            self.repaint()

    def back(self) -> None:
        if self.opened and self.opened.choosing:
            self.opened.choosing = False
            self.refresh_page()
        elif self.wanted is not None:
            self._close("Nothing was taken in.")
        elif self.match:
            self.match = ""
            self._list()
            self.refresh_page()
        else:
            super().back()

    def action_enter(self) -> None:
        row, opened = self.list_here.cursor, self.opened
        if opened is None:
            if row < len(self.found):
                self._open(self.found[row].path, self.found[row].kept_as)
            else:
                path, self.mistyped = self.mistyped or short(self.folder) + "/", ""
                self.type_text("File or folder", path, self._path_typed)
            return
        about, answers = opened.answers(row)
        if opened.asks:
            self.type_text(opened.asks[row].question, "", partial(self._say, about), known=answers)
            return
        fact = opened.facts[row]
        if not about:
            self.tell("That is as the file has it.")
        elif answers and not (opened.choosing and fact.free):
            opened.choosing = not opened.choosing
            self.refresh_page()
        else:
            self._type_fact(fact)

    def on_key(self, event: Key) -> None:
        """A letter in an opened row that can also be typed is its first."""
        letter, opened = letter_of(event), self.opened
        if letter and opened is not None and opened.choosing:
            fact = opened.facts[self.list_here.cursor]
            if fact.free:
                event.stop()
                self._type_fact(fact, letter)

    def _type_fact(self, fact: FileFact, begun: str = "") -> None:
        before = "" if fact.value == "not stated" else fact.value
        self.type_text(fact.name, before, partial(self._say, fact.field), begun=begun)

    def _path_typed(self, typed: str) -> None:
        path = typed_path(typed)
        if path.is_dir():
            self.folder = path
            files.remember_folder(self.bench, path)
            self._list()
            self.refresh_page()
        elif not path.exists():
            raise UsageProblem(
                "Nothing was taken in.",
                where=str(path),
                expected="a file or folder",
                found="none of that name",
            )
        else:
            self.mistyped = typed  # until the file is read
            self._open(path)

    def _open(self, path: Path, kept_as: str = "") -> None:
        self.wanted = FileInHand(path, kept_as, self.said_of.get(path, Supplied()))
        self._read(self.wanted)

    def _read(self, wanted: FileInHand) -> None:
        self.tell(f"Reading {wanted.path.name}. Esc stops; nothing is taken in yet.")
        self.start_job("file", wanted.reading(self.session_id))

    def _say(self, about: str, answer: str) -> None:
        """Something is said about the file: it is read anew with that."""
        if self.opened:
            self.opened.say(about, answer)
            self._read(self.opened)

    def action_digit(self, digit: str) -> None:
        about, answers = self.opened.answers(self.list_here.cursor) if self.opened else ("", ())
        if not 1 <= int(digit) <= len(answers):
            self.tell(f"Answers run from 1 to {len(answers)}." if answers else "Nothing to choose here.")
        else:
            self.attempt(partial(self._say, about, answers[int(digit) - 1]))

    def action_take(self) -> None:
        opened = self.opened
        preview = opened.preview if opened and not opened.asks else None
        if opened is None or preview is None:
            asked = "Answer the question first, or Esc leaves the file out."
            self.tell(asked if opened else "Enter reads a file first; then t takes it in.")
        elif self.save(lambda: read.take_in(self.bench, self.session_id, preview)):
            if not opened.kept_as:
                files.remember_folder(self.bench, opened.path.absolute().parent)
            self._close(f"Saved {clock(self.bench.now())}. Taken in: {preview.name}.")

    def covered(self) -> str:
        return "Esc closes the file first." if self.opened else ""

    def came_back(self) -> None:
        """Readings may have been typed on another screen, or shown."""
        before, self.session = self.session.runs, log.session(self.bench, self.session_id)
        if self.session.runs != before:
            self._taken()
            self._list()
        self.refresh_page()

    def as_text(self) -> str:
        rows = [self.print_title(), ""]
        rows += [f"{each.name}: {each.about}" for each in self.taken]
        facts = self.opened.facts if self.opened else ()
        rows += [f"{fact.name:<14}{fact.value:<34}{fact.note}".rstrip() for fact in facts]
        return "\n".join(rows) + "\n"
