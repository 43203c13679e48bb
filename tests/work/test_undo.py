"""Undo belongs to the page it is pressed on; what changes more than the page shows is asked about first."""

import random
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.errors import UsageProblem
from evaluation.session import Grade, PrintingCondition, Session
from evaluation.sheet.load import map_text
from evaluation.work import log, undo
from evaluation.work.bench import Bench, drawn_sheet_of
from evaluation.work.describe import begin, fields, prepare, sheets
from evaluation.work.look import look
from evaluation.work.paper import viewing as paper
from evaluation.work.take_in import typed
from tests.cases import some_now

CODE = "W73H-CE5N"
HAND = typed.Hand("M1", "hand-held", "white")
PAGES = tuple(undo.TITLES)


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    """A bench with one session, begun with two fields and a line of Prepare."""
    with open_archive(tmp_path / "archive.db", create=True) as archive:
        made = Bench(archive, now=lambda: datetime(2026, 3, 9, 12, tzinfo=UTC))
        condition = PrintingCondition(printer="Merrowby 24", paper="rag")
        begin.begin(made, condition, {"flat": {"mark": "done", "detail": {}}})
        yield made


def offered(bench: Bench, page: undo.Page, turn: undo.Turn = "undo") -> undo.Offer | None:
    return undo.offer(bench, log.session(bench, 1), page, turn, lambda action: True)


def turned(bench: Bench, page: undo.Page, turn: undo.Turn = "undo") -> str:
    """The words of what was turned; "" when nothing belongs there."""
    found = offered(bench, page, turn)
    if found is None:
        return ""
    assert found.question == ""
    step = undo.take(bench, 1, turn, found)
    assert step is not None
    return step.words


def test_what_is_undone_was_said_on_that_page(bench: Bench) -> None:
    fields.say_field(bench, 1, "inks", "ten inks")
    prepare.answer(bench, 1, "surround", "done")
    look.start(bench, 1)
    look.answer(bench, 1, "neutral", "crossover", Grade(4))
    typed.put(bench, 1, "N21", "95 0 0", HAND, by_another=True)
    log.remark(bench, 1, "weigh", "odd")
    assert turned(bench, "describe") == "Inks: ten inks"
    assert turned(bench, "prepare") == "Surround neutral grey: done"
    assert turned(bench, "look") == "Neutral greyscale, crossover: 4"
    assert turned(bench, "weigh") == "Remark on Weigh: “odd”"
    assert offered(bench, "read") is None and offered(bench, "write_up") is None
    assert turned(bench, "typed") == "Readings taken in: typed by hand"


def test_redo_is_of_the_page_too(bench: Bench) -> None:
    fields.say_field(bench, 1, "inks", "ten inks")
    prepare.answer(bench, 1, "surround", "done")
    turned(bench, "describe")
    turned(bench, "prepare")
    assert turned(bench, "describe", "redo") == "Inks: ten inks"
    assert offered(bench, "describe", "redo") is None
    assert turned(bench, "prepare", "redo") == "Surround neutral grey: done"


def test_what_a_session_was_begun_with_is_asked_about(bench: Bench) -> None:
    found = offered(bench, "describe")
    assert found is not None
    assert found.question == "Undo “Printer: Merro…” and 2 more, in Describe and Prepare?"
    assert undo.take(bench, 1, "undo", found) is not None
    assert log.session(bench, 1).condition == PrintingCondition()
    again = offered(bench, "prepare", "redo")
    assert again is not None and again.question.startswith("Redo “Printer: Merro…” and 2 more")


def test_rows_that_are_one_answer_are_not_asked_about(bench: Bench) -> None:
    fields.say_field(bench, 1, "sheet_size", "A3")  # width and height
    assert turned(bench, "describe") == "Sheet: 297 x 420 mm"
    prepare.answer(bench, 1, "adapted", "done")
    prepare.start_clock(bench, 1)  # the clock, and the line open again
    assert turned(bench, "prepare").startswith("Clock of adaptation: started")
    look.start(bench, 1)
    look.fault(bench, 1, "skin", "grey")
    look.fault(bench, 1, "skin", "blotchy")
    look.faults(bench, 1, "skin", ())  # both taken away, and none said
    assert turned(bench, "look")
    look.again(bench, 1, "skin")
    look.answer(bench, 1, "skin", "overall", Grade(4))  # the grade, and the mark has done its work
    assert turned(bench, "look") == "Skin tones, as a whole: 4, looked at again"
    viewing = log.session(bench, 1).viewing
    assert viewing is not None and viewing.look_again == {"skin"} and len(viewing.faults) == 2


def test_a_form_typed_in_is_asked_about(bench: Bench) -> None:
    sheet = drawn_sheet_of(bench, log.session(bench, 1))
    form = paper.read_form("[skin]\noverall = 4\nhue = 'none'\n[tints]\nabsent = true", "g.toml", sheet)
    paper.record(bench, 1, form)
    found = offered(bench, "look")
    assert found is not None and found.question.endswith("and 2 more, in Look?")


def test_what_a_page_does_not_show_is_asked_about(bench: Bench) -> None:
    typed.put(bench, 1, "N21", "95 0 0", HAND, by_another=True)
    session = log.session(bench, 1)
    other = typed.Hand("M0")
    found = undo.offer(bench, session, "typed", "undo", lambda action: typed.by_hand(bench, action, other))
    assert (
        found is not None and found.question == "Undo “Readings taken in: type…”, in readings typed by hand?"
    )
    own = undo.offer(bench, session, "typed", "undo", lambda action: typed.by_hand(bench, action, HAND))
    assert own is not None and own.question == ""


