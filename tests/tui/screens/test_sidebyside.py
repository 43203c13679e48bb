"""Side by side by keys: regions chosen, letters drawn, pairs answered, left and taken up again, then told."""

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive import rounds, triangles
from evaluation.archive.connection import Archive, open_archive
from evaluation.rounds import odd_of
from evaluation.work.bench import Bench, utc_now
from tui.config import Config


@pytest.fixture
def archive(demo_archive: Path, tmp_path: Path) -> Iterator[Archive]:
    with open_archive(shutil.copy(demo_archive, tmp_path / "demo.db")) as opened:
        yield opened


@pytest.fixture
def bench(archive: Archive) -> Bench:
    return Bench(archive, now=utc_now)


@pytest.mark.long
async def test_a_round_by_keys_from_the_letters_to_what_they_say(
    booth: Any, archive: Archive, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    async with booth() as app:
        await app.press("g", "s")
        assert app.saved.startswith("Mark two sessions or more on Home with Space, then g s.")
        await app.press("end", "space", "up", "space", "g", "s")  # sessions 1 and 2
        assert "another sheet in session" in app.text
        await app.press("escape", "space", "up", "up", "space", "g", "s")  # 1 and 4
        assert app.rows[0].startswith(" Side by side: sessions 1 and 4")
        assert "36 judgements for each observer" in app.text and "about 9 minutes" in app.text
        await app.press("p")
        assert app.saved == "No round is drawn; Enter draws one."
        marked = sum(row.strip("│").lstrip(" ▸").startswith("* ") for row in app.rows)
        assert marked == 3 and "3 regions, 12 of a pair: 36 judgements, 9 min; which is better?" in app.text
        await app.press("home", "space", "t", "t", "t")
        assert ", 3 of a pair" in app.text and ("2 regions" in app.text or "4 regions" in app.text)
        await app.press("f")
        assert "which is greyer?" in app.text
        await app.press("f", "enter")
        await app.type("booth 7")
        drawn = rounds.among(archive, (1, 4))
        assert {one.observer for one in drawn} == {"booth 7"} and app.saved.startswith("Rounds drawn:")
        assert all(f"Round {one.id}, " in app.text for one in drawn[:2])
        assert "Enter answer" in app.rows[-1] and "n new observer" in app.rows[-1]
        await app.press("p")
        await app.type(str(tmp_path / "slips.pdf"))
        assert (tmp_path / "slips.pdf").read_bytes().startswith(b"%PDF")

        await app.press("enter")
        first = drawn[0]
        left, right = first.shown[0]
        assert "Pair 1 of 3, booth 7" in app.text and f"{left}   1 left" in app.text
        assert app.text.count("██") >= 10 and f"{right}   2 right" in app.text
        assert "session" not in "\n".join(app.rows[1:])
        await app.press("1", "0", "u", "2")
        assert rounds.load(archive, first.id).answers == {0: "left", 1: "right"}
        await app.press("escape")
        assert app.saved == "Every answer is saved. Enter goes on." and "2 of 3 answered" in app.text
        await app.press("enter", "2", "0")
        assert not rounds.load(archive, first.id).is_open and "is done." in app.text
        assert (
            f"Next: {app.app.screen.titles[drawn[1].region]}." in app.text and "session" not in app.text[40:]
        )
        await app.press("x", "1")
        assert app.saved == "Enter goes on; u takes the last answer back."
        await app.press("u", "0")
        assert rounds.load(archive, first.id).answers == {0: "left", 1: "right", 2: "none"}
        for one in drawn[1:]:
            assert not set(one.prints) & set(drawn[drawn.index(one) - 1].prints)
            await app.press("enter", *"111" if one is drawn[1] else "222")
        assert "Enter shows which letter was which print." in app.text and "session" not in app.text[40:]
        await app.press("enter")
        assert app.saved.startswith("That was the last pair. ") and "session 4" in app.saved
        assert app.text.count("too few") == len(drawn) and "1 and 4" in app.text
        titles = [
            region.title for one in drawn for region in app.app.screen.regions if region.id == one.region
        ]
        order = [app.text.index(f"{title}: which is better here") for title in titles]
        assert order == sorted(order, reverse=True)  # the newest first
        await app.press("v")
        assert "1 and 4: even in 3 judgements, too few for a figure" in app.text or "before" in app.text
        assert app.app.screen.as_text().count("What this cannot tell") == 1
        await app.press("escape")
        assert app.rows[0].startswith(" Side by side: sessions 1 and 4")
        await app.press("n", "enter", "v")
        assert app.app.screen.as_text().count("0 of 3 answered") == len(drawn)
        await app.press("escape", "n")
        assert "Who looks: observer 2" in app.text
        await app.press("enter", "enter")  # whoever was drawn for last goes on, the first waits
        assert "Pair 1 of 3, observer 2" in app.text


@pytest.mark.long
async def test_a_key_that_bounces_names_one_print(booth: Any, archive: Archive) -> None:
    async with booth(config=Config(bounce_ms=60_000)) as app:
        await app.press(
            "end", "space", "up", "up", "up", "space", "g", "s", "enter", "enter", "enter", "1", "1"
        )
        (one,) = (one for one in rounds.among(archive, (1, 4)) if one.answers)
        assert one.answers == {0: "left"}
        await app.press("2", "escape", "i", "enter", "enter", "enter", "1", "1", "3")
        (test,) = triangles.among(archive, (1, 4))
        assert test.answers == {0: "left", 1: "right"}


@pytest.mark.long
async def test_letters_are_opened_early_only_when_asked_twice(booth: Any, archive: Archive) -> None:
    async with booth() as app:
        await app.press("end", "space", "up", "up", "up", "space", "g", "s", "x")
        assert app.saved == "No letters are drawn."
        await app.press("enter")
        await app.type("observer 1")
        await app.press("enter", "1", "x", "0")
        assert all(one.is_open for one in rounds.among(archive, (1, 4)))
        await app.press("x", "1")
        (opened,) = (one for one in rounds.among(archive, (1, 4)) if not one.is_open)
        assert app.saved.startswith("Opened: ") and "session 4" in app.saved
        assert f"Letters opened before the last answer: round {opened.id}" in app.text


@pytest.mark.long
async def test_three_at_a_time_by_keys(booth: Any, archive: Archive) -> None:
    async with booth() as app:
        await app.press("space", "down", "space", "down", "space", "g", "s", "m")
        assert app.saved == "Three at a time: from 4 prints on."
        await app.press("escape", "end", "space", "g", "s", "t", "t", "t", "m")
        assert "3 regions, 3 of a pair, by threes: 54 judgements, 14 min" in app.text
        await app.press("enter")
        await app.type("observer 1")
        await app.press("enter")
        drawn = rounds.among(archive, (1, 4, 5, 6))
        one = next(one for one in drawn if one.is_open)
        assert "Three 1 of 9" in app.text and "2 middle" in app.text and "3 right" in app.keys
        await app.press("3")
        assert rounds.load(archive, one.id).answers == {1: "right", 2: "right"}
        assert "2 middle" not in app.text and f"{one.shown[0][2]}. Saved." in app.saved
        await app.press("3")
        assert app.saved == "1 left, 2 right, 0 no difference."
        await app.press("1", "u", "u")
        assert rounds.load(archive, one.id).answers == {} and "Three 1 of 9" in app.text
        await app.press("0")
        assert rounds.load(archive, one.id).answers == dict.fromkeys(range(3), "none")


@pytest.mark.long
async def test_triangles_by_keys_from_what_lies_where_to_what_they_show(
    booth: Any, archive: Archive, tmp_path: Path
) -> None:
    async with booth() as app:
        await app.press("space", "down", "space", "down", "space", "g", "s", "i")
        assert app.saved == "Triangles are of two prints: mark two on Home, then g s."
        await app.press("escape", "space", "g", "s", "down", "i")
        assert app.rows[0].startswith(" Triangles: sessions ") and "12 triangles" in app.text
        assert "Of 12 triangles 8 right show a difference" in app.text
        await app.press("p")
        assert app.saved == "No triangles are drawn here; Enter draws them."
        await app.press("t", "t", "t", "enter")
        await app.type("booth 7")
        (one,) = triangles.among(archive, range(1, 7))
        assert len(one.shown) == 6 and one.observer == "booth 7" and "0 of 6 triangles answered" in app.text
        await app.press("n")
        await app.type("booth 7")
        assert "to be ended first" in app.text
        await app.press("escape", "escape")
        assert "0 of 6 triangles answered" in app.text and "36 judgements for each" in app.text
        await app.press("i", "p")
        await app.type(str(tmp_path / "triangles.pdf"))
        assert (tmp_path / "triangles.pdf").read_bytes().startswith(b"%PDF")

        await app.press("enter")
        assert "Which is the odd one?" in app.text and "2 middle" in app.text
        assert "session" not in "\n".join(app.rows[1:])
        await app.press("0")
        assert app.saved == "1 left, 2 middle, 3 right; guess where you see nothing."
        await app.press("1", "2", "u")
        assert triangles.load(archive, one.id).answers == {0: "left"} and "Triangle 2 of 6" in app.text
        await app.press("escape")
        assert (
            app.saved == "Every answer is saved. Enter goes on." and "1 of 6 triangles answered" in app.text
        )
        await app.press("enter", "u")
        keys = {"left": "1", "middle": "2", "right": "3"}
        await app.press(
            *(keys[odd_of(lying)] for lying in one.shown[:5]), "1" if odd_of(one.shown[5]) != "left" else "2"
        )
        assert app.saved == "That was the last one. 5 of 6 right."
        assert "5 of 6 right: there is something to see" in " ".join(app.text.split())
        await app.press("escape")
        assert app.rows[0].startswith(" Side by side: ") and "5 of 6 right: there is" in app.text
        assert rounds.with_any(archive, one.prints) == rounds.with_any(archive, (1, 4, 5))
