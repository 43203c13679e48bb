"""The folder that Read looks into: its files, those that are in, and what comes into it meanwhile."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Final

from textual.app import ComposeResult

from evaluation.errors import DrydownError
from evaluation.work.bench import Bench
from evaluation.work.charts import kept
from evaluation.work.take_in import files
from evaluation.work.take_in.files import Candidate, TakenFile
from tui.screens.read import chart_lines
from tui.screens.read import lines as read_lines
from tui.screens.read.profiling import ProfilingData
from tui.widgets.lines import Line
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

_LOOK_EVERY: Final = 2.0  # seconds, for new files in the folder


class ReadingsFolder(ProfilingData):
    """Files of the folder, newest first, and the readings that are in; a file in hand is Read's own."""

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench, session_id)
        self.folder = Path()
        self.match = ""
        self.not_listed = ""  # why the folder could not be
        self.found: tuple[Candidate, ...] = ()
        self.taken: tuple[TakenFile, ...] = ()
        self.own: Candidate | None = None  # the session's profile, where readings in it wait

    @property
    def busy(self) -> bool:
        """Whether a file is in hand, so that the folder does not show."""
        return False

    def body(self) -> ComposeResult:
        yield Panel("above", "Readings that are in")
        with Frame("list"):
            yield RowList("rows", moved=self.moved, chosen=self.action_enter)
        yield Panel("below")

    def on_mount(self) -> None:
        self.folder = files.folder(self.bench, self.desk.watch_folder)
        self._taken()
        self._list()
        self.set_interval(_LOOK_EVERY, self._look)

    # What is there ----------------------------------------------------------------------------------------

    def _list(self) -> None:
        """The files of the folder; one that cannot be listed holds none, and that is told once."""
        try:
            found, trouble = files.candidates(self.folder), ""
        except DrydownError as problem:
            found, trouble = (), f"{problem.what.rstrip('.')}: {problem.found}. {problem.where}"
        match = self.match.casefold()
        own = () if self.own is None else (self.own,)
        self.found = tuple(each for each in (*own, *found) if match in each.path.name.casefold())
        if trouble and trouble != self.not_listed:
            self.said = trouble
        self.not_listed = trouble

    def _look(self) -> None:
        """A file that comes into the folder is offered by itself."""
        if self.busy or self.app.screen is not self:
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
        self.own = files.own_profile(self.bench, self.session)
        self.offered = kept.offered(self.bench, self.session)

    def _above(self, width: int, height: int) -> Sequence[Line]:
        own = any(each.unmanaged for each in self.taken)
        return [
            *read_lines.readings_in(self.taken, width),
            *chart_lines.offer(self.offered, width, own=own),
        ]

    def _file_rows(self, start: int, count: int) -> list[Line]:
        lines: list[Line] = [
            read_lines.file_row(each, self.list_here.room) for each in self.found[start : start + count]
        ]
        if start + count > len(self.found):
            lines.append((("  another file or folder ...", "quiet"),))
        return lines

    # Keys -------------------------------------------------------------------------------------------------

    def action_find(self) -> None:
        self.type_text("Find", self.match, self._find)

    def _find(self, typed: str) -> None:
        self.match = typed.strip()
        self._list()
        self.refresh_page()

    def action_sort(self) -> None:
        self.tell("Files stand newest first.")

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
        self._list()
        super().changed()

    def action_view(self) -> None:
        if not self.session.runs:
            self.tell("No readings are in yet.")
            return
        from tui.screens.read.patches import Patches

        self.app.push_screen(Patches(self.bench, self.session_id))

    def action_type_in(self) -> None:
        from tui.screens.read.typed import Typed

        self.attempt(lambda: self.app.push_screen(Typed(self.bench, self.session_id)))
