"""What holds on every screen: g and where, help, actions by name, copying, appearance."""

from typing import Any

import pytest

from evaluation.archive import session_list, sessions
from evaluation.errors import DrydownError
from evaluation.session import Session
from evaluation.work.bench import Bench
from tests.cases import some_now
from tui import keys
from tui.config import Config

STEPS = list(enumerate(keys.STEPS.values(), 1))


@pytest.mark.parametrize(("digit", "name"), some_now(STEPS, STEPS[4], several=True))
async def test_g_and_a_digit_open_a_step(booth: Any, session: Session, digit: int, name: str) -> None:
    async with booth() as app:
        await app.press("g")
        assert app.keys.startswith("1-6 step   g next step")
        await app.press(str(digit))
        column = 1 + (digit - 1) * 13
        assert app.rows[1][column:].startswith(f"{digit} {name}")
        assert app.rows[3][column] == "━", "the rule is heavy under the current step"
        await app.press("g", "h")
        assert "1 session" in app.rows[0]


async def test_g_and_another_key_says_what_may_follow(booth: Any, session: Session) -> None:
    async with booth() as app:
        await app.press("g", "z")
        assert app.saved == "g z leads nowhere. g shows the places there are."
        await app.press("g", "escape")
        assert "next step" not in app.keys


@pytest.mark.long
async def test_g_leads_on_from_a_page_of_text_as_from_the_page_below(booth: Any, session: Session) -> None:
    async with booth() as app:
        await app.press("g", "1", "question_mark")
        assert "Help: Describe" in app.rows[0] and "g go" in app.keys
        assert "Go, with one more key" in app.text and app.text.count("t tools") == 1
        await app.press("g", "2")
        assert app.rows[3][14] == "━"
        await app.press("question_mark", "g", "g")
        assert app.saved.startswith("Still open here:"), "said where it can be seen"


