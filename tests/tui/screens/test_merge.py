"""Sessions there and back by keys: a bundle made, looked at before anything is taken, merged, taken back."""

import shutil
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive import session_list
from evaluation.archive.bundles import taking
from evaluation.archive.connection import Archive, open_archive
from evaluation.entry import Draft
from evaluation.work.bench import Bench, utc_now
from evaluation.work.bundle import bundle
from evaluation.work.log import say, session
from evaluation.work.look import look
from tests.tui.screens.test_bars import held, sent


@pytest.fixture(autouse=True)
def a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_DOCUMENTS_DIR", str(tmp_path))
    monkeypatch.chdir(tmp_path)


@pytest.fixture
def archive(demo_archive: Path, tmp_path: Path) -> Iterator[Archive]:
    with open_archive(shutil.copy(demo_archive, tmp_path / "demo.db")) as opened:
        yield opened


@pytest.fixture
def bench(archive: Archive) -> Bench:
    return Bench(archive, now=utc_now)


@pytest.fixture
def theirs(bench: Bench, tmp_path: Path) -> Iterator[Bench]:
    """Somebody else's archive, with session 4 of this one as their session 1."""
    with open_archive(tmp_path / "theirs.db", create=True) as opened:
        other = Bench(opened, now=utc_now)
        bundle.make(bench, [4], tmp_path / "to.bundle")
        bundle.merge(other, [tmp_path / "to.bundle"])
        (tmp_path / "to.bundle").unlink()
        yield other


def sent_back(theirs: Bench, path: Path) -> None:
    look.start(theirs, 1, observer="Berta", kind="quick")
    look.answer(theirs, 1, "skin", "overall", None)
    bundle.make(theirs, [1], path)


def flat(app: Any) -> str:
    """The screen without its line breaks."""
    return " ".join(app.text.split())


@pytest.mark.long
async def test_a_bundle_is_shown_taken_chosen_from_and_taken_back(
    booth: Any, bench: Bench, theirs: Bench, tmp_path: Path
) -> None:
    for one, number, value in ((theirs, 1, "In a rack"), (bench, 4, "Under glassine")):
        say(one, number, [Draft("condition", "drying", value)])
    sent_back(theirs, tmp_path / "back.bundle")
    async with booth() as app:
        await app.press("g", "m")
        assert app.rows[0].startswith(" Merge") and "nothing is taken before t" in flat(app)
        assert "take a merge back" not in app.keys
        await app.press("u")
        assert app.saved == "No merge to take back."
        await app.press("enter", "enter")
        assert app.rows[0].rstrip().endswith("back.bundle") and "1 session, 1 to choose" in app.text
        assert "Brackmoor Rag 293" in app.text and "known" in app.text
        assert "How it dried: Under glassine" in app.here and "counts for now" in app.here
        rows = "\n".join(app.rows)
        assert rows.index("1  How it dried: In a rack") < rows.index("2  How it dried: Under glassine")
        assert "elsewhere, " in rows and "here, " in rows and "counts until one is chosen" in rows
        assert session(bench, 4).condition.drying == "Under glassine" and len(session(bench, 4).viewings) == 1
        await app.press("3")
        assert app.saved == "Versions run from 1 to 2."
        await app.press("1")
        assert "How it dried: In a rack" in app.here and "chosen" in app.here
        await app.press("ctrl+q")
        assert app.saved == "What you chose is taken in with t. Ctrl+Q again leaves without it."
        await app.press("down")
        assert "Would come: 1 viewing and" in app.text and "By Berta." in app.text
        await app.press("t")
        assert app.saved == "Merged; u takes it back. The archive as it was: demo.before-merge-1.db."
        assert session(bench, 4).condition.drying == "In a rack" and len(session(bench, 4).viewings) == 2
        assert "to choose" not in app.text and "Enter weighs it with what came" in app.text
        await app.press("n", "enter")
        assert "Nothing new: the archive has all of it already." in app.text
        await app.press("t")
        assert app.saved == "Nothing new: the archive has all of it already."
        await app.press("escape", "u", "0")
        assert len(session(bench, 4).viewings) == 2
        await app.press("u", "1")
        assert app.saved == "As before the merge of back.bundle."
        assert session(bench, 4).condition.drying == "Under glassine" and len(session(bench, 4).viewings) == 1

        # Left to choose after the merge: at once, and taken back here; then the merge stays.
        await app.press("enter", "enter", "t")
        assert "1 to choose" in app.text
        await app.press("enter")
        assert (
            app.saved == "Saved. How it dried: In a rack."
            and session(bench, 4).condition.drying == "In a rack"
        )
        await app.press("u")
        assert app.saved == "Undone: How it dried: In a rack."
        assert session(bench, 4).condition.drying == "Under glassine" and "Left to choose" in app.text
        await app.press("u", "1")
        assert "Nothing was undone." in app.text and "something that would be lost" in flat(app)
        await app.press("g", "5")
        assert "session 4" in app.rows[0]


