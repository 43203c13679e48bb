"""Read: a file is looked at first, then taken in. Its facts are shown, its values only behind the gate."""

from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import Any, Final, Literal

from evaluation.errors import DrydownError
from evaluation.readings.said import Ask, Asked, Said
from evaluation.work import files, read
from evaluation.work.bench import Bench
from evaluation.work.files import Candidate, Fact, TakenFile
from evaluation.work.read import Preview
from tui.screens import read_lines
from tui.screens.paths import short
from tui.screens.step import StepPage
from tui.widgets.lines import Line, cell
from tui.widgets.part import Lines, Part
from tui.widgets.rows import Rows

Mode = Literal["files", "preview", "asked"]
_LOOK_EVERY: Final = 2.0  # seconds, for new files in the folder


class Read(StepPage):
    """Files of the folder, newest first; one opened to its facts; what it leaves open is asked."""

    PAGE = "read"
    TEXT = (
        "Enter reads the file under the cursor and shows what it states; t takes it in. Nothing is kept "
        "before. p types readings patch by patch. Values of regions you have not graded stay out of sight; "
        "v shows the patches."
    )

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench, session_id)
        self.mode: Mode = "files"
        self.folder = Path()
        self.found: tuple[Candidate, ...] = ()
        self.taken: tuple[TakenFile, ...] = ()
        self.path = Path()
        self.words = Said()
        self.by_order = False
        self.preview: Preview | None = None
        self.facts: tuple[Fact, ...] = ()
        self.asks: tuple[Ask, ...] = ()
        self.choosing = False
        self.match = ""

    def body(self) -> Iterator[Part]:
        yield Lines("above", height=1)
        yield Rows("rows", moved=self.moved, chosen=self.action_enter)
        yield Lines("below", height=1)

    def on_mount(self) -> None:
        self.folder = files.folder(self.bench, self.drydown.watch_folder)
        self._list()
        self._taken()
        self.set_interval(_LOOK_EVERY, self._look)

    # What is there ----------------------------------------------------------------------------------------

    def _list(self) -> None:
        def listed() -> None:
            self.found = tuple(
                each
                for each in files.candidates(self.folder)
                if self.match.casefold() in each.path.name.casefold()
            )

        self.found = ()
        self.attempt(listed)

    def _look(self) -> None:
        """A file that comes into the folder is offered by itself."""
        if self.mode != "files" or self.typing is not None:
            return
        before = {each.path for each in self.found}
        self._list()
        new = [each for each in self.found if each.path not in before]
        if new:
            self.said = f"New file: {new[0].path.name}."
            self.list_here.cursor = 0
        if new or len(before) != len(self.found):
            self.refresh_page()

    def _taken(self) -> None:
        self.taken = files.taken_files(self.bench, self.session)

    def done(self, job: str, value: Any) -> None:
        self.preview, self.facts = value
        self.mode, self.choosing, self.said = (
            "preview",
            False,
            "Not taken in yet. The archive is unchanged.",
        )
        self.list_here.cursor = next(
            (row for row, fact in enumerate(self.facts) if fact.value == "not stated" and fact.field), 0
        )
        self.refresh_page()

    def failed(self, job: str, problem: DrydownError) -> None:
        if isinstance(problem, Asked):
            self.asks = problem.asks
            self.mode, self.said = (
                "asked",
                "The file leaves this open, and it changes numbers. Nothing is guessed.",
            )
            self.list_here.cursor = 0
            self.refresh_page()
        else:
            self.mode = "files"
            self.said = ""
            self.refresh_page()
            self.show_problem(problem)

    # Drawing ----------------------------------------------------------------------------------------------

    def foot_state(self) -> str:
        return "read.files" if self.mode == "files" else f"read.{self.mode}"

    def repaint(self) -> None:
        width = self.size.width
        rows = self.list_here
        below: Sequence[Line] = ()
        if self.mode == "files":
            above = read_lines.files_head(self.taken, short(self.folder), width)
            rows.show(self._file_rows, len(self.found) + 1)
        elif self.mode == "asked":
            above = ["", f"   File         {cell(self.path.name, width - 18)}", ""]
            rows.show(self._ask_rows, len(self.asks))
            below = read_lines.ask_foot(self.asks[rows.cursor], width) if self.asks else ()
        else:
            assert self.preview is not None
            above = ["", f"   File         {cell(self.preview.name, width - 18)}", ""]
            rows.show(self._fact_rows, len(self.facts))
            values = files.values_line(self.session, self.sheet, self.preview)
            options = self.facts[rows.cursor].answers if self.choosing else ()
            below = read_lines.preview_foot(self.preview.remarks, values, options, width)
        self.one("above").show(above)
        self.one("above").height = len(above)
        self.one("below").show(below)
        self.one("below").height = len(below)

    def _file_rows(self, start: int, count: int) -> list[Line]:
        lines: list[Line] = [
            read_lines.file_row(each, self.size.width) for each in self.found[start : start + count]
        ]
        if start + count > len(self.found):
            lines.append((("  another file or folder ...", "quiet"),))
        return lines

    def _fact_rows(self, start: int, count: int) -> list[Line]:
        return [read_lines.fact_row(fact, self.size.width) for fact in self.facts[start : start + count]]

    def _ask_rows(self, start: int, count: int) -> list[Line]:
        return [read_lines.ask_row(ask, self.size.width) for ask in self.asks[start : start + count]]

    # Keys -------------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        if way == "left" and self.mode != "files":
            self.back()
        else:
            self.list_here.move(way)

    def moved(self) -> None:
        self.choosing = False
        if self.mode != "files":
            self.repaint()

    def back(self) -> None:
        if self.choosing:
            self.choosing = False
            self.refresh_page()
        elif self.mode != "files":
            self.mode, self.preview, self.words, self.said = "files", None, Said(), "Nothing was taken in."
            self.refresh_page()
        elif self.match:
            self.match = ""
            self._list()
            self.refresh_page()
        else:
            super().back()

    def action_enter(self) -> None:
        row = self.list_here.cursor
        if self.mode == "files":
            if row < len(self.found):
                self._open(self.found[row].path)
            else:
                self.type_text("File or folder", short(self.folder) + "/", self._path_typed)
        elif self.mode == "asked":
            ask = self.asks[row]
            self.type_text(ask.question, "", partial(self._say, ask.field), known=ask.answers)
        else:
            fact = self.facts[row]
            if not fact.field:
                self.tell("That is as the file has it.")
            elif fact.answers and not (self.choosing and fact.free):
                self.choosing = not self.choosing
                self.refresh_page()
            else:
                self.type_text(
                    fact.name,
                    "" if fact.value == "not stated" else fact.value,
                    partial(self._say, fact.field),
                )

    def _path_typed(self, typed: str) -> None:
        path = Path(typed.strip()).expanduser()
        if path.is_dir():
            self.folder = path
            files.remember_folder(self.bench, path)
            self._list()
            self.refresh_page()
        else:
            self._open(path)

    def _open(self, path: Path) -> None:
        self.path, self.words, self.by_order = path, Said(), False
        self._read()

    def _read(self) -> None:
        self.tell(f"Reading {self.path.name}. Esc stops; nothing is taken in yet.")
        self.start_job("file", partial(_preview, self.session_id, self.path, self.words, self.by_order))

    def _say(self, field: str, answer: str) -> None:
        """Something is said about the file: it is read anew with that."""
        self.words = files.said_with(self.words, field, answer)
        self.choosing = False
        self._read()

    def action_digit(self, digit: str) -> None:
        row = self.list_here.cursor
        answers: tuple[str, ...] = ()
        field = ""
        if self.mode == "asked":
            answers, field = self.asks[row].answers, self.asks[row].field
        elif self.mode == "preview":
            answers, field = self.facts[row].answers, self.facts[row].field
        if not 1 <= int(digit) <= len(answers):
            self.tell(f"Answers run from 1 to {len(answers)}." if answers else "Nothing to choose here.")
        else:
            self.attempt(partial(self._say, field, answers[int(digit) - 1]))

    def action_take(self) -> None:
        preview = self.preview
        if preview is None or self.mode != "preview":
            self.tell("Enter reads a file first; then t takes it in.")
            return
        if self.save(lambda: read.take_in(self.bench, self.session_id, preview)):
            files.remember_folder(self.bench, self.path.absolute().parent)
            self.said = f"Taken in: {preview.name}. {self.said}"
            self.mode, self.preview, self.words = "files", None, Said()
            self.list_here.cursor = 0
            self._taken()
            self.refresh_page()

    def action_leave_out(self) -> None:
        if not self.taken:
            self.tell("No readings are in.")
        elif len(self.taken) == 1:
            self._leave_out(self.taken[0])
        else:
            numbered = list(enumerate(self.taken[:9], 1))
            names = ", ".join(f"{place} {each.name}" for place, each in numbered)
            answers = {str(place): partial(self._leave_out, each) for place, each in numbered}
            self.ask(f"Leave out which? {names}; 0 none.", answers)

    def _leave_out(self, taken: TakenFile) -> None:
        if self.save(partial(files.leave_out, self.bench, self.session_id, taken)):
            self.tell(f"{taken.name} left out. u brings it back.")

    def changed(self) -> None:
        self._taken()
        super().changed()

    def action_view(self) -> None:
        if not self.session.runs:
            self.tell("No readings are in yet.")
            return
        from tui.screens.patches import Patches

        self.drydown.push_screen(Patches(self.bench, self.session_id))

    def action_type_in(self) -> None:
        from tui.screens.typed import Typed

        self.attempt(lambda: self.drydown.push_screen(Typed(self.bench, self.session_id)))

    def came_back(self) -> None:
        """Readings may have been typed on another screen, or shown."""
        from evaluation.work import say

        before, self.session = self.session.runs, say.session(self.bench, self.session_id)
        if self.session.runs != before:
            self._taken()
        self.refresh_page()

    def action_find(self) -> None:
        self.type_text("Find", self.match, self._find)

    def _find(self, typed: str) -> None:
        self.match = typed.strip()
        self._list()
        self.refresh_page()

    def action_sort(self) -> None:
        self.tell("Files stand newest first.")

    def as_text(self) -> str:
        rows = [self.print_title(), ""]
        rows += [f"{each.name}: {each.about}" for each in self.taken]
        rows += [f"{fact.name:<14}{fact.value:<34}{fact.note}".rstrip() for fact in self.facts]
        return "\n".join(rows) + "\n"


def _preview(
    session_id: int, path: Path, words: Said, by_order: bool, bench: Bench, _progress: object
) -> tuple[Preview, tuple[Fact, ...]]:
    found = read.preview(bench, session_id, path, words, by_order=by_order)
    return found, files.facts(bench, session_id, found)
