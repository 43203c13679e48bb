"""What a person says is not lost half said, nor refused, nor undone out of sight; driven by keys."""

import sqlite3
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import Archive
from evaluation.session import Cast, Count, Grade, Pick, Session, Viewing
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.look import look
from tests.tui.screens.test_look import middle_numbers, to_question


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


def line(app: Any) -> str:
    """What stands in the open line; "" when none is open."""
    typing = getattr(app.app.screen, "typing", None)
    return typing.value if typing is not None else ""


# A refused text stays in its line ---------------------------------------------------------------------------


@pytest.mark.long
@pytest.mark.parametrize(
    ("row", "text", "told"),
    [
        ("printed at", "soon", "Expected"),
        ("sheet", "large", "Expected: a size such as A3, 13x19in or"),
        ("black as in", "the last one", ""),
    ],
)
async def test_describe_keeps_what_was_refused_in_the_open_field(
    booth: Any, bench: Bench, session: Session, row: str, text: str, told: str
) -> None:
    async with booth() as app:
        await app.press("g", "1", "home")
        while not app.here.startswith(f" ▸ {row}"):
            await app.press("down")
        await app.press("enter")
        await app.type(text)
        assert told in app.saved
        if len(app.app.screen_stack) > 2:  # the window that tells it
            await app.press("enter")
        assert line(app) == text and app.here.startswith(f" ▸ {row}")
        before = loaded(bench)
        await app.press("backspace")
        assert line(app) == text[:-1] and loaded(bench) == before, "letters are text still"


