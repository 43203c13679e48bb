"""A few screens as pictures: what no assertion on words would see. The clock stands still, nothing blinks.

DRYDOWN_PICTURES=write keeps new ones; look at them before they are kept for good.
"""

from typing import Any

import pytest

from evaluation.session import Grade, Session
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.look import look

NO_COLOR = {"TERM": "xterm-256color", "NO_COLOR": "1"}


@pytest.fixture
def graded(bench: Bench, session: Session) -> Session:
    """A short viewing: all regions graded 4, the shadows 2."""
    look.start(bench, session.id, kind="quick")
    for region in sheet_of(bench, session).regions:
        if region.whole:
            look.answer(
                bench, session.id, region.id, region.whole.id, Grade(2 if region.id == "shadow" else 4)
            )
    return session


async def test_home(booth: Any, session: Session, same_picture: Any) -> None:
    async with booth() as app:
        same_picture(app, "home-80x24")


async def test_prepare_without_colour(booth: Any, session: Session, same_picture: Any) -> None:
    async with booth(environ=NO_COLOR) as app:
        await app.press("g", "2", "1", "2")
        same_picture(app, "prepare-80x24-no-color")


@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_look(
    booth: Any, bench: Bench, session: Session, same_picture: Any, size: tuple[int, int]
) -> None:
    look.start(bench, session.id)
    look.answer(bench, session.id, "neutral", "crossover", Grade(4))
    async with booth(size) as app:
        await app.press("g", "3", "3")
        same_picture(app, f"look-{size[0]}x{size[1]}")


async def test_weigh_without_colour(booth: Any, graded: Session, same_picture: Any) -> None:
    async with booth(environ=NO_COLOR) as app:
        await app.press("g", "5", "down")
        same_picture(app, "weigh-80x24-no-color")


async def test_without_colour_nothing_but_bold_and_reverse_is_sent(booth: Any, session: Session) -> None:
    """NO_COLOR: default colours only, in the picture as on the wire."""
    async with booth(environ=NO_COLOR) as app:
        assert app.app.theme == "plain"
        for step in "h123":
            await app.press("g", step)
            for strip in app.app.screen._compositor.render_strips():
                for segment in strip:
                    style = segment.style
                    for colour in (style.color, style.bgcolor) if style else ():
                        assert colour is None or colour.is_default, (segment.text, colour)


async def test_the_meaning_is_left_without_any_style(booth: Any, graded: Session) -> None:
    """Which row one stands on, which step one is in, what was said: words and signs, not weights."""
    async with booth() as app:
        await app.press("g", "5", "down")
        assert app.here.startswith(" ▸")
        assert "━" in app.rows[3]
        assert "eye only" in app.here
