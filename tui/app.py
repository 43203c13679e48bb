"""The app: one bench, Home below everything, a step of a session above it; appearance and the user's keys."""

import contextlib
import os
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Literal

from textual.binding import Binding
from textual.screen import Screen

from evaluation import unfinished
from evaluation.archive.connection import open_archive
from evaluation.errors import DrydownError, UsageProblem
from evaluation.work.bench import Bench
from tui import keys, theme
from tui.config import Config
from tui.key_order import KeyOrder
from tui.messages import GoTo
from tui.place import settings_text
from tui.screens.base import breakpoints
from tui.screens.base.page import Page
from tui.screens.home.page import Home
from tui.terminal import refuse_dumb


class DrydownApp(KeyOrder):
    """Holds what outlives a screen: bench, configuration, watched folder, what is half typed."""

    TITLE = "drydown"
    CSS_PATH = "drydown.tcss"
    ENABLE_COMMAND_PALETTE = False  # pages open it by their own keys
    BINDINGS = [Binding("ctrl+q", "quit", "leave", show=False)]
    HORIZONTAL_BREAKPOINTS = breakpoints.ACROSS
    VERTICAL_BREAKPOINTS = breakpoints.DOWN

    def __init__(
        self,
        bench: Bench,
        *,
        config: Config | None = None,
        watch: Path | None = None,
        environ: Mapping[str, str] = os.environ,
        ticks: Callable[[], float] = time.monotonic,
    ) -> None:
        self.config = config or Config()
        first = theme.appearance(self.config.theme, environ)
        super().__init__(ansi_color=True if first == theme.PLAIN else None)
        self.bench = bench
        self.watch_folder = watch
        self.unfinished: dict[tuple[object, ...], str] = {}  # by page, session and subject
        self.observers: dict[int, str] = {}  # named for a viewing, by session
        self.plain_signs = self.config.plain_signs
        self.set_class(self.plain_signs, "plain-signs")
        self.ticks = ticks  # seconds that only run forward: for bouncing keys
        for each in theme.themes():
            self.register_theme(each)
        self.bright = first
        self.set_reactive(DrydownApp.theme, first)  # its watcher would parse all stylesheets a second time
        self.stylesheet.set_variables(self.get_css_variables())
        if self.config.keymap:
            self.set_keymap(dict(self.config.keymap))

    def get_default_screen(self) -> Screen[None]:
        return Home(self.bench)

    def on_mount(self) -> None:
        self.call_after_refresh(self._fetch_heavy)

    def _fetch_heavy(self) -> None:
        """After the first frame, load what opening a session needs: a thread, so no key waits for it."""
        self.run_worker(
            self._settle_in, thread=True, group="heavy", description="loading", exit_on_error=False
        )

    def _settle_in(self) -> None:
        from tui.screens.heavy import load

        unfinished.clear(self.bench.archive.path.absolute().parent)
        load()

    @contextlib.contextmanager
    def own_bench(self) -> Iterator[Bench]:
        """A bench for a worker: same archive and clock, a connection of its own."""
        archive = self.bench.archive
        with open_archive(archive.path, read_only=archive.read_only) as own:
            yield Bench(own, self.bench.settings_text, self.bench.now)

    # Going places -----------------------------------------------------------------------------------------

    def go(self, where: str, session_id: int | None = None, others: tuple[int, ...] = ()) -> None:
        """Ask for another screen; it is opened when this key has been dealt with."""
        self.post_message(GoTo(where, session_id, others))

    async def over(self, what: Literal["sheet", "help", "palette"], page: Page) -> None:
        """Lay another screen over the page in hand; each is loaded when it is first wanted."""
        match what:
            case "sheet":
                from tui.screens.steps.draw_sheet import DrawSheet

                await self.push_screen(DrawSheet(self.bench, page.drawn_for()))
            case "help":
                from tui.screens.base.help import HelpPage

                await self.push_screen(HelpPage(self.bench, page.PAGE, page.TEXT, page.bindings_here()))
            case "palette":
                from tui.screens.base.palette import palette

                await self.push_screen(palette())

    async def on_go_to(self, event: GoTo) -> None:
        """The one place where pages follow each other. What cannot be opened is told on the page in hand."""
        event.stop()
        here = self.screen
        try:
            await self._go(event)
        except DrydownError as problem:
            if isinstance(here, Page):
                here.refused(problem)

    async def _go(self, event: GoTo) -> None:
        if event.where in ("home", "removed"):
            while len(self.screen_stack) > 1:
                await self.pop_screen()
            if event.where == "removed" and isinstance(self.screen, Home):
                self.screen.show_removed()
            return
        if event.where.startswith("tools"):
            await self._tools(event.session_id, event.where.partition("/")[2])
            return
        if event.where in ("plan", "merge"):
            await self._over_home(event.where)
        if event.where in ("plan", "merge") or event.session_id is None:
            return
        if event.where == "bundle":
            await self._bundle(event.others or self.marked() or (event.session_id,))
            return
        if event.where in ("compare", "sidebyside"):
            await self._together(event.where, event.others)
            return
        if event.where == "neutrality":
            await self._neutrality(event.session_id, event.others)
            return
        page = self._step(event.where, event.session_id, event.others)
        while len(self.screen_stack) > 2:  # what stood above the step, as the neutrality record, goes with it
            await self.pop_screen()
        await self._put(page)

    async def _put(self, page: Page) -> None:
        """Over Home, in place of the step that is there."""
        if len(self.screen_stack) > 1:
            await self.switch_screen(page)
        else:
            await self.push_screen(page)

    def _step(self, where: str, session_id: int, others: tuple[int, ...]) -> Page:
        from tui.screens.steps import which  # what the six steps need is loaded when a session is opened

        return which.page(self.bench, session_id, where, others)

    def marked(self) -> tuple[int, ...]:
        home = self.screen_stack[0]
        return tuple(home.marked) if isinstance(home, Home) else ()

    async def _neutrality(self, session_id: int, others: tuple[int, ...]) -> None:
        """The greys of what is marked on Home, or of the session in hand alone; Esc leads back to here."""
        from tui.screens.neutrality.page import Neutrality  # numpy and all that weighs come with it

        if isinstance(self.screen, Neutrality):
            return
        marked = others or self.marked()
        together = marked if session_id in marked else (session_id,)
        await self.push_screen(Neutrality(self.bench, together, session_id))

    async def _over_home(self, where: str) -> None:
        """A page about no session: it takes the place of whatever is open."""
        from tui.screens.merge.page import MergePage
        from tui.screens.plan.page import PlanPage  # replays come with it, and numpy with them

        wanted = PlanPage if where == "plan" else MergePage
        while len(self.screen_stack) > 2:
            await self.pop_screen()
        if not isinstance(self.screen, wanted):
            await self._put(wanted(self.bench))

    async def _bundle(self, sessions: tuple[int, ...]) -> None:
        from tui.screens.merge.bundle import BundlePage

        if not isinstance(self.screen, BundlePage):
            await self.push_screen(BundlePage(self.bench, sessions))

    async def _tools(self, session_id: int | None, first: str) -> None:
        """What is done beside the steps; Esc leads back to here. `first` is opened at once."""
        from tui.screens.tools.tools import Tools

        if isinstance(self.screen, Tools):
            await self.pop_screen()
        await self.push_screen(Tools(self.bench, session_id, first))

    async def _together(self, where: str, others: tuple[int, ...]) -> None:
        """What is marked on Home, compared or side by side, from wherever it is asked for."""
        from tui.screens.compare.page import Compare  # numpy and all that weighs come with it
        from tui.screens.sidebyside.page import SideBySide

        here, marked = self.screen, others or self.marked()
        wanted, key = (Compare, "c") if where == "compare" else (SideBySide, "s")
        if isinstance(here, wanted):
            return
        if len(marked) >= 2:
            await self._put(wanted(self.bench, marked))
        elif isinstance(here, Page):
            here.tell(f"Mark two sessions or more on Home with Space, then g {key}.")

    # Appearance and files ---------------------------------------------------------------------------------

    def next_appearance(self) -> str:
        """Dark, dim, light in turn. Without colours there is nothing to change."""
        if self.theme == theme.PLAIN:
            return "plain; this terminal or NO_COLOR leaves no choice"
        names = list(theme.GREYS)
        self.theme = names[(names.index(self.theme) + 1) % len(names)]
        return self.theme

    def dimmed(self) -> bool:
        """Dim the screen; True when it was dim already."""
        if self.theme in ("dim", theme.PLAIN):
            return True
        self.bright, self.theme = self.theme, "dim"
        return False

    def undim(self) -> None:
        """Back to the appearance before it was dimmed."""
        if self.theme == "dim":
            self.theme = self.bright

    def keep_copy(self, name: str, text: str) -> Path:
        """A copied text also as a file beside the archive, where it can be found again."""
        folder = self.bench.archive.path.absolute().parent / "copied"
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / name
        path.write_text(text, "utf-8")
        return path

    async def action_quit(self) -> None:
        """Ctrl+Q where no page is in hand; pages and lines have their own, for something may be half said."""
        self.exit()

    def get_key_display(self, binding: Binding) -> str:
        """How a key is written in the last line."""
        return binding.key_display or keys.written(binding.key)

    def action_help_quit(self) -> None:
        """Ctrl+C: people press it to leave; the key that does is named."""
        page = self.screen
        if hasattr(page, "tell"):
            page.tell("Ctrl+Q leaves drydown. Every entry is saved.")

    # The last resort --------------------------------------------------------------------------------------

    def _handle_exception(self, error: Exception) -> None:
        """An unexpected fault ends the app. `run_app` hands it on, to be told in one sentence; textual's own
        report, with the values of all variables, would fill the terminal.
        """
        super()._handle_exception(error)
        self._exit_renderables.clear()

    @property
    def unforeseen(self) -> Exception | None:
        """What ended the app, where that was an unexpected fault."""
        return self._exception