@pytest.mark.long
async def test_every_refusal_is_told_on_the_page(
    booth: Any, bench: Bench, theirs: Bench, tmp_path: Path
) -> None:
    sent_back(theirs, tmp_path / "back.bundle")
    cut = tmp_path / "cut.bundle"
    cut.write_bytes((tmp_path / "back.bundle").read_bytes()[:-9000])
    async with booth() as app:
        for path, found in (
            (cut, "cut.bundle"),
            (bench.archive.path, "Found: an archive"),
            (tmp_path / "to.toml", ""),
        ):
            path.touch()
            await app.press("g", "m", "enter", "p")
            await app.type(str(path))
            text = flat(app)
            assert "Not done" in text and found in text and app.app.screen.PAGE == "merge"
            await app.press("g", "h")
        assert len(session(bench, 4).viewings) == 1
        await app.press("g", "m", "enter", "p")
        await app.type(str(tmp_path / "back.bundle"))
        await app.press("n", "p")
        await app.type(str(cut))
        text = flat(app)
        assert "Not done" in text and "cut.bundle" in text and "Would come" in text  # what was shown stays
        await app.press("t")
        assert app.saved.startswith("Merged") and len(session(bench, 4).viewings) == 2


@pytest.mark.long
async def test_a_folder_of_bundles_is_taken_in_together(
    booth: Any, bench: Bench, theirs: Bench, tmp_path: Path
) -> None:
    for one, number, value in ((theirs, 1, "In a rack"), (bench, 4, "Under glassine")):
        say(one, number, [Draft("condition", "drying", value)])
    sent_back(theirs, tmp_path / "berta.bundle")
    look.start(theirs, 1, observer="Carla", kind="quick")
    bundle.make(theirs, [1], tmp_path / "carla.bundle")
    async with booth() as app:
        await app.press("a", "g", "m", "a")
        assert app.saved == "Enter looks for a bundle; then a shows all of its folder."
        await app.press("enter", "p")
        await app.type(str(tmp_path / "berta.bundle"))
        await app.press("1", "a")
        assert app.rows[0].rstrip().endswith("berta.bundle and 1 more")
        assert "How it dried: In a rack" in app.here and "chosen" in app.here  # still
        await app.press("t")
        assert [one.observer for one in session(bench, 4).viewings][1:] == ["Berta", "Carla"]
        assert session(bench, 4).condition.drying == "In a rack"


@pytest.mark.long
async def test_marked_sessions_are_bundled(booth: Any, bench: Bench, tmp_path: Path) -> None:
    say(bench, 4, [Draft("condition", "black_from", 1)])
    async with booth() as app:
        await app.press("down", "down", "space", "down", "space", "g", "b")
        assert app.rows[0].startswith(" Bundle of sessions 4 and 3") and "~/demo-" in app.text
        assert "With session 1, which they refer to." in app.text
        await app.press("down", "enter", "down", "enter")
        assert "left out" in app.text and "by role" in app.here and "not merged" in flat(app)
        await app.press("up", "up", "enter")
        await app.type("~/mine")
        await app.press("o")
        assert app.saved == "Written: ~/mine.bundle." and "MB." in app.text
        with open_archive(tmp_path / "mine.bundle") as made, closing(made.connection):
            assert made.rows("SELECT with_names, with_pictures FROM bundle") == [(0, 0)]
            assert made.rows("SELECT count(*) FROM session") == [(3,)]
        await app.press("o")
        assert "Not done" in app.text and "a file of that name" in app.text
        session_list.remove(bench.archive, 3, utc_now())  # by another program
        await app.press("g", "m", "escape")
        assert tuple(app.app.screen.marked) == (4,)
        await app.press("escape", "end", "g", "b")  # without marks the one in hand
        assert app.rows[0].startswith(" Bundle of session 1")


@pytest.mark.long
async def test_what_takes_long_shows_a_bar_and_esc_leaves_nothing(
    booth: Any, bench: Bench, theirs: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sent_back(theirs, tmp_path / "back.bundle")
    async with booth() as app:
        await app.press("g", "m", "enter", "enter")
        with held(monkeypatch, taking.sessions, "refresh") as go_on:
            await sent(app, "t", rest=0.8)
            assert app.saved.startswith("Taking it in: session 1 of 1. Esc") and "%" in app.text
            assert app.keys.startswith("Esc stop")
            await sent(app, "t", "escape")
            assert app.saved == "Stopping."
            go_on.set()
            await app.settle()
        assert app.saved == "Stopped. Nothing was merged." and len(session(bench, 4).viewings) == 1
        await app.press("t")
        assert app.saved.startswith("Merged") and len(session(bench, 4).viewings) == 2


async def test_viewings_that_came_stay_out_of_sight_of_eyes_that_have_not_looked(
    theirs: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tests.tui.conftest import Driven
    from tui.app import DrydownApp
    from tui.config import Config

    app = DrydownApp(theirs, config=Config(bounce_ms=0))
    app.animation_level = "none"
    async with app.run_test(size=(80, 24)) as pilot:
        there = Driven(pilot)
        await there.settle()
        await there.press("g", "3")
        assert "It hides the viewing before" in there.text and "Look is finished" not in there.text
        assert not look.is_looked_at_here(theirs, 1)
        await there.press("1")
        assert "earlier unseen" in there.rows[0] and look.is_looked_at_here(theirs, 1)
