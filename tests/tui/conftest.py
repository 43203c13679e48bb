"""A booth for tests: an archive, a clock that can be set, and an app on it that is driven by keys only."""

import asyncio
import itertools
import shutil
import time
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import textual._wait
from textual import events
from textual._compositor import Compositor
from textual._context import visible_screen_stack
from textual.app import App
from textual.css.stylesheet import Stylesheet
from textual.pilot import Pilot
from textual.strip import Strip

from evaluation.archive.connection import Archive, open_archive
from evaluation.session import PrintingCondition, Session
from evaluation.sheet.load import map_text
from evaluation.work import log
from evaluation.work.bench import Bench
from evaluation.work.describe import begin
from tui.app import DrydownApp
from tui.config import Config

TRUECOLOR = {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
NOON = datetime(2026, 11, 24, 14, 2, tzinfo=UTC)
PATIENCE = 30.0  # seconds; a machine that is shared is slow
MOST_WIDGETS = 25  # on any screen: a page costs by its widgets; project's own choice
PICTURES = Path(__file__).parent / "pictures"


class Clock:
    """Stands still unless told; every reading is a millisecond later, so that order is kept."""

    def __init__(self) -> None:
        self.at = NOON

    def __call__(self) -> datetime:
        self.at += timedelta(milliseconds=1)
        return self.at

    def forward(self, **span: float) -> None:
        self.at += timedelta(**span)


@pytest.fixture(autouse=True)
def one_time_zone(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Times are shown in local time: tests live in UTC."""
    monkeypatch.setenv("TZ", "UTC")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture(scope="session", autouse=True)
def parsed_once() -> Iterator[None]:
    """Each stylesheet is parsed once for all apps of a run; the framework does it anew for each app."""
    kept: dict[object, Any] = {}
    parse = Stylesheet._parse_rules

    def kept_rules(self: Stylesheet, css: str, *args: Any, **named: Any) -> Any:
        key = (css, args, tuple(named.items()), tuple(self._variables.items()))
        if key not in kept:
            kept[key] = parse(self, css, *args, **named)
        return kept[key]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Stylesheet, "_parse_rules", kept_rules)
        yield


@pytest.fixture(scope="session", autouse=True)
def painted_when_read() -> Iterator[None]:
    """A headless app throws its paint away: a third of these tests' time. `Driven.rows` paints, when asked.

    Terminals are painted in `test_real_terminal.py` and `test_second_program.py`, by programs of their own.
    """

    paint = Compositor.render_update

    def noted(self: Compositor, full: bool = False, **named: Any) -> Any:
        if full:  # a picture of the screen is asked for
            return paint(self, full, **named)
        self._dirty_regions.clear()
        return None

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Compositor, "render_update", noted)
        patch.setattr(
            textual._wait, "SLEEP_GRANULARITY", 0.004
        )  # seconds; two pauses a key, 20 ms each by default
        patch.setattr(textual._wait, "SLEEP_IDLE", 0.0004)
        yield


@pytest.fixture(scope="session")
def rooms(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two archives made once: one empty, one with a session. Tests work on copies, which spares the disk."""
    folder = tmp_path_factory.mktemp("rooms")
    for name in ("empty", "one"):
        with open_archive(folder / f"{name}.db", create=True) as opened:
            if name == "one":
                nine = map_text("colour-9")  # regions: a viewing takes few keys
                begin.begin(Bench(opened, now=Clock()), LUSTRE, {}, map_text=nine, map_name="colour-9")
            opened.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return folder


@pytest.fixture
def archive(request: pytest.FixtureRequest, rooms: Path, tmp_path: Path) -> Iterator[Archive]:
    name = "one" if "session" in request.fixturenames else "empty"
    path = tmp_path / "room.db"
    shutil.copyfile(rooms / f"{name}.db", path)
    with open_archive(path) as opened:
        yield opened


@pytest.fixture
def bench(archive: Archive, clock: Clock) -> Bench:
    return Bench(archive, now=clock)


LUSTRE = PrintingCondition(
    printer="Merrowby 24",
    inks="Merrowby pigment set, ten inks",
    paper="Sallowfell Lustre 247",
    media_setting="lustre, heavy",
    quality="fine",
    direction="both ways",
    driver_mode="through the profile",
    made_for="general",
    profile="lustre-fine.icc",
    intent="relative colorimetric",
    black_point_compensation=True,
    printed_at=NOON - timedelta(days=2),
    sheet_width_mm=330.2,
    sheet_height_mm=482.6,
)


@pytest.fixture
def session(bench: Bench) -> Session:
    """A session described whole, two days dry, nothing else said."""
    return log.session(bench, 1)


def painted(app: App[Any]) -> list[Strip]:
    """The screen's rows with their styles, and what shows beside an open menu or line."""
    visible_screen_stack.set(app._background_screens)
    return app.screen._compositor.render_strips()


class Driven:
    """The app under a pair of hands: keys in, rows of text out."""

    def __init__(self, pilot: Pilot[None]) -> None:
        self.pilot = pilot
        self.app = pilot.app

    async def press(self, *keys: str) -> None:
        """Press keys, then wait until threads have answered and the screen has taken it in."""
        for key in keys:
            if getattr(self.app.screen, "typing", None) is not None:
                await self.pilot.press(key)  # slower, and with the character that a line of text takes
            else:
                before = self.app.turn
                self.app.post_message(events.Key(key, None))
                await self.at_rest(before)
            if any(not worker.is_finished for worker in self.app.workers):
                await self.settle()
        await self.settle()
        assert len(self.app.screen.query("*")) <= MOST_WIDGETS, self.app.screen

    async def type(self, text: str) -> None:
        """Put text into the open line and take it, as a paste does."""
        self.app.screen.typing.value = text
        await self.press("enter")

    async def settle(self) -> None:
        await self.pilot.pause()
        await self.app.workers.wait_for_complete()
        await self.at_rest()
        await self.pilot.pause()

    async def at_rest(self, after: int = -1) -> None:
        """Wait until the key let go after that turn has gone all its way; it need not be drawn yet."""
        end = time.monotonic() + PATIENCE
        while not (self.app.at_rest and self.app.turn > after) and self.app.is_running:
            assert time.monotonic() < end, "a key is still under way"
            await asyncio.sleep(0.001)

    async def resize(self, width: int, height: int) -> None:
        await self.pilot.resize_terminal(width, height)
        await self.settle()

    @property
    def picture(self) -> str:
        return self.app.export_screenshot(title="drydown")

    @property
    def rows(self) -> list[str]:
        """The screen as text rows, as they go to the terminal."""
        return [strip.text.rstrip() for strip in painted(self.app)]

    @property
    def text(self) -> str:
        return "\n".join(self.rows)

    @property
    def here(self) -> str:
        """The row under the cursor, without the frame and the bar beside it."""
        return next(
            (" " + row.strip("│ ▆▇█▄▅▃▂▁┃") for row in self.rows if row.lstrip("│").startswith(" ▸")), ""
        )

    @property
    def saved(self) -> str:
        """The line above the keys."""
        return self.rows[self.app.size.height - 2].strip()

    @property
    def keys(self) -> str:
        return self.rows[self.app.size.height - 1].strip()


@pytest.fixture
def booth(bench: Bench) -> Callable[..., AbstractAsyncContextManager[Driven]]:
    """Opens the app on the archive; without animation, guard against bouncing keys or blinking."""

    @asynccontextmanager
    async def opened(
        size: tuple[int, int] = (80, 24),
        *,
        config: Config | None = None,
        environ: dict[str, str] | None = None,
        watch: Path | None = None,
        ticks: Callable[[], float] | None = None,
    ) -> AsyncIterator[Driven]:
        app = DrydownApp(
            bench,
            config=config or Config(bounce_ms=0),
            environ=TRUECOLOR if environ is None else environ,
            watch=watch,
            ticks=ticks or itertools.count().__next__,
        )
        app.animation_level = "none"
        async with app.run_test(size=size) as pilot:
            driven = Driven(pilot)
            await driven.settle()
            yield driven

    return opened