def run_app(
    archive_path: Path, *, watch: Path | None = None, mouse: bool = True, animation: bool = True
) -> int:
    """Open the app on an archive, making it where none is. Returns the exit code.

    Raises UsageProblem without a terminal that can show it, ArchiveProblem for an unusable archive, and
    whatever ended the app without anybody having foreseen it.
    """
    refuse_dumb(os.environ, terminal=sys.stdin.isatty() and sys.stdout.isatty())
    if watch is not None and not watch.is_dir():
        found = "a file" if watch.exists() else "nothing of that name"
        raise UsageProblem("Nothing was opened.", where=f"--watch {watch}", expected="a folder", found=found)
    for name in ("COLUMNS", "LINES"):  # a shell that exports them would freeze the size of the screen
        os.environ.pop(name, None)
    from tui import config as configuration
    from tui.place import config_folder

    config = configuration.load(config_folder())
    archive_path.parent.mkdir(parents=True, exist_ok=True)
    with open_archive(archive_path, create=not archive_path.exists()) as archive:
        app = DrydownApp(Bench(archive, settings_text()), config=config, watch=watch)
        if not (animation and config.animation):
            app.animation_level = "none"
        app.run(mouse=mouse and config.mouse)
    if app.unforeseen is not None:
        raise app.unforeseen
    return app.return_code or 0
