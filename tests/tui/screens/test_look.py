"""Look by keys: every kind of question, undo to the very question, resume, second look, second viewing."""

from collections.abc import Awaitable, Callable
from dataclasses import replace
from typing import Any

import pytest

from evaluation.archive import sessions
from evaluation.session import Cast, Count, Grade, Pick, Place, Session, Viewing
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import begin, prepare
from evaluation.work.look import look
from tests.cases import some_now
from tui.config import Config

EVERY = {
    "count": ("5", "enter"),
    "cast": ("0", "0", "0"),
    "pick": ("0", "enter"),
    "place": ("0",),
    "yesno": ("1",),
}


@pytest.fixture
def viewed(bench: Bench, session: Session) -> Session:
    """A full viewing has begun, nothing is answered."""
    look.start(bench, session.id)
    return session


def viewing(bench: Bench) -> Viewing:
    found = sessions.load(bench.archive, 1).viewing
    assert found is not None
    return found


def to_question(bench: Bench, region: str, question: str) -> list[str]:
    """Right arrows from the first question of the first region to this one."""
    session = sessions.load(bench.archive, 1)
    sheet = sheet_of(bench, session)
    keys: list[str] = []
    for each in sheet.regions:
        stops = [q.id for q in look.asked(each, "full", second_light=False) if not q.whole_region]
        stops += ["faults", "overall"]
        for stop in stops:
            if (each.id, stop) == (region, question):
                return keys
            keys.append("right")
    raise KeyError(question)


async def at(app: Any, bench: Bench, region: str, question: str) -> None:
    await app.press("g", "3", *to_question(bench, region, question))


