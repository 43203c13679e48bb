"""Readings typed patch by patch: saved and undone line by line, out of sight until graded."""

from typing import Any

import pytest

from evaluation.archive import runs, sessions
from evaluation.session import Grade, Session
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.look import look
from evaluation.work.take_in import typed


async def say_the_hand(app: Any) -> None:
    """Condition, instrument, backing; the kind of values stays CIELAB."""
    await app.press("g", "4", "p", "enter")
    await app.type("M1")
    await app.press("enter")
    await app.type("hand-held, 45/0")
    await app.press("enter")
    await app.type("white")
    await app.press("down")


@pytest.mark.long
async def test_lines_are_saved_one_by_one_and_the_next_opens(
    booth: Any, bench: Bench, session: Session
) -> None:
    """The thirty patches that tell most come first: from black up."""
    first, second = typed.listed(bench, session, typed.hand(bench, session))[:2]
    assert (first.name, second.name) == ("grey L* 0", "shadow L* 1.6")
    async with booth() as app:
        await say_the_hand(app)
        assert first.id in app.here
        await app.press("enter", "2")
        await app.type("96.1 0.3 -1.2")
        (run,) = runs.of_session(bench.archive, 1)
        assert (len(run), run.stated.condition, run.rounding) == (1, "M1", 0.1)
        assert app.saved == f"Saved 14:02. {first.name}: typed."
        assert second.id in app.here
        await app.type("3,0 0,1 0,2")
        assert [len(run) for run in runs.of_session(bench.archive, 1)] == [2]
        await app.press("escape", "u", "u")
        assert runs.of_session(bench.archive, 1) == ()
        await app.press("U", "U", "escape")
        assert "typed by hand" in app.text and "2 readings, M1" in app.text


@pytest.mark.long
async def test_what_is_said_once_is_not_asked_again(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await say_the_hand(app)
        await app.press("escape", "p")
        assert sheet_of(bench, session).patches[0].id in app.here
        assert "hand-held, 45/0" in app.text


@pytest.mark.long
async def test_a_mistyped_line_is_told_and_can_be_mended(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await say_the_hand(app)
        await app.press("enter", "2")
        await app.type("96.1 0.3")
        assert app.saved == "Expected: L*, a* and b*, three numbers. Nothing was saved."
        assert app.app.screen.typing.value == "96.1 0.3"
        await app.type("96.1 0.3 -1.2")
        assert [len(run) for run in runs.of_session(bench.archive, 1)] == [1]


@pytest.mark.long
@pytest.mark.parametrize(("digit", "readings"), [("1", 1), ("2", 2), ("0", 1)])
async def test_a_second_value_corrects_or_is_a_repeat(
    booth: Any, bench: Bench, session: Session, digit: str, readings: int
) -> None:
    async with booth() as app:
        await say_the_hand(app)
        await app.press("enter", "2")
        await app.type("96.1 0.3 -1.2")
        await app.press("escape", "up", "enter")
        await app.type("96.4 0.3 -1.2")
        assert "has a reading. 1 corrects it, 2 is a repeat, 0 neither." in app.text
        await app.press(digit)
        assert [len(run) for run in runs.of_session(bench.archive, 1)] == [readings]


async def to_the_shadows(app: Any) -> None:
    await say_the_hand(app)
    await app.press("slash")
    await app.type("shadow")
    assert "has no grade yet" in app.text
    await app.press("enter")
    assert app.saved == "Not graded. Typed by: 1 its observer, recorded as seen; 2 another; 0 nobody."
    assert app.keys == "1-9 answer   0 none of these"


@pytest.mark.long
async def test_numbers_of_an_ungraded_region_that_another_types_are_not_shown_back(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth() as app:
        await to_the_shadows(app)
        await app.press("2")
        await app.type("12.3 0.4 -0.6")
        await app.press("escape", "up")
        assert "1 x" in app.here and app.here.endswith("out of sight")
        assert "12.3" not in app.text
        assert not sessions.load(bench.archive, 1).revealed
        look.start(bench, 1, kind="quick")
        region = sheet_of(bench, session).region("shadow")
        assert region.whole is not None
        look.answer(bench, 1, "shadow", region.whole.id, Grade(4))
        await app.press("escape", "p", "slash")
        await app.type("shadow")
        assert app.here.split()[-3:] == ["12.3", "0.4", "-0.6"]


@pytest.mark.long
async def test_who_grades_and_types_all_the_same_has_it_recorded(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth() as app:
        await to_the_shadows(app)
        await app.press("1")
        assert "typing its numbers is recorded" in app.text
        await app.type("12.3 0.4 -0.6")
        assert set(sessions.load(bench.archive, 1).revealed) == {"shadow"}
        await app.press("escape", "up")
        assert app.here.split()[-3:] == ["12.3", "0.4", "-0.6"]


@pytest.mark.long
async def test_nobody_typing_leaves_all_as_it_was(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await to_the_shadows(app)
        await app.press("0", "down")
        assert not hasattr(app.app.screen, "typing") and not sessions.load(bench.archive, 1).revealed
        assert app.saved == ""


@pytest.mark.long
async def test_x_takes_a_reading_away(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await say_the_hand(app)
        await app.press("enter", "2")
        await app.type("96.1 0.3 -1.2")
        await app.press("escape", "up", "x")
        assert sessions.load(bench.archive, 1).runs == frozenset()
        assert app.saved.endswith("reading taken away.")
