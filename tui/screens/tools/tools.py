"""Tools: what is done beside the six steps, a row each. What takes long shows a bar and can be stopped."""

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any, Final

from textual.app import ComposeResult
from textual.widgets import ProgressBar

from evaluation.plain_text import visible
from evaluation.work import upkeep
from evaluation.work.bench import Bench
from tui import keys
from tui.place import settings_path
from tui.reports import Block
from tui.screens.base.paths import documents, short, typed_path
from tui.screens.base.slow import SlowPage, Tell
from tui.screens.base.text import TextPage
from tui.screens.tools.choose import APPENDIX, ChooseFile
from tui.screens.tools.report_lines import report_lines
from tui.screens.tools.table import TOOLS, Tool
from tui.widgets import head
from tui.widgets.lines import Line, cell, paragraphs
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

_ABOUT_AT: Final = 30  # column of what a tool does


class Tools(SlowPage):
    """Opened by g t from anywhere; `first` is opened at once."""

    PAGE = "tools"
    BINDINGS = keys.bindings("tools")
    TEXT = (
        "What is done beside the six steps. Enter opens a row. Every one of them is also found by its name "
        "among all actions, from any page."
    )

    def __init__(self, bench: Bench, session_id: int | None = None, first: str = "") -> None:
        super().__init__(bench)
        self.session_id = session_id
        self.first = first
        self.title_of: str = ""  # what the work under way is called
        self.eye: str = ""  # the line that asked for a calibration last

    def body(self) -> ComposeResult:
        with Frame("list", "Tools"):
            yield RowList("tools", moved=self.refresh_page, chosen=self.action_enter)
        yield ProgressBar(show_eta=False)
        yield Panel("about")

    async def on_mount(self) -> None:
        ids = [tool.id for tool in TOOLS]
        if self.first in ids:
            self.list_here.cursor = ids.index(self.first)
            await self.open_tool(TOOLS[ids.index(self.first)])

    def head_lines(self, width: int) -> Sequence[Line]:
        of = f"session {self.session_id} is in hand" if self.session_id is not None else ""
        return head.plain_head("Tools", of, width)

    def session_in_hand(self) -> int | None:
        return self.session_id

    def foot_state(self) -> str:
        return "tools.busy" if self.busy else "tools"

    @property
    def tool(self) -> Tool:
        return TOOLS[self.list_here.cursor]

    def repaint(self) -> None:
        self.list_here.show(self._rows, len(TOOLS))
        self.show_bar()
        self.one("about").called(self.tool.name)
        self.one("about").show(lambda width, height: paragraphs([self.tool.about], width))

    def _rows(self, start: int, count: int) -> list[Line]:
        """Each with what it does, where there is room."""
        room = self.list_here.room - _ABOUT_AT
        beside = room >= 80
        return [
            ((f" {cell(tool.name, _ABOUT_AT - 3)}", ""), (cell(tool.about, room) if beside else "", "quiet"))
            for tool in TOOLS[start : start + count]
        ]

    def as_text(self) -> str:
        return "\n".join(f"{cell(tool.name, 26)}{tool.about}" for tool in TOOLS) + "\n"

    # Keys -------------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        self.list_here.move(way)

    def back(self) -> None:
        if self.busy:
            self.stop()
        else:
            self.app.pop_screen()

    async def action_enter(self) -> None:
        await self.open_tool(self.tool)

    async def open_tool(self, tool: Tool) -> None:
        """Do what a row says; one that is about a session needs one in hand."""
        if self.busy:
            self.tell("Esc stops what is under way first.")
        elif tool.session and self.session_id is None:
            self.tell("No session is in hand; on Home it is the one under the cursor.")
        else:
            await getattr(self, f"_{tool.id}")()

    # Short ones -------------------------------------------------------------------------------------------

    async def _neutrality(self) -> None:
        self.desk.go("neutrality", self.session_id)

    async def _plan(self) -> None:
        self.desk.go("plan")

    async def _bundle(self) -> None:
        self.desk.go("bundle", self.session_id)

    async def _merge(self) -> None:
        self.desk.go("merge")

    async def _removed(self) -> None:
        self.desk.go("removed")

    async def _lamp(self) -> None:
        from tui.screens.tools.lamps import Lamps

        await self.app.push_screen(Lamps(self.bench))

    async def _gamut(self) -> None:
        from tui.screens.tools.gamut import Gamut

        await self.app.push_screen(Gamut(self.bench))

    async def _picture(self) -> None:
        from tui.screens.tools.attach import open_attach

        assert self.session_id is not None
        await open_attach(self.app, self.bench, self.session_id)

    # Reports ----------------------------------------------------------------------------------------------

    async def _settings(self) -> None:
        self._report("settings", "Settings in force", "Reading the settings", _settings)

    async def _calibration(self) -> None:
        """Sessions marked on Home are named already."""
        line = self.eye or " ".join(["booth", *map(str, self.desk.marked())])
        self.type_text("A name, then the sessions", line, self._calibrate, about="calibration")

    def _calibrate(self, typed: str) -> None:
        from evaluation.work import calibrate

        self.eye = typed
        name, named = calibrate.asked(typed)
        work = partial(_calibrated, name, named)
        self._report("calibration", f"Calibration “{visible(name)}”", "Weighing the sessions", work)

    async def _references(self) -> None:
        """What is kept stands in the line already."""
        from evaluation.work.references import due

        kept = " ".join(map(str, due.kept(self.bench)))
        self.type_text("Keep the prints of sessions", kept, self._keep, about="references")

    def _keep(self, typed: str) -> None:
        """Raises DrydownError where these cannot be kept."""
        from evaluation.work import log
        from evaluation.work.references import due, references

        wanted = [log.session(self.bench, one).id for one in typed.replace(",", " ").split()]
        if tuple(wanted) != due.kept(self.bench):
            references.keep(self.bench, wanted)
        self._report("references", "Own references", "Looking them up", _references)

    async def _check(self) -> None:
        self._report("check", "Check of the archive", "Checking", _check)

    async def _numbers(self) -> None:
        assert self.session_id is not None
        work = partial(_numbers, self.session_id)
        self._report(
            "numbers", f"Numbers of session {self.session_id}", "Working the numbers out again", work
        )

    async def _appendix(self) -> None:
        def chosen(path: Path) -> None:
            self._report("appendix", path.name, "Checking", partial(_appendix, path))

        await self.app.push_screen(ChooseFile(self.bench, APPENDIX, chosen))

    async def _chart(self) -> None:
        assert self.session_id is not None
        work = partial(_chart, self.session_id)
        self._report("chart", f"Profiling data, session {self.session_id}", "Working it out", work)

    def _report(self, name: str, title: str, words: str, work: Callable[[Bench, Tell], Any]) -> None:
        self.title_of = title
        self.start_slow(name, words, work, f"{title}: stopped.")

    def done(self, job: str, value: Any) -> None:
        super().done(job, value)
        self.said = ""
        if job == "backup":
            self.said = f"Copied to {short(value, self.size.width - 13)}."
        elif job == "chart" and value is None:
            self.said = "No profiling data here, nor in another session on this printer and paper."
        else:
            made = value if job == "chart" else partial(report_lines, value)
            self.app.push_screen(TextPage(self.bench, self.title_of, made, job))
        self.refresh_page()

    # Backup -----------------------------------------------------------------------------------------------

    async def _backup(self) -> None:
        name = f"{self.bench.archive.path.stem}-{self.bench.now().astimezone():%Y-%m-%d}.db"
        self.type_text("Copy to", short(documents() / name), self._copy_to, about="backup")

    def _copy_to(self, typed: str) -> None:
        path = typed_path(typed)
        self.start_slow("backup", "Copying", partial(_backup, path), "No copy was made: stopped.")