@pytest.mark.long
async def test_a_viewing_begins_with_one_digit(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await app.press("g", "3")
        assert "1 short viewing" in app.text
        await app.press("1")
        assert viewing(bench).kind == "quick"
        assert "9 more regions" in app.text


@pytest.mark.long
async def test_an_observer_is_named_before_the_viewing(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await app.press("g", "3", "enter")
        await app.type("the guest")
        await app.press("2")
        assert viewing(bench).observer == "the guest"
        assert "the guest, viewing 1" in app.rows[0]


async def test_a_grade_is_saved_and_goes_to_the_next_question(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    async with booth() as app:
        await at(app, bench, "neutral", "crossover")
        await app.press("4")
        assert viewing(bench).answers["neutral", "crossover"].value == Grade(4)
        assert app.saved == "Saved 14:02. Neutral greyscale, crossover: 4."
        assert "question 3 of" in app.text


@pytest.mark.long
async def test_the_question_starts_in_one_place(booth: Any, bench: Bench, viewed: Session) -> None:
    async with booth() as app:
        await app.press("g", "3")
        places = set()
        for _ in range(12):
            words = app.rows[5].split("│")[3]
            assert words.strip(), app.rows[5]
            places.add(len(words) - len(words.lstrip()))
            await app.press("right")
        assert places == {1}


@pytest.mark.parametrize("wrong", some_now(["0", "6", "9"], "6"))
async def test_a_grade_that_is_none_is_refused_in_words(
    booth: Any, bench: Bench, viewed: Session, wrong: str
) -> None:
    async with booth() as app:
        await at(app, bench, "neutral", "crossover")
        await app.press(wrong)
        assert app.saved == "Grades run from 5 to 1. Enter leaves the question open."
        assert viewing(bench).answers == {}


@pytest.mark.long
async def test_why_an_answer_was_not_taken_goes_when_one_goes_on(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    async with booth() as app:
        await at(app, bench, "neutral", "crossover")
        await app.press("9")
        assert app.saved.startswith("Grades run")
        await app.press("right")
        assert app.saved == ""


@pytest.mark.long
async def test_enter_leaves_a_question_open(booth: Any, bench: Bench, viewed: Session) -> None:
    async with booth() as app:
        await at(app, bench, "neutral", "crossover")
        await app.press("enter")
        assert "question 3 of" in app.text
        assert viewing(bench).answers == {}


async def test_a_cast_is_answered_part_by_part(booth: Any, bench: Bench, viewed: Session) -> None:
    async with booth() as app:
        await app.press("g", "3", "0", "2")
        assert "yellow, how strong?" in app.text
        await app.press("1", "0")
        found = viewing(bench).answers["neutral", "cast"].value
        assert found == Cast((("dark", "none", None), ("middle", "yellow", "just"), ("light", "none", None)))


@pytest.mark.long
async def test_escape_begins_a_cast_again_before_it_leaves(booth: Any, bench: Bench, viewed: Session) -> None:
    async with booth() as app:
        await app.press("g", "3", "2", "1", "escape")
        assert "▸shadows" in app.text
        assert viewing(bench).answers == {}
        await app.press("escape")
        assert "1 session" in app.rows[0], "a second Esc goes Home"


async def test_a_count_is_typed_and_taken(booth: Any, bench: Bench, viewed: Session) -> None:
    async with booth() as app:
        await at(app, bench, "shadow", "first")
        await app.press("1", "2", "enter")
        assert viewing(bench).answers["shadow", "first"].value == Count(12)


@pytest.mark.long
async def test_a_third_digit_is_refused(booth: Any, bench: Bench, viewed: Session) -> None:
    async with booth() as app:
        await at(app, bench, "shadow", "first")
        await app.press("1", "2", "3")
        assert app.saved == "Enter takes 12; Esc forgets it."


def middle_numbers(bench: Bench) -> list[str]:
    """The numbers printed in the middle group of the ring-around."""
    sheet = sheet_of(bench, sessions.load(bench.archive, 1))
    return [patch.name for patch in sheet.patches if patch.region == "ring" and patch.series == "middle"]


@pytest.mark.long
@pytest.mark.parametrize(("count", "typed"), [(1, ("enter",)), (2, ("enter",))])
async def test_fields_are_picked_by_their_printed_numbers(
    booth: Any, bench: Bench, viewed: Session, count: int, typed: tuple[str, ...]
) -> None:
    numbers = middle_numbers(bench)[:count]
    async with booth() as app:
        await at(app, bench, "ring", "pick_mid")
        await app.press(*"".join(numbers), *typed)
        assert viewing(bench).answers["ring", "pick_mid"].value == Pick(tuple(map(int, numbers)))


@pytest.mark.long
@pytest.mark.parametrize(("keys", "expected"), [(("0", "enter"), Pick(())), (("0", "5"), Pick((), "blue"))])
async def test_none_of_the_fields_is_an_answer_with_a_way_out(
    booth: Any, bench: Bench, viewed: Session, keys: tuple[str, ...], expected: Pick
) -> None:
    async with booth() as app:
        await at(app, bench, "ring", "pick_mid")
        await app.press(*keys)
        assert viewing(bench).answers["ring", "pick_mid"].value == expected


@pytest.mark.long
async def test_a_number_that_is_not_printed_there_is_refused_in_one_line(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    strange = next(str(number) for number in range(10, 100) if str(number) not in middle_numbers(bench))
    async with booth() as app:
        await at(app, bench, "ring", "pick_mid")
        await app.press(*strange, "enter")
        assert app.saved == f"{strange}: not printed there. Look at the number again; nothing was saved."
        assert viewing(bench).answers == {}


@pytest.mark.long
async def test_the_key_of_the_ring_is_shown_once_all_is_chosen(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    async with booth() as app:
        await at(app, bench, "ring", "overall")
        assert "Meant as grey" not in app.text
        for question in ("pick_dark", "pick_mid", "pick_light"):
            look.answer(bench, 1, "ring", question, Pick(()))
        await app.press("g", "3")
        await app.press("down", "left")
        assert f"middle {middle_numbers(bench)[0]}" in app.text


@pytest.mark.long
async def test_places_are_named_with_their_first_step(booth: Any, bench: Bench, viewed: Session) -> None:
    async with booth() as app:
        await at(app, bench, "saturation", "clip")
        await app.press("9", "enter", "7", "enter", "1", "2", "enter", "enter", "enter")
        assert viewing(bench).answers["saturation", "clip"].value == Place((("blue", 7), ("rose", None)))


@pytest.mark.long
@pytest.mark.parametrize(("key", "yes"), [("1", True), ("0", False), ("y", True), ("n", False)])
async def test_yes_and_no_have_two_keys_each(
    booth: Any, bench: Bench, viewed: Session, key: str, yes: bool
) -> None:
    async with booth() as app:
        await at(app, bench, "tints", "sides")
        await app.press(key)
        assert viewing(bench).answers["tints", "sides"].value.yes is yes


async def test_faults_are_taken_and_left_by_number(booth: Any, bench: Bench, viewed: Session) -> None:
    async with booth() as app:
        await at(app, bench, "neutral", "faults")
        await app.press("1", "3", "1")
        assert [fault.name for fault in viewing(bench).faults] == ["contour"]
        assert "*3 contour" in app.text
        await app.press("enter")
        assert "question 6 of 6" in app.text


async def test_undo_returns_to_the_very_question_and_redo_says_it_again(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    async with booth() as app:
        await at(app, bench, "neutral", "crossover")
        await app.press("4", "3", "u")
        assert app.saved == "Undone: neutral greyscale, steps: 3."
        assert "question 3 of" in app.text
        await app.press("u")
        assert "question 2 of" in app.text
        assert viewing(bench).answers == {}
        await app.press("U")
        assert app.saved == "Redone: neutral greyscale, crossover: 4."
        assert viewing(bench).answers["neutral", "crossover"].value == Grade(4)


@pytest.mark.long
async def test_undo_ends_in_words(booth: Any, bench: Bench, viewed: Session) -> None:
    async with booth() as app:
        await app.press("g", "3", "u", "u")
        assert app.saved == "Nothing left to undo here; the last entry is in Describe (g 1)."


@pytest.mark.long
async def test_the_next_region_follows_unless_something_is_to_be_made_ready(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    async with booth() as app:
        await at(app, bench, "neutral", "overall")
        await app.press("4")
        assert "Ring-around" in app.rows[4] and "First rest your eyes on" in app.text
        assert app.saved == "Saved 14:02. Neutral greyscale, as a whole: 4."
        course = app.app.screen.course
        course.to_region("gradient")
        course.stand(course.begun.all.index(course.begun.stops["gradient"][-1]))
        app.app.screen.refresh_page()
        await app.press("4")
        assert "As a whole: 4" in app.text
        assert "Next: fine detail and registration. You will need the" in app.text
        await app.press("5")
        assert app.saved == "Enter goes on; Left goes back to the answers."
        await app.press("enter")
        assert "Fine detail" in app.rows[4]


async def test_a_region_left_open_is_told_before_one_goes_on(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth() as app:
        await app.press("g", "3", "1", "0", "enter")
        assert "Left open as a whole." in app.text and "x: it is not on this sheet." in app.text


def counted(app: Any) -> tuple[Callable[..., Awaitable[None]], list[str]]:
    """What presses keys, and those it pressed."""
    pressed: list[str] = []

    async def press(*keys: str) -> None:
        pressed.extend(keys)
        await app.press(*keys)

    return press, pressed


async def test_so_many_keys_make_a_viewing(booth: Any, bench: Bench, session: Session) -> None:
    """A short one, from Home, without faults."""
    async with booth() as app:
        press, pressed = counted(app)
        await press("g", "3", "1")
        course = app.app.screen.course
        while course.mode != "finished":
            await press("0" if course.stop.question is None else "4")
        assert len(viewing(bench).answers) == 10 and len(pressed) <= 25


@pytest.mark.long
async def test_so_many_keys_make_a_full_viewing(booth: Any, bench: Bench, session: Session) -> None:
    """By the barest answers that say it all: no cast, no fault, figures of one digit."""
    barest = {"grade": "4", "count": "5 enter", "cast": "0", "pick": "0 enter", "place": "0", "yesno": "1"}
    async with booth() as app:
        press, pressed = counted(app)
        await press("g", "3", "2")
        course = app.app.screen.course
        while course.mode != "finished":
            question = course.stop.question
            if course.mode == "pause":
                keys = ["enter"]
            elif question is None:
                keys = ["0"]
            elif question.answer == "cast":
                keys = ["0"] * len(question.parts)
            else:
                keys = barest[question.answer].split()
            await press(*keys)
        assert len(viewing(bench).answers) == sum(stop.question is not None for stop in course.begun.all)
        assert len(pressed) <= 85


async def test_a_viewing_goes_on_exactly_where_it_stopped(booth: Any, bench: Bench, viewed: Session) -> None:
    async with booth() as app:
        await at(app, bench, "neutral", "crossover")
        await app.press("4", "3")
        stopped = app.rows[4]
    async with booth() as app:
        await app.press("g", "g")
        assert app.rows[4] == stopped
        assert "question 4 of" in app.text


@pytest.mark.long
async def test_an_answer_over_an_older_one_is_a_change_that_undo_takes_back(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    async with booth() as app:
        await at(app, bench, "neutral", "crossover")
        await app.press("4", "left")
        assert "▸4" in app.text
        await app.press("2")
        assert viewing(bench).answers["neutral", "crossover"].value == Grade(2)
        await app.press("u")
        assert viewing(bench).answers["neutral", "crossover"].value == Grade(4)


async def test_a_bouncing_key_answers_once(booth: Any, bench: Bench, viewed: Session) -> None:
    """The same digit again within 150 ms is a bouncing key; later, or another digit, is an answer."""
    times = iter([0.0, 0.1, 0.2, 0.5])
    async with booth(config=Config(), ticks=lambda: next(times)) as app:
        await at(app, bench, "neutral", "crossover")
        await app.press("4", "4")
        assert "question 3 of" in app.text
        await app.press("3")
        await app.press("3")
        assert {key[1] for key in viewing(bench).answers} == {"crossover", "steps", "ramp"}


@pytest.mark.long
async def test_a_region_is_marked_for_a_second_look_and_graded_again(
    booth: Any, bench: Bench, viewed: Session
) -> None:
    async with booth() as app:
        await at(app, bench, "neutral", "overall")
        await app.press("4", "a")  # until one goes on, it is about the region that was just finished
        assert viewing(bench).look_again == {"neutral"}
        assert app.saved.endswith("Neutral greyscale: to look at again.")
        await app.press("left", "3")
        assert viewing(bench).look_again == frozenset()
        assert viewing(bench).answers["neutral", "overall"].value == Grade(3)


@pytest.mark.long
async def test_a_remark_belongs_to_the_region(booth: Any, bench: Bench, viewed: Session) -> None:
    async with booth() as app:
        await app.press("g", "3", "r")
        assert "Remark on neutral greyscale:" in app.saved
        await app.type("a line near step 7")
        assert viewing(bench).remarks == {"neutral": "a line near step 7"}


@pytest.mark.long
async def test_another_viewing_hides_the_first(booth: Any, bench: Bench, viewed: Session) -> None:
    async with booth() as app:
        await at(app, bench, "neutral", "crossover")
        await app.press("4", "v", "2")
        assert viewing(bench).ordinal == 2
        assert "viewing 2, earlier unseen" in app.rows[0]
        await app.press("right")
        assert "▸4" not in app.text


@pytest.mark.long
async def test_a_short_viewing_asks_for_faults_and_one_grade(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth() as app:
        await app.press("g", "3", "1")
        regions = len([each for each in sheet_of(bench, session).regions if each.questions])
        for _ in range(regions):
            await app.press("0", "4")
        assert "Look is finished." in app.text
        assert len(viewing(bench).answers) == regions


@pytest.mark.long
async def test_look_that_is_not_quite_finished_names_what_is_left(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth() as app:
        await app.press("g", "3", "1", "0", "enter", "enter")
        for _ in range(9):
            await app.press("0", "4")
        assert "Neutral greyscale" in app.rows[4], "the region left open comes round again"


@pytest.mark.long
async def test_questions_for_a_second_light_are_asked_when_there_is_one(
    booth: Any, bench: Bench, session: Session
) -> None:
    prepare.say_detail(bench, session.id, "viewing_light", "2000 lx, second A")
    look.start(bench, session.id)
    async with booth() as app:
        await app.press("g", "3")
        assert "question 1 of 7" in app.text


@pytest.mark.long
async def test_a_print_in_black_and_white_is_asked_by_the_mono_sheet(booth: Any, bench: Bench) -> None:
    session = begin.begin(bench, replace(begin.PrintingCondition(), made_for="black and white"), {})
    async with booth() as app:
        await app.press("g", "3", "2")
        assert sheet_of(bench, session).regions[0].title in app.text


@pytest.mark.long
async def test_dim_then_dark_until_a_key(booth: Any, bench: Bench, viewed: Session) -> None:
    async with booth() as app:
        await app.press("g", "3", "d")
        assert app.app.theme == "dim"
        await app.press("d")
        assert app.text.strip() == ""
        await app.press("4")
        assert "9 more regions" in app.text, "the key that wakes the screen does nothing else"
        assert viewing(bench).answers == {}
        assert app.app.theme == "dark"


async def test_no_reading_is_shown_in_look(booth: Any, bench: Bench, viewed: Session) -> None:
    """Whatever was read, a pause tells only what the eye said."""
    async with booth() as app:
        await at(app, bench, "neutral", "overall")
        await app.press("4")
        assert "dE" not in app.text and "L*" not in app.text


@pytest.mark.long
async def test_the_map_grows_and_shrinks(booth: Any, bench: Bench, viewed: Session) -> None:
    async with booth() as app:
        await app.press("g", "3", "m")
        assert "m brings the question back." in app.text
        await app.press("4")
        assert viewing(bench).answers == {}
        await app.press("m")
        assert "question 1 of" in app.text


@pytest.mark.long
async def test_no_faults_is_remembered_after_a_restart(booth: Any, bench: Bench, session: Session) -> None:
    """A short viewing asks for the faults, then for the grade: it goes on at the grade; u opens the list."""
    async with booth() as app:
        await app.press("g", "3", "1", "0")
        assert app.saved == "Saved 14:02. Neutral greyscale: no faults."
    async with booth() as app:
        await app.press("g", "3")
        assert "question 2 of 2" in app.text
        viewing = sessions.load(bench.archive, 1).viewing
        assert viewing is not None and (viewing.faults, viewing.faultless) == ((), {"neutral"})
        await app.press("u")
        assert app.saved == "Undone: neutral greyscale: no faults."
        assert "question 1 of 2" in app.text


@pytest.mark.long
async def test_a_fault_noted_later_takes_none_back(booth: Any, bench: Bench, session: Session) -> None:
    async with booth() as app:
        await app.press("g", "3", "1", "0", "left", "1")
        viewing = sessions.load(bench.archive, 1).viewing
        assert viewing is not None and len(viewing.faults) == 1 and viewing.faultless == frozenset()
