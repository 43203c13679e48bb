"""Light sources: those that go by a name, and a spectrum in a file; each opens to its report."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Any

from textual.app import ComposeResult
from textual.widgets import ProgressBar

from evaluation.work.bench import Bench
from tui import keys
from tui.reports import Block
from tui.screens.base.slow import SlowPage, Tell
from tui.screens.base.text import TextPage
from tui.screens.tools.choose import SPECTRUM, ChooseFile
from tui.screens.tools.report_lines import report_lines
from tui.widgets import head
from tui.widgets.lines import Line, cell
from tui.widgets.panel import Frame
from tui.widgets.row_list import RowList


class Lamps(SlowPage):
    """The file comes first: the lamp of one's own booth is what one wants to know of."""

    PAGE = "lamps"
    BINDINGS = keys.bindings("lamps")
    TEXT = (
        "Enter opens the report on a light source: its colour, how it renders, its ultraviolet, and what "
        "ISO 3664 asks of a viewing booth. The first row takes a spectrum that was measured."
    )

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.names: Sequence[tuple[str, ...]] = ()

    def body(self) -> ComposeResult:
        with Frame("list", "Light sources"):
            yield RowList("lights", chosen=self.action_enter)
        yield ProgressBar(show_eta=False)

    def on_mount(self) -> None:
        self.start_slow("names", "Listing the lights", _names, "Stopped.")

    def head_lines(self, width: int) -> Sequence[Line]:
        return head.plain_head("Report on a light source", "", width)

    def foot_state(self) -> str:
        return "tools.busy" if self.busy else "tools"

    def repaint(self) -> None:
        self.list_here.show(self._rows, len(self.names) + 1)
        self.show_bar()

    def _rows(self, start: int, count: int) -> list[Line]:
        rows: list[Line] = [" a spectrum in a file ..."]
        for name, what, about in self.names:
            rows.append(f" {cell(name, 12)} {cell(what, max(20, self.list_here.room - 30))}{about:>8}")
        return rows[start : start + count]

    def move(self, way: str) -> None:
        self.list_here.move(way)

    def back(self) -> None:
        if self.busy:
            self.stop()
        else:
            self.app.pop_screen()

    async def action_enter(self) -> None:
        row = self.list_here.cursor
        if self.busy:
            self.tell("Esc stops what is under way first.")
        elif row == 0:
            await self.app.push_screen(ChooseFile(self.bench, SPECTRUM, self._chosen))
        else:
            self._work(self.names[row - 1][0])

    def _chosen(self, path: Path) -> None:
        self._work(str(path))

    def _work(self, word: str) -> None:
        self.start_slow("lamp", "Working the report out", partial(_report, word), "The report: stopped.")

    def done(self, job: str, value: Any) -> None:
        super().done(job, value)
        self.said = ""
        if job == "names":
            self.names = value
        else:
            title, blocks = value
            self.app.push_screen(TextPage(self.bench, title, partial(report_lines, blocks), "light-source"))
        self.refresh_page()


def _names(_bench: Bench, _tell: Tell) -> Sequence[tuple[str, ...]]:
    from tui.reports import lamp

    return lamp.names().rows


def _report(word: str, _bench: Bench, _tell: Tell) -> tuple[str, list[Block]]:
    from evaluation.work import lamp
    from tui.reports.lamp import report

    found = lamp.lamp(word)
    return f"Light source, {found.light.name}", report(found)
