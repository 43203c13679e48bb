"""Describe and Prepare by keys: rows that open, completion, digits that step down, clocks that run."""

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive import session_list, sessions
from evaluation.session import Session
from evaluation.work.bench import Bench
from evaluation.work.describe import begin
from evaluation.work.describe.fields import FIELDS


async def opened(app: Any, step: str) -> None:
    await app.press("g", step)


async def test_the_cursor_opens_on_what_is_needed(booth: Any, bench: Bench, session: Session) -> None:
    begin.begin_like(bench, session.id)
    async with booth() as app:
        await opened(app, "1")
        here = [row for row in app.rows if " ▸" in row]
        assert [row.split() for row in here] == [["▸", "printed", "at", "needed"]]
        shown = [row for row in app.rows if row[3:20].strip() in {field.title for field in FIELDS}]
        assert len(shown) == len(FIELDS), "every field is in sight at 80 by 24"


@pytest.mark.long
async def test_a_time_is_typed_as_people_type_it(booth: Any, bench: Bench, session: Session) -> None:
    begin.begin_like(bench, session.id)
    async with booth() as app:
        await opened(app, "1")
        await app.press("enter", *"1310", "enter")
        found = sessions.load(bench.archive, 2).condition.printed_at
        assert found is not None and f"{found:%d %b %Y %H:%M}" == "24 Nov 2026 13:10"
        assert "Saved 14:02. Printed at: 24 Nov 2026, 13:10." in app.saved


@pytest.mark.long
async def test_what_cannot_be_meant_changes_nothing(booth: Any, bench: Bench, session: Session) -> None:
    begin.begin_like(bench, session.id)
    async with booth() as app:
        await opened(app, "1")
        await app.press("enter", *"soon", "enter")
        assert sessions.load(bench.archive, 2).condition.printed_at is None
        assert app.saved.startswith("Expected: a time such as") and "Nothing was saved." in app.saved


