"""Settings stepped through: left and right change the setting, up and down the hue."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from textual.app import ComposeResult
from textual.widgets import ProgressBar

from evaluation.work.bench import Bench
from tui import keys
from tui.place import settings_path
from tui.screens.base.slow import SlowPage, Tell
from tui.screens.gamut import lines
from tui.screens.tools.choose import PICTURE, ChooseFile
from tui.widgets import head
from tui.widgets.lines import Line, texts
from tui.widgets.panel import Panel

if TYPE_CHECKING:
    from evaluation.errors import DrydownError
    from evaluation.judgement.settings_in_order import Series, SettingStep

_HUES = 6


class StepThrough(SlowPage):
    """One slice of one setting at a time, over the first or over the one before."""

    PAGE = "growth"
    BINDINGS = keys.bindings("growth")
    TEXT = (
        "Settings of one printer and paper in order. Left and Right change the setting, Up and Down the "
        "hue: lightness over chroma, the base as a line, this setting as dots. v holds it against the first "
        "setting or the one before, p a picture against all of them."
    )

    def __init__(
        self,
        bench: Bench,
        sessions: Sequence[int] = (),
        profiles: Sequence[Path] = (),
        picture: Path | None = None,
        *,
        compensation: bool = True,
    ) -> None:
        super().__init__(bench)
        self.sessions, self.profiles = tuple(sessions), tuple(profiles)
        self.picture, self.compensation = picture, compensation
        self.series: Series | None = None
        self.shown_setting, self.hue = 1, 0
        self.from_first = True

    def body(self) -> ComposeResult:
        yield Panel("slice", classes="panel here")
        yield Panel("told", "In words")
        yield ProgressBar(show_eta=False)

    def on_mount(self) -> None:
        self._work()

    def _work(self) -> None:
        work = partial(_series, self.sessions, self.profiles, self.picture, self.compensation)
        self.start_slow("series", "Comparing the settings", work, "Stopped.")

    def session_in_hand(self) -> int | None:
        return self.sessions[0] if self.sessions else None

    def head_lines(self, width: int) -> Sequence[Line]:
        step = self.step_shown
        about = "" if self.series is None or step is None else lines.place_words(self.series, step)
        return head.plain_head("Settings stepped through", about, width)

    def foot_state(self) -> str:
        return "growth.busy" if self.busy else "growth"

    @property
    def step_shown(self) -> "SettingStep | None":
        """The setting in sight, against the first or against the one before."""
        if self.series is None:
            return None
        base = 0 if self.from_first else self.shown_setting - 1
        return self.series.step(base, self.shown_setting)

    def repaint(self) -> None:
        series, step = self.series, self.step_shown
        self.show_bar()
        if series is None or step is None:
            return
        from evaluation.telling.growth import HUES

        self.one("slice").called(f"{HUES[self.hue].capitalize()}", lines.legend(series, step))
        self.one("slice").show(partial(lines.slice_lines, series, step, self.hue))
        self.one("told").show(partial(lines.told_lines, series, step, self.hue))

    def done(self, job: str, value: Any) -> None:
        super().done(job, value)
        self.series, self.said = value, ""
        self.refresh_page()

    def failed(self, job: str, problem: "DrydownError") -> None:
        if self.series is None:
            self.app.pop_screen()
            here = self.app.screen
            if hasattr(here, "show_problem"):
                here.show_problem(problem)
        else:
            super().failed(job, problem)

    # Keys -------------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        if self.series is None:
            return
        match way:
            case "left" | "right":
                last = len(self.series.settings) - 1
                self.shown_setting = min(last, max(1, self.shown_setting + (1 if way == "right" else -1)))
            case "up" | "down":
                self.hue = (self.hue + (1 if way == "down" else -1)) % _HUES
            case "home" | "end":
                self.shown_setting = 1 if way == "home" else len(self.series.settings) - 1
        self.refresh_page()

    def action_view(self) -> None:
        self.from_first = not self.from_first
        self.tell(f"Against the {'first setting' if self.from_first else 'setting before'}.")
        self.refresh_page()

    async def action_choose(self) -> None:
        await self.app.push_screen(ChooseFile(self.bench, PICTURE, self._chosen))

    def _chosen(self, path: Path) -> None:
        self.picture = path
        self._work()

    def back(self) -> None:
        if self.busy:
            self.stop()
        else:
            self.app.pop_screen()

    def as_text(self) -> str:
        """The whole series as a report."""
        if self.series is None:
            return ""
        from tui.reports.gamut import growth
        from tui.screens.tools.report_lines import report_lines

        return "\n".join(texts(report_lines(growth(self.series), 110))) + "\n"


def _series(
    sessions: Sequence[int],
    profiles: Sequence[Path],
    picture: Path | None,
    compensation: bool,
    bench: Bench,
    tell: Tell,
) -> "Series | None":
    """Worked out in a thread: colour maths comes with it."""
    from evaluation.errors import UsageProblem
    from evaluation.work import settings
    from evaluation.work.gamut import gamut, of_sessions

    if sessions:
        return of_sessions.of_sessions(bench, sessions, picture, compensation=compensation, progress=tell)
    limits = settings.in_force(bench.settings_text, settings_path().name)
    found = gamut.gamuts(
        profiles,
        picture,
        compensation=compensation,
        distance=limits["gamut_distance"],
        sheet_mean=limits["sheet_mean"],
        progress=tell,
    ).growth
    if found is None:
        raise UsageProblem(
            of_sessions.NOT_STEPPED, expected="two profiles that enclose colours", found="fewer"
        )
    return found