@pytest.mark.long
async def test_prepare_keeps_what_was_refused_beside_its_label(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth() as app:
        await app.press("g", "2", *["down"] * 7, "enter")
        await app.type("bright")
        assert line(app) == "bright" and "Light: lx, K, P1 or P2, second light: bright" in app.saved
        assert "Expected: details such as 2040 lx" in app.text, "why, above the line"
        await app.type("2040 lx")
        assert dict(loaded(bench).readiness["viewing_light"].detail) == {"lux": 2040.0}


async def test_what_cannot_be_written_stays_to_be_written(
    booth: Any, bench: Bench, session: Session, archive: Archive
) -> None:
    """Another program holds the archive: nothing of the text is lost, and Enter tries again."""
    archive.connection.execute("PRAGMA busy_timeout = 10")
    other = sqlite3.connect(archive.path, isolation_level=None)
    async with booth() as app:
        await app.press("g", "1", "home", "down", "enter")
        other.execute("BEGIN IMMEDIATE")
        await app.type("ten inks, new")
        if len(app.app.screen_stack) > 2:
            await app.press("enter")
        assert line(app) == "ten inks, new" and loaded(bench).condition.inks != "ten inks, new"
        other.execute("ROLLBACK")
        await app.press("enter")
        assert loaded(bench).condition.inks == "ten inks, new" and line(app) == ""
    other.close()


@pytest.mark.long
async def test_a_path_that_could_not_be_read_stands_there_again(
    booth: Any, bench: Bench, session: Session, tmp_path: Path
) -> None:
    (tmp_path / "strip.txt").write_text("these are no readings", "utf-8")
    async with booth() as app:
        await app.press("g", "4", "end", "enter")
        await app.type(str(tmp_path / "strip.txt"))
        await app.press("enter")  # the window
        await app.press("end", "enter")
        assert line(app) == str(tmp_path / "strip.txt")


# Half typed -------------------------------------------------------------------------------------------------


@pytest.mark.long
async def test_a_remark_left_half_typed_stands_there_again(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth() as app:
        await app.press("g", "1", "r", *"humid", "escape")
        assert app.saved == "Nothing was saved. What you typed stands there again when you open the line."
        assert loaded(bench).remarks == {}
        await app.press("escape", "g", "1", "r")  # from Home too
        assert line(app) == "humid"
        await app.press(*" day", "enter")
        assert loaded(bench).remarks == {"describe": "humid day"}


@pytest.mark.long
async def test_a_second_escape_forgets_it(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await app.press("g", "1", "home", "enter", *"X", "escape", "enter")
        assert line(app) == "X"
        await app.press("escape", "enter")
        assert line(app) == "Merrowby 24"


@pytest.mark.long
async def test_what_one_typed_is_among_what_the_arrows_go_through(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth() as app:
        await app.press("g", "1", "home", "enter", *"Mer", "down")
        assert line(app) == "Merrowby 24"
        await app.press("up")
        assert line(app) == "Mer"


@pytest.mark.long
async def test_what_was_measured_is_not_lost_by_a_wrong_digit(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth() as app:
        await app.press("g", "2", *["down"] * 7, "enter")
        await app.type("2040 lx, P1")
        await app.press("up", "2", "up", "1")
        assert dict(loaded(bench).readiness["viewing_light"].detail) == {"lux": 2040.0, "class": "P1"}


@pytest.mark.long
async def test_every_row_keeps_its_own(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await app.press("g", "1", "home", "enter", *"X", "escape", "down", "enter")
        assert line(app) == "Merrowby pigment set, ten inks"
        await app.press("escape", "up", "enter")
        assert line(app) == "X"


@pytest.mark.long
async def test_help_a_click_and_another_size_leave_the_line_as_it_is(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth() as app:
        await app.press("g", "1", "r", *"hum")
        await app.press("f1")
        assert "Help: Describe" in app.rows[0]
        await app.press("escape", *"i")
        assert line(app) == "humi"
        await app.pilot.click(offset=(20, 9))
        await app.pilot.click(offset=(20, 9))
        await app.press("d")
        assert line(app) == "humid"
        await app.resize(120, 36)
        assert app.saved == "Remark on Describe: humid"
        await app.press("enter")
        assert loaded(bench).remarks == {"describe": "humid"}


@pytest.mark.long
async def test_leaving_is_asked_for_twice_while_something_is_half_typed(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth() as app:
        await app.press("g", "1", "r", *"humid", "ctrl+q")
        assert "“humid” is not taken yet. Ctrl+Q again leaves without it." in app.text
        assert app.app.is_running and line(app) == "humid"
        await app.press("enter")
        assert loaded(bench).remarks == {"describe": "humid"}


@pytest.mark.long
async def test_an_observer_who_was_named_is_not_forgotten_on_the_way(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth() as app:
        await app.press("g", "3", "enter")
        await app.type("the guest")
        await app.press("g", "2", "g", "3", "2")
        assert viewing(bench).observer == "the guest"


# Half answered ----------------------------------------------------------------------------------------------


async def at(app: Any, bench: Bench, region: str, question: str) -> None:
    await app.press("g", "3", *to_question(bench, region, question))


@pytest.mark.long
@pytest.mark.parametrize("away", [("right",), ("down",), ("g",), ("v",), ("x",), ("left",)])
async def test_an_answer_half_given_is_ended_before_one_goes(
    booth: Any, bench: Bench, viewed: Session, away: tuple[str, ...]
) -> None:
    async with booth() as app:
        await app.press("g", "3", "0", "2", *away)
        assert app.saved == "Not saved yet. Say the rest of the parts, or Esc to begin again."
        await app.press("1", "0")
        parts = (("dark", "none", None), ("middle", "yellow", "just"), ("light", "none", None))
        assert viewing(bench).answers["neutral", "cast"].value == Cast(parts)


@pytest.mark.long
@pytest.mark.parametrize("beside", ["a", "r", "m", "d", "f1"])
async def test_what_is_said_beside_it_leaves_an_answer_half_given(
    booth: Any, bench: Bench, viewed: Session, beside: str
) -> None:
    async with booth() as app:
        await app.press("g", "3", "0", "2", beside)
        if beside == "r":
            await app.type("a remark")
        elif beside in ("m", "f1"):
            await app.press("m" if beside == "m" else "escape")
        assert "yellow, how strong?" in app.text
        await app.press("1", "0")
        assert ("neutral", "cast") in viewing(bench).answers


@pytest.mark.long
async def test_a_number_typed_and_not_taken_is_not_left_behind(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    async with booth() as app:
        await at(app, bench, "shadow", "first")
        await app.press("1", "2", "right")
        assert app.saved == "Not saved yet. Enter takes 12; Esc forgets it."
        await app.press("enter")
        assert viewing(bench).answers["shadow", "first"].value == Count(12)


@pytest.mark.long
async def test_a_number_that_was_refused_stands_there_until_another_is_typed(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    one = middle_numbers(bench)[0]
    strange = next(str(number) for number in range(10, 100) if str(number) not in middle_numbers(bench))
    async with booth() as app:
        await at(app, bench, "ring", "pick_mid")
        await app.press(*one, *strange, "enter")
        assert "not printed there" in app.saved and f"{one} and {strange}" in app.text
        await app.press(*middle_numbers(bench)[1], "enter")
        picked = tuple(int(number) for number in middle_numbers(bench)[:2])
        assert viewing(bench).answers["ring", "pick_mid"].value == Pick(picked)


async def test_an_answer_that_cannot_be_written_is_not_lost_and_the_app_lives(
    booth: Any, bench: Bench, viewed: Session, archive: Archive
) -> None:
    archive.connection.execute("PRAGMA busy_timeout = 10")
    other = sqlite3.connect(archive.path, isolation_level=None)
    async with booth() as app:
        await app.press("g", "3", "0", "0")
        other.execute("BEGIN IMMEDIATE")
        await app.press("0")
        if len(app.app.screen_stack) > 2:
            await app.press("enter")
        other.execute("ROLLBACK")
        await app.press("0")
        assert ("neutral", "cast") in viewing(bench).answers
    other.close()


@pytest.mark.long
async def test_leaving_is_asked_for_twice_while_an_answer_is_half_given(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    async with booth() as app:
        await app.press("g", "3", "0", "2", "ctrl+q")
        assert app.saved == "An answer is begun and not saved. Ctrl+Q again leaves without it."
        assert app.app.is_running


# Faults left open, and regions that are not there -----------------------------------------------------------


@pytest.mark.long
async def test_enter_on_faults_without_a_choice_says_what_it_means(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    async with booth() as app:
        await at(app, bench, "neutral", "faults")
        assert "Enter leave open" in app.keys
        await app.press("enter")
        assert app.saved == "Faults left open. 0 says that there are none."
        assert viewing(bench).faultless == frozenset() and "question 6 of 6" in app.text
        await app.press("left", "0", "left")
        assert "*0 none" in app.text and "Enter done" in app.keys
        await app.press("1", "enter")
        assert "left open" not in app.saved


@pytest.mark.long
async def test_a_region_that_is_not_on_the_sheet_is_said_so_with_one_key(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    async with booth() as app:
        await at(app, bench, "picture", "first")
        await app.press("x")
        assert app.saved == "Saved 14:02. Not on this sheet: Your own picture."
        assert loaded(bench).condition.absent == ("picture",)
        assert "Not on this sheet: your own picture. x puts" in app.text
        await app.press("u")
        assert loaded(bench).condition.absent == () and "9 Your own picture" in app.text


@pytest.mark.long
async def test_look_is_finished_without_what_the_sheet_has_not(
    booth: Any, bench: Bench, session: Session
) -> None:
    look.start(bench, session.id, kind="quick")
    for region in sheet_of(bench, session).regions:
        if region.id != "picture":
            look.answer(bench, session.id, region.id, "overall", Grade(4))
    async with booth() as app:
        await app.press("g", "3", "x")
        assert "Look is finished." in app.text and "9 of 9" in app.text
        await app.press("x")
        assert app.saved == "Back on this sheet: 1 your own picture; 0 none."
        await app.press("1", "enter")
        assert "9 Your own picture" in app.text and loaded(bench).condition.absent == ()


@pytest.mark.long
async def test_answers_about_it_are_told_before_they_count_no_more(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    look.answer(bench, 1, "picture", "overall", Grade(4))
    async with booth() as app:
        await at(app, bench, "picture", "first")
        await app.press("x")
        assert app.saved == "Not on this sheet? The answer about it will no longer count. 1 yes, 0 no."
        await app.press("0")
        assert loaded(bench).condition.absent == ()
        await app.press("x", "1")
        assert loaded(bench).condition.absent == ("picture",)