@pytest.mark.long
async def test_letters_type_only_while_the_caret_shows(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await opened(app, "1")
        await app.press("home", "down", "down", "enter", "end", *" g q u", "enter")
        assert sessions.load(bench.archive, 1).condition.paper == "Sallowfell Lustre 247 g q u"
        await app.press("u")
        assert sessions.load(bench.archive, 1).condition.paper == "Sallowfell Lustre 247"


@pytest.mark.long
async def test_completion_offers_what_was_said_before(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await app.press("n")
        await app.press("home", "down", "down", "enter", *"Sallow")
        await app.press("right", "enter")
        newest = sessions.load(bench.archive, session_list.count(bench.archive))
        assert newest.condition.paper == "Sallowfell Lustre 247"


@pytest.mark.long
async def test_a_choice_is_made_by_a_digit(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await opened(app, "1")
        await app.press(*["down"] * 9, "enter")
        assert "1 perceptual" in app.text
        await app.press("1")
        assert sessions.load(bench.archive, 1).condition.intent == "perceptual"


@pytest.mark.long
async def test_g_g_names_what_is_still_open(booth: Any, bench: Bench, session: Session) -> None:
    begin.begin_like(bench, session.id)
    async with booth() as app:
        await opened(app, "1")
        await app.press("g", "g")
        assert "Still open: printed at. g 2 goes on." in app.saved


async def test_eleven_digits_answer_the_list(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await opened(app, "2")
        await app.press(*"11311111111")
        marks = {item: made.mark for item, made in sessions.load(bench.archive, 1).readiness.items()}
        assert marks["alignment"] == "does not apply"
        assert marks["nozzle_check"] == "done"
        assert "Saved 14:02. Colour vision known: done." in app.saved
        await app.press("g", "g")
        assert "A viewing" in app.text, "the next step is Look"


async def test_the_clock_of_the_eyes_runs_and_turns_into_done(
    booth: Any, bench: Bench, session: Session, clock: Any
) -> None:
    async with booth() as app:
        await opened(app, "2")
        await app.press(*["down"] * 9, "enter")
        assert any("eyes adapted" in row and "running" in row for row in app.rows)
        clock.forward(minutes=3)
        app.app.screen._tick()
        await app.pilot.pause()
        assert any("eyes adapted" in row and "by its clock" in row for row in app.rows)


@pytest.mark.long
async def test_a_clock_survives_a_restart(booth: Any, bench: Bench, session: Session, clock: Any) -> None:
    async with booth() as app:
        await opened(app, "2")
        await app.press(*["down"] * 9, "enter")
    clock.forward(seconds=60)
    async with booth() as app:
        await opened(app, "2")
        assert any("1:00 of 3:00" in row for row in app.rows)


async def test_a_fresh_print_is_not_yet_dry_and_one_may_go_on(
    booth: Any, bench: Bench, session: Session, clock: Any
) -> None:
    from evaluation.work.describe import begin as describing

    describing.say_condition(bench, session.id, "printed_at", clock() - timedelta(minutes=52))
    async with booth() as app:
        await opened(app, "2")
        assert any("not yet" in row and "52 min of 24 h" in row for row in app.rows)
        await app.press(*"11111211111")
        await app.press("g", "g")
        assert "A viewing" in app.text


@pytest.mark.long
async def test_what_was_measured_is_typed_and_kept(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await opened(app, "2")
        await app.press(*["down"] * 7, "enter", *"2040 lx, 5050 K, P1, second A", "enter")
        light = sessions.load(bench.archive, 1).readiness["viewing_light"]
        assert light.mark == "done"
        assert dict(light.detail) == {"lux": 2040.0, "kelvin": 5050.0, "class": "P1", "second": "A"}


@pytest.mark.long
async def test_the_light_of_last_time_is_offered_and_one_key_keeps_it(
    booth: Any, bench: Bench, session: Session
) -> None:
    begin.say_readiness(bench, session.id, "viewing_light", "done", {"lux": 2040.0})
    begin.begin_like(bench, session.id)
    async with booth() as app:
        await opened(app, "2")
        assert any("2040 lx in no. 1" in row for row in app.rows)
        await app.press(*["down"] * 7, "1")
        assert sessions.load(bench.archive, 2).readiness["viewing_light"].detail["lux"] == 2040.0


@pytest.mark.long
async def test_a_remark_is_kept_and_found_again(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await opened(app, "2")
        await app.press("r", *"humid today", "enter")
        assert sessions.load(bench.archive, 1).remarks == {"prepare": "humid today"}
        await app.press("r")
        assert "humid today" in app.text


@pytest.mark.long
async def test_a_profile_is_read_and_a_damaged_one_is_refused(
    booth: Any, bench: Bench, session: Session, tmp_path: Path
) -> None:
    bad = tmp_path / "bad.icc"
    bad.write_bytes(b"acsp" * 40)
    async with booth() as app:
        await opened(app, "1")
        await app.press(*["down"] * 8, "enter")
        await app.type(str(bad))
        assert sessions.load(bench.archive, 1).condition.profile == "lustre-fine.icc"
        assert "bad.icc" in app.text
        await app.press("enter")
        assert app.here.startswith(" ▸ profile"), "back where one was"


@pytest.mark.long
@pytest.mark.parametrize("typed", ["13x19in", "330.2 x 482.6 mm", "33.02x48.26cm"])
async def test_the_size_of_a_sheet_is_typed_in_any_unit(
    booth: Any, bench: Bench, session: Session, typed: str
) -> None:
    async with booth() as app:
        await opened(app, "1")
        await app.press(*["down"] * 3, "enter")
        await app.type(typed)
        condition = sessions.load(bench.archive, 1).condition
        assert (condition.sheet_width_mm, condition.sheet_height_mm) == (330.2, 482.6)


@pytest.mark.long
async def test_g_g_names_how_many_lines_wait(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await opened(app, "2")
        await app.press("1", "1", "g", "g")
        assert app.saved.startswith("Still open here: 8 lines. g 3 goes on all the same")
        assert app.here.startswith(" ▸ heads aligned")
        await app.press("g", "3")
        assert "A viewing" in app.text


async def test_black_and_white_takes_the_mono_sheet_and_undo_takes_it_back(
    booth: Any, bench: Bench, session: Session
) -> None:
    before = session.sheet_digest
    async with booth() as app:
        await opened(app, "1")
        await app.press("home", *["down"] * 11, "2")
        assert sessions.load(bench.archive, 1).condition.made_for == "black and white"
        assert sessions.load(bench.archive, 1).sheet_digest != before
        await app.press("u")
        assert sessions.load(bench.archive, 1).sheet_digest == before


@pytest.mark.long
@pytest.mark.parametrize("typed", ["2", "one way"])
async def test_direction_is_chosen_by_a_digit_or_typed(
    booth: Any, bench: Bench, session: Session, typed: str
) -> None:
    """The usual words have numbers; another way of saying it may be typed."""
    async with booth() as app:
        await app.press("g", "1", "home", *["down"] * 6)
        assert "1 both ways   2 one way   other: Enter, then type it" in app.text
        if typed == "2":
            await app.press("2")
        else:
            await app.press("enter")
            await app.type(typed)
        assert sessions.load(bench.archive, 1).condition.direction == "one way"


@pytest.mark.long
async def test_a_number_that_stands_for_nothing_is_not_a_direction(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth() as app:
        await app.press("g", "1", "home", *["down"] * 6, "enter")
        await app.type("7")
        assert "Expected: both ways or one way" in app.text and app.app.screen.typing.value == "7"


@pytest.mark.long
async def test_enter_alone_leads_from_each_step_to_the_next(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth() as app:
        await app.press("g", "1", "end")
        assert "All that is needed is filled in. Enter goes on to Prepare." in app.text
        await app.press("1")
        assert app.saved == "Enter opens the row; then letters and digits type."
        await app.press("up")
        assert app.saved == "", "a hint goes with the next key"
        await app.press("down", "enter")
        assert "Before the print is looked at" in app.text
        await app.press("end", "enter")
        assert app.rows[0].startswith(" Draw the reference test image") and "for session 1" in app.rows[0]
        await app.press("escape", "1")
        assert app.saved == "Enter: draw test image, patch list, booth form."
        await app.press("up", "enter")
        assert "1 short viewing" in app.text


async def test_a_bare_description_tells_at_its_end_what_is_open(booth: Any, bench: Bench) -> None:
    async with booth() as app:
        await app.press("enter", "end")
        assert "Still open, to be filled in now or later: printer, " in app.text