def _settings(bench: Bench, _tell: Tell) -> list[Block]:
    from evaluation.work import settings
    from tui.reports.settings import report

    path = settings_path()
    document = settings.document(settings.in_force(bench.settings_text, path.name))
    return report(document, path, has_file=bench.settings_text is not None)


def _calibrated(name: str, named: Sequence[str], bench: Bench, _tell: Tell) -> Sequence[Block]:
    from evaluation.work import calibrate, log
    from tui.reports.calibration import report

    found = calibrate.calibration(bench, [log.session(bench, one).id for one in named])
    return report(found, name, bench.now().date(), settings_path())


def _references(bench: Bench, _tell: Tell) -> Sequence[Block]:
    from evaluation.work.references import references
    from tui.reports.references import report

    return report(references.references(bench))


def _check(bench: Bench, tell: Tell) -> list[Block]:
    from tui.reports.health import archive

    return archive(upkeep.check(bench, tell))


def _numbers(session_id: int, bench: Bench, tell: Tell) -> list[Block]:
    from evaluation.work import numbers
    from tui.reports.health import numbers as told

    tell(0, 1, "colour-science is loaded")
    found = numbers.check_numbers(bench, session_id)
    tell(1, 1, "done")
    return told(found)


def _appendix(path: Path, _bench: Bench, _tell: Tell) -> list[Block]:
    return [upkeep.appendix(path)]


def _chart(session_id: int, bench: Bench, _tell: Tell) -> Callable[[int], list[Line]] | None:
    from tui.screens.read import chart_lines
    from tui.screens.read.profiling import beside

    found, between = beside(session_id, bench)
    if all(each.chart is None for each in found):
        return None
    return partial(chart_lines.page, found, between)


def _backup(path: Path, bench: Bench, tell: Tell) -> Path:
    upkeep.backup(bench, path, tell)
    return path