def test_typed_lines_are_undone_where_they_were_typed(bench: Bench) -> None:
    """Read shows the file as a whole; that it was left out is undone there as well."""
    typed.put(bench, 1, "N21", "95 0 0", HAND, by_another=True)
    typed.put(bench, 1, "N01", "3 0 0", HAND, by_another=True)
    assert offered(bench, "read") is None
    typed.take_away(bench, 1, "N01", HAND)
    typed.take_away(bench, 1, "N21", HAND)
    assert turned(bench, "read") == "Readings left out: typed by hand"


def test_the_newest_entry_is_found_for_the_page_that_has_it(bench: Bench) -> None:
    assert undo.elsewhere(bench, log.session(bench, 1), "undo") == "describe"
    prepare.answer(bench, 1, "surround", "done")
    assert undo.elsewhere(bench, log.session(bench, 1), "undo") == "prepare"
    assert undo.elsewhere(bench, log.session(bench, 1), "redo") is None


def test_what_another_program_turned_meanwhile_is_not_turned_twice(bench: Bench) -> None:
    fields.say_field(bench, 1, "inks", "ten inks")
    fields.say_field(bench, 1, "quality", "3 of 5")
    found = offered(bench, "describe")
    assert found is not None
    log.undo(bench, 1)
    assert undo.take(bench, 1, "undo", found) is None
    assert log.session(bench, 1).condition.inks == "ten inks"


def in_sight(session: Session) -> dict[str, object]:
    """What each page shows of a session."""
    shown = session.viewing
    return {
        "describe": (replace(session.condition, absent=()), session.remarks.get("describe")),
        "prepare": (session.readiness, session.timers, session.remarks.get("prepare")),
        "look": (shown and replace(shown, look_again=frozenset()), session.condition.absent),
        "typed": session.runs,
        "weigh": (shown and shown.look_again, session.remarks.get("weigh")),
        "write_up": session.written,
    }


@pytest.mark.parametrize("seed", some_now(range(8), 0))
def test_whatever_was_said_undo_and_redo_change_nothing_out_of_sight(bench: Bench, seed: int) -> None:
    draw = random.Random(seed)
    look.start(bench, 1)
    says: list[Callable[[], object]] = [
        lambda: fields.say_field(bench, 1, "inks", str(draw.random())),
        lambda: fields.say_field(bench, 1, "sheet_size", draw.choice(["A3", "A4"])),
        lambda: prepare.answer(bench, 1, draw.choice(["surround", "dry", "adapted"]), "done"),
        lambda: prepare.start_clock(bench, 1),
        lambda: look.answer(bench, 1, draw.choice(["skin", "tints"]), "overall", Grade(draw.randint(1, 5))),
        lambda: look.fault(bench, 1, "skin", "grey", seen=draw.random() < 0.5),
        lambda: look.again(bench, 1, "skin", draw.random() < 0.5),
        lambda: look.absent(bench, 1, "picture", draw.random() < 0.5),
        lambda: log.remark(bench, 1, draw.choice(["describe", "prepare", "weigh"]), str(draw.random())),
        lambda: typed.put(bench, 1, "N21", "95 0 0", HAND, by_another=True),
    ]
    turns = 0
    for _ in range(120):
        if draw.random() < 0.5:
            draw.choice(says)()
            continue
        page, turn = draw.choice(PAGES), draw.choice(("undo", "undo", "redo"))
        found = offered(bench, page, turn)
        if found is None or found.question:
            continue
        before = in_sight(log.session(bench, 1))
        undo.take(bench, 1, turn, found)
        after = in_sight(log.session(bench, 1))
        beside = {"weigh", "look"} if {entry.kind for entry in found.entries} & {"again"} else {page}
        assert {name for name in before if before[name] != after[name]} <= beside
        turns += 1
    assert turns > 10


# The sheet goes with its code -------------------------------------------------------------------------------


@pytest.fixture
def tied(bench: Bench) -> Bench:
    """The session on a map of its owner, then tied by its code to a sheet that was drawn."""
    text = re.sub(r'^code = ".*"$', f'code = "{CODE}"', map_text("colour-4"), count=1, flags=re.MULTILINE)
    sheets.remember(bench, text, "drawn.sheet.toml", CODE)
    own = map_text("mono-7") + "\n# my own\n"
    begin.begin(bench, PrintingCondition(paper="rag"), {}, map_text=own, map_name="own.toml")
    return bench


def test_the_map_before_comes_back_with_undo_and_the_drawn_one_with_redo(tied: Bench) -> None:
    before = log.session(tied, 2).sheet_digest
    after = fields.say_field(tied, 2, "sheet_size", CODE).session.sheet_digest
    found = undo.offer(tied, log.session(tied, 2), "describe", "undo", lambda action: True)
    assert found is not None and found.question == ""
    step = undo.take(tied, 2, "undo", found)
    assert step is not None and step.words == f"Code of the sheet: {CODE}"
    assert step.session.sheet_digest == before != after
    again = undo.offer(tied, step.session, "describe", "redo", lambda action: True)
    assert again is not None
    undo.take(tied, 2, "redo", again)
    assert log.session(tied, 2).sheet_digest == after


def test_a_code_stays_once_something_was_graded_by_its_map(tied: Bench) -> None:
    fields.say_field(tied, 2, "sheet_size", CODE)
    look.start(tied, 2)
    look.answer(tied, 2, "skin", "overall", Grade(4))
    before = sessions.load(tied.archive, 2)
    found = undo.offer(tied, before, "describe", "undo", lambda action: True)
    assert found is not None
    with pytest.raises(UsageProblem, match="keeps its sheet"):
        undo.take(tied, 2, "undo", found)
    assert sessions.load(tied.archive, 2) == before
