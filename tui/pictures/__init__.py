"""The README's pictures: screens of the demo, drawn by the app. `uv run python -m tui.pictures` writes them.

The clock stands still, so that the same app draws the same pictures.
"""

import itertools
import re
import tempfile
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from evaluation.archive.connection import open_archive
from evaluation.work.bench import Bench
from fixtures.demo import build
from tui.app import DrydownApp
from tui.config import Config

FOLDER: Final = Path(__file__).parent
SIZE: Final = (80, 24)
AT: Final = datetime(2026, 11, 24, 14, 2, tzinfo=UTC)
# Keys from Home, where the newest of the six sessions stands first.
KEYS: Final[Mapping[str, tuple[str, ...]]] = {
    "look": ("down", "g", "3"),
    "weigh": ("down", "down", "g", "5"),
}
_TERMINAL: Final = {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
# Fonts would be fetched from another host; any font of even width does.
_FONTS: Final = re.compile(r"@font-face \{.*?\}\s*", re.DOTALL)
# Three coloured buttons, drawn as one desktop has them on its windows.
_BUTTONS: Final = re.compile(r"<circle [^>]*/>\s*")


async def drawn() -> dict[str, str]:
    """Every picture by its name, as SVG, from a demo archive made for it."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "demo.db"
        build(path, AT)
        with open_archive(path) as archive:
            bench = Bench(archive, now=lambda: AT)
            return {name: await _picture(bench, keys) for name, keys in KEYS.items()}


async def _picture(bench: Bench, keys: tuple[str, ...]) -> str:
    app = DrydownApp(bench, config=Config(bounce_ms=0), environ=_TERMINAL, ticks=itertools.count().__next__)
    app.animation_level = "none"
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        for key in keys:
            await pilot.press(key)
            await app.workers.wait_for_complete()
            await pilot.pause()
        svg = re.sub(r"terminal-\d+", "terminal", app.export_screenshot(title="drydown"))
    return _BUTTONS.sub("", _FONTS.sub("", svg)).replace("Fira Code, monospace", "monospace")
