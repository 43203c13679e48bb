"""Weigh and Write up where they take long: a bar, the words of how far it is, and Esc."""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Event
from typing import Any

import pytest
from textual import events

from evaluation.appendix import content
from evaluation.judgement import weigh as judgement
from evaluation.session import Session
from evaluation.work.bench import Bench
from evaluation.work.write_up import files
from tests.tui.screens.test_read_weigh_write import grade


@contextmanager
def held(monkeypatch: pytest.MonkeyPatch, where: Any, name: str, at: int = 1) -> Iterator[Event]:
    """The call of that number waits until the event is set."""
    go_on, calls, real = Event(), [0], getattr(where, name)

    def waiting(*given: Any, **more: Any) -> Any:
        calls[0] += 1
        if calls[0] == at:
            go_on.wait(20)
        return real(*given, **more)

    monkeypatch.setattr(where, name, waiting)
    yield go_on
    go_on.set()


async def sent(app: Any, *keys: str, rest: float = 0.0) -> None:
    """Keys without waiting for the threads they start."""
    for key in keys:
        app.app.post_message(events.Key(key, None))
        await app.pilot.pause(0.1)
    await app.pilot.pause(rest)


@pytest.mark.long
async def test_a_cold_weighing_shows_a_bar_and_esc_stops_it(
    booth: Any, bench: Bench, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    grade(bench, session)
    async with booth() as app:
        with held(monkeypatch, judgement, "hear", at=5) as go_on:
            await sent(app, "g", "5", rest=0.8)
            assert app.saved == "Weighing: skin tones. Esc stops."
            assert "40%" in app.text and app.keys.startswith("Esc stop")
            await sent(app, "escape")
            assert app.saved == "Stopping."
            go_on.set()
            await app.settle()
        assert app.saved == "Not weighed: stopped. Enter weighs." and "━" not in app.rows[-3]
        assert app.keys.startswith("Enter weigh")
        kept = bench.archive.connection.execute("SELECT count(*) FROM weighing").fetchone()
        assert kept == (0,)
        await app.press("enter")
        assert "1 neutral greyscale" in app.here
        assert "g g next" in app.keys


@pytest.mark.long
async def test_writing_shows_a_bar_and_esc_leaves_nothing_written(
    booth: Any, bench: Bench, session: Session, monkeypatch: pytest.MonkeyPatch, tmp_path: Any
) -> None:
    path = tmp_path / "review.md"
    async with booth() as app:
        await app.press("g", "6", "end", "enter")
        await app.type(str(path))
        with held(monkeypatch, files, "rendered") as go_on:
            await sent(app, "o", rest=0.7)
            assert app.saved == "Writing: the pages. Esc stops."
            assert "67%" in app.text and app.keys.startswith("Esc stop")
            await sent(app, "o", "enter")
            assert app.saved == "Being written. Esc stops."
            await sent(app, "escape")
            go_on.set()
            await app.settle()
        assert app.saved == "Nothing was written: stopped." and not path.exists()
        await app.press("o")
        assert app.saved.startswith("Written 14:02:") and path.exists() and "━" not in app.rows[-3]


@pytest.mark.long
async def test_the_pages_to_look_at_show_a_bar_and_esc_stops_them(
    booth: Any, bench: Bench, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with booth() as app:
        with held(monkeypatch, content, "build") as go_on:
            await sent(app, "g", "6", rest=0.7)
            assert "Being made." in app.text and "33%" in app.text
            await sent(app, "v")
            assert app.saved == "Being made. Esc stops." and app.keys.startswith("Esc stop")
            await sent(app, "escape")
            assert app.saved == "Stopping."
            go_on.set()
            await app.settle()
        assert app.saved == "Not made. v makes it." and "Being made" not in app.text
        assert "━" not in app.rows[-3]
        await app.press("v")  # opens as soon as it is made
        await app.settle()
        assert "Chapters: " in app.text
        await app.press("escape")
        with held(monkeypatch, content, "build") as go_on:
            await sent(app, "down", "enter", "3")
            await sent(app, "escape")  # leaves at once: nobody waits for the pages
            assert "Being made" not in app.text
            go_on.set()
            await app.settle()
