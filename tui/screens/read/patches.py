"""The patches of a session: a list to find and sort in, and any of them opened with its curve and numbers."""

from collections.abc import Sequence
from functools import partial
from typing import Any, Final

from textual.app import ComposeResult

from evaluation.work import log
from evaluation.work.bench import Bench
from evaluation.work.gate import Withheld
from evaluation.work.take_in import read
from evaluation.work.weigh import patches
from evaluation.work.weigh.patches import PatchRow, PatchView, Readings
from tui import keys
from tui.screens.base.page import Page
from tui.screens.read import patch_lines
from tui.widgets import head
from tui.widgets.lines import Line, wrapped
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

_SORTS: Final = ("in the order of the sheet", "furthest from the aim first", "by name", "darkest first")


class Patches(Page):
    """Values come worked out from a thread; a patch of a region without its grade says so instead."""

    PAGE = "patches"
    BINDINGS = keys.bindings("patches")
    TEXT = (
        "Every patch that was read. Enter opens one with its curve: 0, 1, 2, 3 draw M0 to M3, * where they "
        "meet. Patches of regions you have not graded stay out of sight; Enter there asks first."
    )

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench)
        self.session_id = session_id
        self.paper = log.session(bench, session_id).condition.paper
        self.readings: Readings | None = None
        self.rows: list[PatchRow] = []
        self.match = ""
        self.sort = 0
        self.opened = False
        self.density = False

    def body(self) -> ComposeResult:
        with Frame("list", "Patches"):
            yield Panel("heading", classes="flat")
            yield RowList("patches", moved=self.moved, chosen=self.action_enter)
        yield Panel("patch", classes="panel here")

    def on_mount(self) -> None:
        self._load()

    def session_in_hand(self) -> int:
        return self.session_id

    def _load(self) -> None:
        self.tell("Working the readings out.")
        self.start_job("patches", lambda bench, _: patches.readings(bench, self.session_id))

    def done(self, job: str, value: Any) -> None:
        self.readings = value
        self.said = ""
        self._order()

    def _order(self) -> None:
        found = self.readings.rows if self.readings else ()
        wanted = self.match.casefold()
        rows = [row for row in found if wanted in f"{row.id} {row.name} {row.region}".casefold()]
        if self.sort == 1:
            rows.sort(key=lambda row: -(row.from_aim if row.from_aim is not None else -1.0))
        elif self.sort == 2:
            rows.sort(key=lambda row: row.name.casefold())
        elif self.sort == 3:
            rows.sort(key=lambda row: row.lab[0] if row.lab else 1000.0)
        self.rows = rows
        self.refresh_page()

    # Drawing ----------------------------------------------------------------------------------------------

    def foot_state(self) -> str:
        return "patches.one" if self.opened else "patches"

    def head_lines(self, width: int) -> Sequence[Line]:
        place = f"patch {self.list_here.cursor + 1} of {len(self.rows)}" if self.rows else ""
        return head.plain_head(
            f"Patches, {self.paper or 'no paper named'}, session {self.session_id}", place, width
        )

    def repaint(self) -> None:
        self.set_class(self.opened, "-opened")
        self.one("heading").show(lambda width, height: [patch_lines.heading(width)])
        self.list_here.show(self._rows, len(self.rows))
        self._draw()

    def _rows(self, start: int, count: int) -> list[Line]:
        return [patch_lines.row(each, self.list_here.room) for each in self.rows[start : start + count]]

    def _view(self) -> PatchView | Withheld | None:
        row = self.list_here.cursor
        if self.readings is None or row >= len(self.rows):
            return None
        return patches.patch_view(self.readings, self.rows[row].id)

    def _draw(self) -> None:
        """The patch under the cursor: its numbers wherever they are in sight."""
        if not (self.opened or self.size.width >= 180):
            return

        def drawn() -> None:
            found, patch = self._view(), self.one("patch")
            if found is None:
                patch.show([])
            elif isinstance(found, Withheld):
                patch.called("Out of sight")
                patch.show(lambda width, height: [f" {row}" for row in wrapped(found.reason, width - 2)])
            else:
                patch.called(f"{found.id}, {found.name}", found.region)
                patch.show(partial(patch_lines.opened, found, self.density))

        self.attempt(drawn)

    # Keys -------------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        if way == "left" and self.opened:
            self.back()
        else:
            self.list_here.move(way)

    def moved(self) -> None:
        self.one("head").refresh()
        self._draw()

    def action_enter(self) -> None:
        found = self._view()
        if isinstance(found, Withheld):
            self._ask()
        elif found is not None:
            self.opened = True
            self.refresh_page()

    def _ask(self) -> None:
        assert self.readings is not None
        waiting = self.readings.waiting
        count = "One region is" if len(waiting) == 1 else f"{len(waiting)} regions are"
        self.ask(
            f"{count} not graded. Showing them is recorded. Show? 1 yes, 0 no.",
            {"1": partial(self._reveal, waiting)},
        )

    def _reveal(self, waiting: tuple[str, ...]) -> None:
        if self.attempt(lambda: read.reveal(self.bench, self.session_id, waiting)):
            self._load()

    def back(self) -> None:
        if self.opened:
            self.opened = False
            self.refresh_page()
        elif self.match:
            self.match = ""
            self._order()
        else:
            self.app.pop_screen()

    def action_view(self) -> None:
        self.density = not self.density
        self._draw()

    def action_find(self) -> None:
        self.type_text("Find", self.match, self._find)

    def _find(self, typed: str) -> None:
        self.match = typed.strip()
        self.list_here.cursor = 0
        self._order()

    def action_sort(self) -> None:
        self.sort = (self.sort + 1) % len(_SORTS)
        self.said = f"Patches {_SORTS[self.sort]}."
        self.list_here.cursor = 0
        self._order()

    def as_text(self) -> str:
        if self.opened:
            return super().as_text()
        return "\n".join(patch_lines.tabbed(row) for row in self.rows) + "\n"

    def file_name(self) -> str:
        return f"patches-{self.session_id}.txt"
