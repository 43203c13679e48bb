"""The README tells the truth about the app: pictures as the app draws them."""

import html
import re
from pathlib import Path

import pytest

from tui.pictures import FOLDER, KEYS, drawn

README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
_TEXT = re.compile(r'<text class="[^"]*" x="([\d.]+)" y="([\d.]+)"[^>]*>(.*?)</text>')


def texts(svg: str) -> list[tuple[str, str, str]]:
    return [(x, y, html.unescape(text)) for x, y, text in _TEXT.findall(svg)]


@pytest.mark.long
async def test_the_pictures_are_what_the_app_draws_of_the_demo() -> None:
    now = await drawn()
    for name, svg in now.items():
        kept = (FOLDER / f"{name}.svg").read_text("utf-8")
        assert texts(svg), name
        assert texts(svg) == texts(kept), (
            f"{name} looks different; uv run python -m tui.pictures draws it anew"
        )


@pytest.mark.parametrize("name", KEYS)
def test_a_picture_is_shown_and_fetches_nothing(name: str) -> None:
    assert f"(tui/pictures/{name}.svg)" in README
    kept = (FOLDER / f"{name}.svg").read_text("utf-8")
    assert "url(http" not in kept and "@font-face" not in kept
    assert "<circle" not in kept
