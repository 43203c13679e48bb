"""Gamut: which profiles, against which picture; worked out with a bar, and opened as a report."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Any

from textual.app import ComposeResult
from textual.widgets import ProgressBar

from evaluation.work.bench import Bench
from tui import keys
from tui.place import settings_path
from tui.reports import Block
from tui.screens.base.choice_lines import VALUE_AT, choice_row
from tui.screens.base.paths import short
from tui.screens.base.slow import SlowPage, Tell
from tui.screens.base.text import TextPage
from tui.screens.tools.choose import PICTURE, PROFILE, ChooseFile, Kind
from tui.screens.tools.report_lines import report_lines
from tui.widgets import head
from tui.widgets.lines import Line
from tui.widgets.panel import Frame
from tui.widgets.row_list import RowList

_MAPPED = ("black mapped", "black not mapped")


class Gamut(SlowPage):
    """Files are chosen by looking through folders; the last row begins."""

    PAGE = "gamut"
    BINDINGS = keys.bindings("gamut")
    TEXT = (
        "Choose one profile or several, and a picture if you want to know how much of it they hold. The last "
        "row works it out; x takes a file off the list again."
    )

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.profiles: list[Path] = []
        self.picture: Path | None = None
        self.compensation = True

    def body(self) -> ComposeResult:
        with Frame("list", "Profiles and a picture"):
            yield RowList("choices", chosen=self.action_enter)
        yield ProgressBar(show_eta=False)

    def head_lines(self, width: int) -> Sequence[Line]:
        return head.plain_head("Gamut of profiles", "", width)

    def foot_state(self) -> str:
        return "tools.busy" if self.busy else "gamut"

    @property
    def names(self) -> list[str]:
        """What stands in each row."""
        return ["profile"] * len(self.profiles) + ["another" if self.profiles else "profile"] + [
            "picture", "black", "begin",
        ]  # fmt: skip

    def repaint(self) -> None:
        self.list_here.show(self._rows, len(self.names))
        self.show_bar()

    def _rows(self, start: int, count: int) -> list[Line]:
        room = self.list_here.room
        wide = room - VALUE_AT - 2
        picture = "none; Enter chooses one" if self.picture is None else short(self.picture, wide)
        values = [
            *(short(path, wide) for path in self.profiles),
            "Enter chooses one",
            picture,
            _MAPPED[not self.compensation],
            "Enter works it out",
        ]
        rows = [
            choice_row(name, value, (), opened=False, room=room)
            for name, value in zip(self.names, values, strict=True)
        ]
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
        match self.names[row]:
            case _ if self.busy:
                self.tell("Esc stops what is under way first.")
            case "picture":
                await self._choose(PICTURE, self._picture)
            case "black":
                self.compensation = not self.compensation
                self.refresh_page()
            case "begin":
                self._begin()
            case _:
                await self._choose(PROFILE, partial(self._profile, row))

    async def _choose(self, kind: Kind, taken: Any) -> None:
        await self.app.push_screen(ChooseFile(self.bench, kind, taken))

    def _profile(self, row: int, path: Path) -> None:
        """In place of the one in that row, or beside those that are there."""
        self.profiles[row : row + 1] = [path]
        self.list_here.cursor = self.names.index("picture") if self.picture is None else len(self.names) - 1
        self.refresh_page()

    def _picture(self, path: Path) -> None:
        self.picture = path
        self.list_here.cursor = len(self.names) - 1
        self.refresh_page()

    def action_off(self) -> None:
        row = self.list_here.cursor
        if self.names[row] == "picture":
            self.picture = None
        elif row < len(self.profiles):
            del self.profiles[row]
        else:
            self.tell("x takes the profile or picture under the cursor off.")
        self.refresh_page()

    async def action_wider(self) -> None:
        from tui.screens.gamut.page import StepThrough

        if len(self.profiles) < 2:
            self.tell("Choose two profiles or more, the lower setting first.")
        else:
            page = StepThrough(self.bench, (), self.profiles, self.picture, compensation=self.compensation)
            await self.app.push_screen(page)

    def _begin(self) -> None:
        if not self.profiles:
            self.tell("Choose a profile first.")
            return
        work = partial(_report, tuple(self.profiles), self.picture, self.compensation)
        self.start_slow("gamut", "Working the gamut out", work, "The gamut: stopped. Nothing was kept.")

    def done(self, job: str, value: Any) -> None:
        super().done(job, value)
        self.said = ""
        self.app.push_screen(TextPage(self.bench, "Gamut of profiles", partial(report_lines, value), "gamut"))
        self.refresh_page()


def _report(
    profiles: Sequence[Path], picture: Path | None, compensation: bool, bench: Bench, tell: Tell
) -> list[Block]:
    from evaluation.work import settings
    from evaluation.work.gamut import gamut
    from tui.reports.gamut import report

    limits = settings.in_force(bench.settings_text, settings_path().name)
    return report(
        gamut.gamuts(
            profiles,
            picture,
            compensation=compensation,
            distance=limits["gamut_distance"],
            sheet_mean=limits["sheet_mean"],
            progress=tell,
        )
    )