@pytest.mark.long
async def test_a_digit_alone_never_leaves_a_screen(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await app.press("g", "1")
        for digit in "0123456789":
            await app.press(digit)
            assert app.rows[3][1] == "━"


@pytest.mark.long
@pytest.mark.parametrize("step", ["h", "1", "2", "3", "4", "5", "6"])
async def test_help_tells_every_key_of_the_screen(booth: Any, session: Session, step: str) -> None:
    async with booth() as app:
        await app.press("g", step)
        page = app.app.screen.PAGE
        await app.press("question_mark")
        assert app.rows[0].startswith(" Help:")
        told = app.app.screen.as_text()
        flat = " ".join(told.split())
        for key in keys.keys_of(page):
            if key.show != "arrows":
                assert key.tooltip.split()[0] in flat
        assert "imperceptible" in flat
        await app.press("escape")
        assert page == app.app.screen.PAGE


@pytest.mark.long
async def test_the_key_check_says_what_arrived(booth: Any, session: Session) -> None:
    async with booth() as app:
        await app.press("f1", "f1", "x")
        assert app.saved == "x arrived. On this screen: Remove; the view “removed” brings back."
        await app.press("f9")
        assert app.saved == "F9 arrived. It does nothing on this screen."
        await app.press("escape", "escape")
        assert app.app.screen.PAGE == "home"


async def test_every_action_is_found_by_its_name(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await app.press("colon")
        await app.pilot.press(*"remove")
        await app.settle()
        assert "Remove; the view" in app.text
        await app.pilot.press("enter")
        await app.settle()
        assert "Session 1 removed." in app.saved
        assert session_list.count(bench.archive) == 0


async def test_leaving_the_list_of_actions_does_nothing(booth: Any, session: Session) -> None:
    async with booth() as app:
        await app.press("ctrl+p", "escape")
        assert app.app.screen.PAGE == "home"


async def test_a_changed_key_works_and_is_shown(booth: Any, bench: Bench, session: Session) -> None:
    async with booth(config=Config(bounce_ms=0, keymap={"home.remove": "w", "home.new": "N"})) as app:
        assert "N new like this" in app.keys
        await app.press("x")
        assert session_list.count(bench.archive) == 1
        await app.press("w")
        assert session_list.count(bench.archive) == 0


@pytest.mark.long
async def test_a_result_is_written_to_a_file_that_is_named(
    booth: Any, session: Session, tmp_path: Any
) -> None:
    path = tmp_path / "list.txt"
    async with booth() as app:
        await app.press("o")
        await app.type(str(path))
        assert app.saved.startswith("Written:")
        assert "Sallowfell Lustre 247" in path.read_text("utf-8")


@pytest.mark.long
async def test_a_file_that_cannot_be_written_is_told(booth: Any, session: Session, tmp_path: Any) -> None:
    async with booth() as app:
        await app.press("o")
        await app.type(str(tmp_path / "no" / "where.txt"))
        assert "was not written" in app.text


async def test_a_problem_has_one_window_that_goes_away(booth: Any, session: Session) -> None:
    async with booth() as app:
        app.app.screen.show_problem(
            DrydownError("Nothing was taken in.", where="[/a].txt", expected="36 values", found="35")
        )
        await app.settle()
        assert "Nothing was taken in." in app.text
        assert "[/a].txt. Expected: 36 values. Found: 35." in app.text
        await app.press("enter")
        assert app.app.screen.PAGE == "home"


@pytest.mark.long
async def test_appearance_goes_round_and_says_so(booth: Any, session: Session) -> None:
    async with booth() as app:
        names = []
        for _ in range(3):
            await app.press("D")
            names.append(app.saved)
        assert names == ["Appearance: dim.", "Appearance: light.", "Appearance: dark."]


async def test_plain_signs_take_the_place_of_wide_ones(booth: Any, session: Session) -> None:
    async with booth(config=Config(bounce_ms=0, plain_signs=True)) as app:
        assert any(" >" in row for row in app.rows)
        await app.press("g", "3", "1")
        assert all(row.isascii() for row in app.rows), [row for row in app.rows if not row.isascii()]


@pytest.mark.long
@pytest.mark.parametrize("size", [(80, 24), pytest.param((160, 50), marks=pytest.mark.long)])
async def test_every_screen_keeps_its_footer_and_width_at_any_size(
    booth: Any, session: Session, size: tuple[int, int]
) -> None:
    async with booth(size) as app:
        for step in "h123456":
            await app.press("g", step)
            assert "? all keys" in app.keys
            assert len(app.rows) == size[1]
        await app.resize(60, 20)
        assert "drydown needs 80 columns" in " ".join(" ".join(app.rows).split())
        await app.resize(*size)
        assert "? all keys" in app.keys


async def test_ctrl_c_names_the_key_that_leaves(booth: Any, session: Session) -> None:
    async with booth() as app:
        await app.press("ctrl+c")
        assert app.saved == "Ctrl+Q leaves drydown. Every entry is saved."


async def test_keys_that_arrive_all_at_once_are_taken_in_order(
    booth: Any, bench: Bench, session: Session
) -> None:
    """A slow line sends many keys together: what one opens is there for the next."""
    from textual import events

    from evaluation.work.describe import begin

    begin.begin_like(bench, session.id)
    async with booth() as app:
        batch = ["g", "1", "enter", *"1310", "enter", "g", "2", *"11311", "g", "3", "1", "0", "4", "enter"]
        for key in batch:
            app.app.post_message(events.Key(key, key if len(key) == 1 else None))
        for _ in range(4):
            await app.settle()
        assert not any(screen.query("Typing") for screen in app.app.screen_stack), "a closed line is gone"
        made = sessions.load(bench.archive, 2)
        assert made.condition.printed_at is not None and f"{made.condition.printed_at:%H:%M}" == "13:10"
        assert len(made.readiness) == 5
        assert made.viewing is not None and len(made.viewing.answers) == 1
        assert "8 more regions" in app.text or "question" in app.text


@pytest.mark.long
async def test_a_key_right_after_a_line_was_taken_acts(booth: Any, session: Session, tmp_path: Any) -> None:
    """It was on its way to the line when the line closed."""
    from textual import events

    async with booth() as app:
        await app.press("slash", *"lus")
        await app.settle()
        for key in ("enter", "n"):
            app.app.post_message(events.Key(key, key if len(key) == 1 else None))
        for _ in range(4):
            await app.settle()
        assert "copied from session 1" in app.rows[0]
