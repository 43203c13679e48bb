"""Undo by keys changes nothing that is out of sight: it belongs to its page, goes there, or asks first."""

from pathlib import Path
from typing import Any

import pytest

from evaluation.archive import runs, sessions
from evaluation.session import Cast, Grade, Session, Viewing
from evaluation.work import log
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import begin, prepare
from evaluation.work.look import look
from evaluation.work.take_in import typed
from tests.tui.screens.test_look import to_question


def loaded(bench: Bench, number: int = 1) -> Session:
    return sessions.load(bench.archive, number)


def viewing(bench: Bench) -> Viewing:
    found = loaded(bench).viewing
    assert found is not None
    return found


@pytest.fixture
def viewed(bench: Bench, session: Session) -> Session:
    """A full viewing has begun."""
    look.start(bench, session.id)
    return session


async def at(app: Any, bench: Bench, region: str, question: str) -> None:
    await app.press("g", "3", *to_question(bench, region, question))


@pytest.mark.long
async def test_undo_on_one_page_never_touches_another(booth: Any, bench: Bench, viewed: Session) -> None:
    prepare.answer(bench, 1, "surround", "done")
    look.answer(bench, 1, "neutral", "crossover", Grade(4))
    async with booth() as app:
        for step, left in (
            ("1", "Look (g 3)"),
            ("4", "Look (g 3)"),
            ("5", "Look (g 3)"),
            ("6", "Look (g 3)"),
        ):
            before = loaded(bench)
            await app.press("g", step, "u")
            if "?" in app.saved:  # Describe has what the session was begun with, and asks
                await app.press("0")
            else:
                assert app.saved == f"Nothing left to undo here; the last entry is in {left}."
            assert loaded(bench) == before
        await app.press("g", "2", "u")
        assert app.saved.startswith("Undone: surround neutral grey")
        assert ("neutral", "crossover") in viewing(bench).answers


@pytest.mark.long
async def test_undo_on_the_typing_page_leaves_a_copied_description_alone(
    booth: Any, bench: Bench, session: Session
) -> None:
    begin.begin_like(bench, session.id)
    async with booth() as app:
        await app.press("g", "4", "p", "u")
        assert app.saved == "Nothing left to undo here; the last entry is in Describe (g 1)."
        assert loaded(bench, 2).condition.paper == "Sallowfell Lustre 247"


@pytest.mark.long
async def test_a_copied_description_is_undone_as_a_whole_only_when_asked(
    booth: Any, bench: Bench, session: Session
) -> None:
    begin.begin_like(bench, session.id)
    async with booth() as app:
        await app.press("g", "1", "u")
        assert app.saved.startswith("Undo “Printer: Merrowby 24” and ") and app.saved.endswith("1 yes, 0 no.")
        assert loaded(bench, 2).condition.paper == "Sallowfell Lustre 247"
        await app.press("1")
        assert loaded(bench, 2).condition.paper == ""
        await app.press("U", "1")
        assert loaded(bench, 2).condition.paper == "Sallowfell Lustre 247"


@pytest.mark.long
async def test_a_typed_line_that_is_undone_is_named_and_stood_on(
    booth: Any, bench: Bench, session: Session
) -> None:
    hand = typed.Hand("M1", "hand-held", "white")
    patches = [patch for patch in sheet_of(bench, session).patches if patch.region == ""] or list(
        sheet_of(bench, session).patches
    )
    first, last = patches[0], patches[-1]
    typed.put(bench, 1, first.id, "50 0 0", hand, by_another=True)
    typed.put(bench, 1, last.id, "50 0 0", hand, by_another=True)
    async with booth() as app:
        await app.press("g", "4", "p", "home", "u")
        assert app.saved == f"Undone: {last.name}, not read." and last.id in app.here
        await app.press("U")
        assert app.saved == f"Redone: {last.name}, read once."


@pytest.mark.long
async def test_readings_typed_under_another_condition_are_undone_only_when_asked(
    booth: Any, bench: Bench, session: Session
) -> None:
    patch = sheet_of(bench, session).patches[0]
    typed.put(bench, 1, patch.id, "50 0 0", typed.Hand("M1", "hand-held", "white"), by_another=True)
    async with booth() as app:
        await app.press("g", "4", "p", "home", "enter")
        await app.type("M0")
        await app.press("u")
        assert app.saved == "Undo “Readings taken in: type…”, in readings typed by hand? 1 yes, 0 no."
        await app.press("0")
        assert len(runs.of_session(bench.archive, 1)) == 1


