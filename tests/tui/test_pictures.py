"""Every page as text at three sizes, and two as pictures: what no assertion on words would see.

DRYDOWN_PICTURES=write keeps new ones; look at them before they are kept for good.
"""

import itertools
import os
import re
import shutil
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from rich.color import Color, ColorType

from evaluation.archive.connection import open_archive
from evaluation.session import Session
from evaluation.work.bench import Bench
from fixtures.demo import build
from tests.tui.conftest import Driven, painted
from tui.app import DrydownApp
from tui.config import Config

NO_COLOR = {"TERM": "xterm-256color", "NO_COLOR": "1"}
TRUECOLOR = {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
PICTURES = Path(__file__).parent / "pictures"
AT = datetime(2026, 11, 24, 14, 2, tzinfo=UTC)
WIDER = [pytest.param(size, marks=pytest.mark.long) for size in ((120, 36), (180, 50))]
SIZES = [(80, 24), *WIDER]
# Keys from Home, where the newest of the six sessions stands first; Esc g h Home lead back to there.
PAGES = {
    "home": (),
    "describe": ("g", "1"),
    "prepare": ("g", "2"),
    "look": ("down", "g", "3"),
    "read": ("down", "down", "g", "4"),
    "weigh": ("down", "down", "g", "5", "down", "down"),
    "weigh-opened": ("down", "down", "g", "5", "down", "down", "enter"),
    "write-up": ("down", "down", "g", "6"),
    "neutrality": ("down", "down", "down", "g", "n"),
    "draw-sheet": ("t",),
    "help": ("question_mark",),
    "go": ("g",),
    "plan": ("g", "p", "down"),
    "bundle": ("down", "down", "g", "b", "down"),
    "merge": ("g", "m"),
    "tools": ("g", "t", "down", "down"),
    "compare": ("down", "down", "space", "end", "space", "g", "c"),  # the last: marks stay
}


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo as it is at one moment."""
    path = tmp_path_factory.mktemp("pictures") / "demo.db"
    build(path, AT)
    return path


class Opened:
    """The app on a copy of the demo, its clock standing still."""

    def __init__(self, demo: Path, folder: Path, environ: dict[str, str]) -> None:
        self.path = folder / "demo.db"
        shutil.copyfile(demo, self.path)
        self.archive = open_archive(self.path)
        bench = Bench(self.archive.__enter__(), now=lambda: AT)
        ticks = itertools.count().__next__
        self.app = DrydownApp(bench, config=Config(bounce_ms=0), environ=environ, ticks=ticks)
        self.app.animation_level = "none"

    def close(self) -> None:
        self.archive.__exit__(None, None, None)


async def shown(app: DrydownApp, pilot: Any, keys: tuple[str, ...]) -> None:
    await Driven(pilot).press(*keys)
    await pilot.pause(0.05)  # the cursor has come to rest


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_every_page_looks_as_it_was_looked_at(
    demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    """As text; and on the way: neutral greys only, nothing beyond the edge."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    opened = Opened(demo, tmp_path, TRUECOLOR)
    seen = {}
    async with opened.app.run_test(size=size) as pilot:
        for page, keys in PAGES.items():
            await shown(opened.app, pilot, keys)
            strips = painted(opened.app)
            assert all(strip.cell_length <= size[0] for strip in strips)
            for segment in itertools.chain.from_iterable(strips):
                for colour in (segment.style.color, segment.style.bgcolor) if segment.style else ():
                    if colour is not None and colour.type is ColorType.TRUECOLOR and colour.triplet:
                        assert len(set(colour.triplet)) == 1, (segment.text, colour)
            seen[page] = "\n".join(strip.text.rstrip() for strip in strips) + "\n"
            await shown(opened.app, pilot, ("escape", "g", "h", "home"))
    opened.close()
    for page, text in seen.items():
        compare(f"{page}-{size[0]}x{size[1]}.txt", text)


@pytest.mark.long
@pytest.mark.parametrize("theme", ["dark", "dim", "light"])
async def test_every_word_stands_out_from_its_ground(demo: Path, tmp_path: Path, theme: str) -> None:
    """On every page and in every theme, 4.5:1 at least: W3C, WCAG 2.2, success criterion 1.4.3."""
    opened = Opened(demo, tmp_path, TRUECOLOR)
    async with opened.app.run_test(size=(120, 36)) as pilot:
        opened.app.theme = theme
        for keys in PAGES.values():
            await shown(opened.app, pilot, keys)
            for segment in itertools.chain.from_iterable(painted(opened.app)):
                style = segment.style
                if style and style.color and style.bgcolor and any(map(str.isalnum, segment.text)):
                    lighter, darker = sorted(map(luminance, (style.color, style.bgcolor)), reverse=True)
                    assert (lighter + 0.05) / (darker + 0.05) >= 4.5, (keys, segment.text)
            await shown(opened.app, pilot, ("escape", "g", "h", "home"))
    opened.close()


def luminance(colour: Color) -> float:
    """Relative luminance of an sRGB colour, 0 to 1 (WCAG 2.2, IEC 61966-2-1)."""
    assert colour.triplet is not None
    linear = [
        each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4
        for each in (value / 255 for value in colour.triplet)
    ]
    return float(np.dot(linear, [0.2126, 0.7152, 0.0722]))


@pytest.mark.long
@pytest.mark.parametrize("page", ["look", "weigh"])
async def test_the_map_and_the_plot_as_pictures(
    demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, page: str
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    opened = Opened(demo, tmp_path, TRUECOLOR)
    async with opened.app.run_test(size=(120, 36)) as pilot:
        await shown(opened.app, pilot, PAGES[page])
        picture = opened.app.export_screenshot(title="drydown")
    opened.close()
    compare(f"{page}-120x36.svg", re.sub(r"terminal-\d+", "terminal", picture))


async def test_without_colour_nothing_but_bold_and_reverse_is_sent(booth: Any, session: Session) -> None:
    """NO_COLOR: default colours only, in the picture as on the wire."""
    async with booth(environ=NO_COLOR) as app:
        assert app.app.theme == "plain"
        for step in "h123":
            await app.press("g", step)
            for strip in painted(app.app):
                for segment in strip:
                    style = segment.style
                    for colour in (style.color, style.bgcolor) if style else ():
                        assert colour is None or colour.is_default, (segment.text, colour)
        await app.press("colon")
        here, below = (
            next(one.style for one in strip if "   " in one.text) for strip in painted(app.app)[5:7]
        )
        assert here and here.underline and here.bold and below and not below.underline, "where one stands"


def compare(name: str, now: str) -> None:
    """With the picture kept under a name. DRYDOWN_PICTURES=write keeps new ones."""
    path = PICTURES / name
    if os.environ.get("DRYDOWN_PICTURES") == "write":
        PICTURES.mkdir(exist_ok=True)
        path.write_text(now, "utf-8")
    assert path.exists(), f"no picture of {name} is kept; DRYDOWN_PICTURES=write makes one to look at"
    assert now == path.read_text("utf-8"), f"{name} looks different; DRYDOWN_PICTURES=write keeps it"