async def test_a_mark_or_a_remark_that_is_undone_comes_into_sight(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    look.again(bench, 1, "skin")
    log.remark(bench, 1, "tints", "clouds at the left", viewing=viewing(bench).id)
    async with booth() as app:
        await app.press("g", "3", "u")
        assert "8 Even tints" in app.text and "Remark" not in "\n".join(app.rows[:-2])
        await app.press("u")
        assert "4 Skin tones" in app.text and "Marked for a second look" not in app.text
        await app.press("U")
        assert "Marked for a second look" in app.text


async def test_a_grade_and_the_mark_it_takes_away_are_one_thing_to_undo(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    look.answer(bench, 1, "neutral", "overall", Grade(3))
    look.again(bench, 1, "neutral")
    async with booth() as app:
        await app.press("g", "3", "left", "4")
        assert app.saved == "Saved 14:02. Neutral greyscale, as a whole: 4, looked at again."
        await app.press("u")
        assert viewing(bench).look_again == {"neutral"}
        assert viewing(bench).answers["neutral", "overall"].value == Grade(3)


@pytest.mark.long
async def test_an_answer_that_this_viewing_does_not_ask_for_is_undone_only_when_asked(
    booth: Any, bench: Bench, session: Session
) -> None:
    """A question for a second light, answered on paper; Prepare names no second light."""
    look.start(bench, 1)
    look.answer(
        bench,
        1,
        "neutral",
        "second_light",
        Cast((("dark", "none", None), ("middle", "none", None), ("light", "none", None))),
    )
    async with booth() as app:
        await app.press("g", "3", "u")
        assert app.saved.startswith("Undo “") and "in Look?" in app.saved
        await app.press("0")
        assert ("neutral", "second_light") in viewing(bench).answers


async def test_undo_while_another_viewing_is_chosen_reaches_into_none(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    look.answer(bench, 1, "neutral", "crossover", Grade(4))
    async with booth() as app:
        await app.press("g", "3", "v", "u")
        assert app.saved == "1 or 2 begins another viewing; Esc goes back to the one before."
        assert ("neutral", "crossover") in viewing(bench).answers


@pytest.mark.long
async def test_nothing_is_answered_under_the_large_map(booth: Any, bench: Bench, viewed: Session) -> None:
    async with booth() as app:
        await at(app, bench, "tints", "sides")
        before = loaded(bench)
        for key in ("y", "n", "1", "enter", "a", "x", "v"):
            await app.press("m", key)
            assert app.saved == "m brings the question back." and loaded(bench) == before, key
            await app.press("m")
        assert "question 4 of" in app.text
        await app.press("y", "m", "u")
        assert "question 4 of" in app.text, "what undo opened again is in sight"


@pytest.mark.long
async def test_undo_waits_while_a_file_lies_over_the_readings(
    booth: Any, bench: Bench, session: Session, tmp_path: Path
) -> None:
    data = Path(__file__).parents[2] / "sheet" / "data" / "chart-24.txt"
    begin.begin(
        bench,
        loaded(bench).condition,
        {},
        map_text=data.with_suffix(".toml").read_text("utf-8"),
        map_name="chart",
    )
    async with booth(watch=data.parent) as app:
        await app.press("g", "4")
        while "chart-24.txt" not in app.here:
            await app.press("down")
        await app.press("enter", "t")
        taken = loaded(bench, 2).runs
        assert taken, app.text
        while "chart-24.txt" not in app.here:
            await app.press("down")
        await app.press("enter", "u")
        assert app.saved == "Esc closes the file first." and loaded(bench, 2).runs == taken
        await app.press("escape", "u")
        assert loaded(bench, 2).runs == frozenset()


@pytest.mark.long
async def test_weigh_stands_on_the_region_whose_mark_is_undone(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    look.answer(bench, 1, "skin", "overall", Grade(4))
    look.again(bench, 1, "skin")
    async with booth() as app:
        await app.press("g", "5", "home", "u")
        assert "skin tones" in app.here and viewing(bench).look_again == frozenset()
