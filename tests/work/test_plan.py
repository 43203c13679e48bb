"""The plan of a loan from its entries and sessions: what comes next, what is recognised, what it says."""

import doctest
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from evaluation.appendix.case import Choices
from evaluation.archive import loans, sessions
from evaluation.archive.connection import open_archive
from evaluation.errors import DrydownError
from evaluation.loan import About, Loan
from evaluation.planning import typed
from evaluation.planning.plan import Plan
from evaluation.telling import plan_rows
from evaluation.work import home
from evaluation.work.bench import Bench
from evaluation.work.describe import begin
from evaluation.work.plan import doing, entering, form
from evaluation.work.plan.plan import plan
from evaluation.work.write_up import write_up

MONDAY = datetime(2026, 3, 2, 9, tzinfo=UTC)


class Clock:
    def __init__(self) -> None:
        self.at = MONDAY

    def __call__(self) -> datetime:
        return self.at


@pytest.fixture(autouse=True)
def one_time_zone(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("TZ", "UTC")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def bench(tmp_path: Path, clock: Clock) -> Iterator[Bench]:
    with open_archive(tmp_path / "room.db", create=True) as opened:
        yield Bench(opened, now=clock)


ABOUT = About(printer="Merrowby 24", inks="ten inks", first=date(2026, 3, 2), last=date(2026, 3, 13))


@pytest.fixture
def loan(bench: Bench) -> Loan:
    papers = [
        typed.paper_typed(text) for text in ("Rag 293: fine, finest; portrait", "Matt 230: fine, finest")
    ]
    return entering.begin_loan(bench, ABOUT, papers)


def now(bench: Bench) -> Plan:
    loan = loans.load(bench.archive)
    assert loan is not None
    return plan(bench, loan)


def states(found: Plan) -> list[tuple[str, str, str, str | None]]:
    return [(job.paper.name, job.setting, plan_rows.when(found, job), job.step) for job in found.jobs]


def test_three_days_of_a_loan(bench: Bench, loan: Loan, clock: Clock) -> None:
    """Charts first, in one go while their paper is in; drying; then what the sessions say is recognised."""
    found = now(bench)
    first, second, third = plan_rows.next_step(found)
    assert first == "Print the charts: Rag 293, fine and finest."
    assert second.startswith(
        "50 min for 2 settings, 10 min of it to change the paper. First, since 24 h of drying"
    )
    assert third.startswith("To print: your profiling charts, unmanaged")
    assert [job.latest is not None for job in found.jobs] == [True] * 4
    for setting in ("fine", "finest"):
        loan = doing.done(bench, loan, "Rag 293", setting, "charts")
        clock.at += timedelta(minutes=25)
    found = now(bench)
    assert plan_rows.next_step(found)[0] == "Print the charts: Matt 230, fine and finest."
    assert ("Rag 293", "fine", "dry Tue 3 Mar, 09:00", "profile") in states(found)
    for setting in ("fine", "finest"):
        loan = doing.done(bench, loan, "Matt 230", setting, "charts")
    clock.at += timedelta(minutes=1)
    assert plan_rows.next_step(now(bench))[0] == "Nothing until Tue 3 Mar, 09:00: Rag 293, fine must dry."
    clock.at = MONDAY + timedelta(hours=12)
    assert plan_rows.next_step(now(bench))[0] == "Nothing now: the next open hour begins Tue 3 Mar, 09:00."

    clock.at = MONDAY + timedelta(days=1)
    found = now(bench)
    assert plan_rows.next_step(found)[0] == "Read the charts, make the profile: Rag 293, fine."
    assert "No print can be made now." in plan_rows.next_step(found)[1]
    loan, number = doing.session_for(bench, found.loan, "Rag 293", "fine")
    session = sessions.load(bench.archive, number)
    condition = session.condition
    assert (condition.printer, condition.inks, condition.paper) == ("Merrowby 24", "ten inks", "Rag 293")
    assert (condition.quality, condition.made_for) == ("fine", "portrait")
    assert doing.session_for(bench, loan, "Rag 293", "fine") == (loan, number)  # it is not begun twice
    begin.say_condition(bench, number, "profile", "rag-fine.icc")
    found = now(bench)
    assert states(found)[0] == ("Rag 293", "fine", "now", "sheet") and found.jobs[0].session == number
    loan = doing.done(bench, found.loan, "Rag 293", "fine", "sheet")
    assert sessions.load(bench.archive, number).condition.printed_at == clock.at
    clock.at += timedelta(minutes=5)
    assert ("Rag 293", "fine", "dry Wed 4 Mar, 09:00", "look") in states(now(bench))
    begin.say_readiness(bench, number, "dry", "done")  # a person says so: the wait is over
    assert ("Rag 293", "fine", "look") in [
        (row[0], row[1], row[3]) for row in states(now(bench)) if "dry" not in row[2]
    ]

    # Undo of what was printed is told to the session too, and so is its redo.
    assert doing.turned(bench, loan, "undo")[0].kind == "done"
    assert sessions.load(bench.archive, number).condition.printed_at is None
    doing.turned(bench, loan, "redo")
    assert sessions.load(bench.archive, number).condition.printed_at == MONDAY + timedelta(days=1)


def test_a_session_that_was_weighed_is_done_and_one_that_is_gone_says_so(bench: Bench, loan: Loan) -> None:
    loan, number = doing.session_for(bench, loan, "Matt 230", "fine")
    bench.archive.connection.execute("UPDATE session SET state = 'weighed' WHERE id = ?", (number,))
    found = now(bench)
    assert states(found)[-1] == ("Matt 230", "fine", "done", None)
    home.remove(bench, number)
    found = now(bench)
    assert found.troubles == (
        f"Session {number} of Matt 230, fine was removed: `drydown bring-back {number}` brings it back, "
        "Enter begins another.",
    )
    assert ("Matt 230", "fine", "charts") in [
        (row[0], row[1], row[3]) for row in states(found)
    ]  # usable all the same
    loan, other = doing.session_for(bench, loan, "Matt 230", "fine")
    assert other != number and now(bench).troubles == ()
    entering.leave_out(bench, loan, "Matt 230", "fine")
    assert states(now(bench))[-1] == ("Matt 230", "fine", "left out", None)


def test_bad_input_is_one_sentence_each_and_the_plan_stays_usable(
    bench: Bench, loan: Loan, clock: Clock
) -> None:
    refused = {
        "first": lambda: entering.set_about(bench, loan, "first", "2026-03-20"),
        "a first day no later than the last, 2026-03-01": lambda: entering.set_about(
            bench, loan, "last", "1 Mar"
        ),
        "hours that end after 09:00": lambda: entering.set_about(bench, loan, "closes", "8:30"),
        "a day such as 2026-12-18 or 18 Dec. Found: “31.2.”": lambda: entering.set_about(
            bench, loan, "last", "31.2."
        ),
        "an hour such as 9:00 or 1730. Found: “25”": lambda: entering.set_about(bench, loan, "opens", "25"),
        "days such as Mon to Fri": lambda: entering.set_about(bench, loan, "days", "sometimes"),
        "yes or no. Found: “maybe”": lambda: entering.set_about(bench, loan, "full_list", "maybe"),
        "every paper once. Found: “Rag 293” twice.": lambda: entering.add_paper(bench, loan, "rag 293: fine"),
        "a paper and its settings": lambda: entering.add_paper(bench, loan, "Rag 310"),
        "1 to 9 settings. Found: nothing": lambda: entering.add_paper(bench, loan, "Rag 310: ;"),
        "one of: general, black and white": lambda: entering.add_paper(bench, loan, "Rag 310: fine; gloss"),
        "minutes from 1 to 1440": lambda: entering.set_minutes(bench, loan, "look", "-5"),
        "a day of the loan. Found: 2026-04-01": lambda: entering.lose_day(bench, loan, date(2026, 4, 1)),
        "a paper and a setting of the plan": lambda: doing.session_for(bench, loan, "Rag", "fine"),
        "400 days at most. Found: 5053 days": lambda: entering.set_about(bench, loan, "last", "2040-01-01"),
        "no question 3": lambda: entering.answer(bench, loan, 3, "yes"),
    }
    for words, enter in refused.items():
        with pytest.raises(DrydownError) as problem:
            enter()
        assert words in problem.value.sentence and "\n" not in problem.value.sentence
    assert loans.load(bench.archive) == loan

    # What stands in the archive all the same, as from another program, is told and nothing breaks.
    for field, value, sentence in (
        ("last", "2026-03-01", "The last day is before the first"),
        ("closes", "08:00", "There are no open hours"),
        ("last", None, "The loan has no last day yet"),
    ):
        loans.say(bench.archive, loan.uid, [loans.LoanDraft("about", field, value)], bench.now())
        found = now(bench)
        assert any(trouble.startswith(sentence) for trouble in found.troubles)
        assert len(found.jobs) == 4 and plan_rows.shares(found) == plan_rows.shares(found)
        doing.turned(bench, loan, "undo")
    clock.at -= timedelta(days=2)
    (trouble,) = now(bench).troubles
    assert trouble.startswith("This computer's clock reads 09:00, before the last entry of Mon 2 Mar, 09:00")
    clock.at += timedelta(days=20)
    assert now(bench).troubles == ("The printer went back on 13 Mar 2026.",)
    assert plan_rows.next_step(now(bench)) == []


def test_times_are_those_entered_until_three_timers_say_otherwise(
    bench: Bench, loan: Loan, clock: Clock
) -> None:
    loan = entering.set_minutes(bench, loan, "charts", "30")
    found = now(bench)
    assert (found.times.minutes["charts"], found.times_of["charts"], found.times_of["look"]) == (
        30,
        "entered",
        "usual",
    )
    for minutes in (18, 40, 22):
        loan = entering.time_step(bench, loan, "charts")
        assert loan.timer == ("charts", clock.at)
        clock.at += timedelta(minutes=minutes)
        loan = entering.time_step(bench, loan, None)
    found = now(bench)
    assert (found.times.minutes["charts"], found.times_of["charts"]) == (22, "timed")
    loan = entering.time_step(bench, loan, "look")
    clock.at -= timedelta(hours=1)  # a clock that was set back has measured nothing
    assert entering.time_step(bench, loan, None).took == {"charts": (18.0, 40.0, 22.0)}
    assert loans.load(bench.archive).timer is None  # type: ignore[union-attr]


@pytest.mark.long
def test_what_can_still_be_done_in_words_and_what_to_leave_out(bench: Bench) -> None:
    papers = [typed.paper_typed(f"Paper {n}: fine, finest, best; maker's profile") for n in range(12)]
    about = About(
        "Merrowby", "", date(2026, 3, 2), date(2026, 3, 25), typed.hour_typed("9"), typed.hour_typed("16")
    )
    loan = entering.begin_loan(bench, about, papers)
    found = plan(bench, loan)
    assert plan_rows.rest(found) == [
        "Left to do: 94 h in 126 h open, 75 %; leave room above 60 %.",
        "36 viewings at 3 a day take 12 of 18 open days left.",
    ]
    sentences = [sentence for sentence, _ in plan_rows.shares(found)]
    assert sentences[0] == "12 papers x 3 settings: about 4 in 10."
    assert sentences[1].startswith("With the thirty patches in place of the full list: ")
    assert sentences[-1].endswith("nearly certain.") and len(sentences) == 3
    assert plan_rows.shares(found) == plan_rows.shares(found)
    entering.lose_day(bench, loan, date(2026, 3, 4))
    assert plan_rows.rest(now(bench))[0].startswith("Left to do: 94 h in 119 h open")


def test_a_session_of_the_plan_takes_over_what_stays_alike(bench: Bench, loan: Loan) -> None:
    """The setting of the media goes with the paper, a profile with nothing; what is not stated stays open."""
    loan, first = doing.session_for(bench, loan, "Rag 293", "fine")
    said = {"media_setting": "fine art", "direction": "one way", "drying": "rack", "profile": "rag.icc"}
    for field, value in said.items():
        begin.say_condition(bench, first, field, value)
    loan, second = doing.session_for(bench, loan, "Rag 293", "finest")
    loan, third = doing.session_for(bench, loan, "Matt 230", "fine")
    same, other = (sessions.load(bench.archive, number).condition for number in (second, third))
    assert (same.media_setting, same.direction, same.drying) == ("fine art", "one way", "rack")
    assert (same.quality, same.made_for, same.profile) == ("finest", "portrait", "")
    assert (other.media_setting, other.direction, other.profile, other.paper) == (
        "",
        "one way",
        "",
        "Matt 230",
    )
    assert doctest.testmod(typed).failed == 0


def test_another_program_may_enter_something_meanwhile(bench: Bench, loan: Loan) -> None:
    entering.ask(bench, loan, "From the one?")
    later = entering.ask(bench, loan, "From the other?")  # with the loan as it was before
    assert [(one.number, one.text) for one in later.questions] == [
        (1, "From the one?"),
        (2, "From the other?"),
    ]
    entering.add_paper(bench, loan, "Silk 262: fine")
    with pytest.raises(DrydownError, match="every paper once"):
        entering.add_paper(bench, loan, "silk 262: fine")
    entering.lose_day(bench, loan, date(2026, 3, 4))
    assert entering.lose_day(bench, loan, date(2026, 3, 4)).lost == frozenset()


def test_questions_are_kept_answered_and_told(bench: Bench, loan: Loan) -> None:
    loan = entering.ask(bench, loan, " Does it curl? ", who="a reader in Hexley", paper="Rag 293")
    loan = entering.ask(bench, loan, "How loud?", region="")
    loan = entering.answer(bench, loan, 1, "By 3 mm.", "rag.md")
    assert plan_rows.questions(now(bench)) == [
        "2. How loud?",
        "1. Does it curl? (a reader in Hexley, Rag 293)",
        "   By 3 mm. In rag.md.",
        "1 open question; answer before it goes back on Fri 13 Mar.",
    ]
    loan = entering.answer(bench, loan, 1, "")
    assert all(one.answered is None for one in loan.questions)


def test_a_form_begins_a_loan_and_names_every_mistake(bench: Bench) -> None:
    filled = form.BLANK
    said = {"printer": "Merrowby 24", "first": "2 Mar", "last": "2026-03-13", "days": "Mon to Sat"}
    said |= {"name": "Rag 293", "settings": "fine, finest", "look": "80", "maker_profile": "yes"}
    for key, value in said.items():
        assert f'\n{key} = ""' in filled
        filled = filled.replace(f'\n{key} = ""', f'\n{key} = "{value}"')
    loan = form.begin_from(bench, filled, "loan.toml")
    assert loan.about.days == (0, 1, 2, 3, 4, 5) and loan.about.first == date(2026, 3, 2)
    assert typed.wishes(loan.papers[0]) == "fine, finest; maker's profile" and loan.minutes == {"look": 80.0}
    with pytest.raises(DrydownError, match=r"loan.first: missing.*loan.last: missing.*No loan was begun"):
        form.begin_from(bench, form.BLANK, "loan.toml")
    bad = filled.replace('"2026-03-13"', '"1 Feb"').replace('"80"', '"0"')
    with pytest.raises(DrydownError, match=r"minutes.look: expected a number from 1 to 1440"):
        form.begin_from(bench, bad, "loan.toml")
    with pytest.raises(
        DrydownError, match=r"loan.toml. Expected: a first day no later than the last, 2026-02-01"
    ):
        form.begin_from(bench, bad.replace('"0"', '""'), "loan.toml")
    twice = filled + '\n[[paper]]\nname = "rag 293"\nsettings = "fine"\n'
    with pytest.raises(DrydownError, match="every paper once"):
        form.begin_from(bench, twice, "loan.toml")


def test_an_appendix_lists_the_questions_that_were_answered_about_its_prints(
    bench: Bench, loan: Loan
) -> None:
    loan, number = doing.session_for(bench, loan, "Matt 230", "fine")
    _, other = doing.session_for(bench, loan, "Rag 293", "fine")
    for text, paper in (("does it curl?", "matt 230"), ("how loud?", ""), ("open?", ""), ("rag?", "Rag 293")):
        loan = entering.ask(bench, loan, text, who="Ms Reader", paper=paper)
    for place in (1, 2, 4):
        loan = entering.answer(bench, loan, place, f"answer {place}")
    text = write_up.as_text(write_up.appendix(bench, [number], Choices("article")))
    assert "What readers asked" in text and "Does it curl? (matt 230)" in text and "Answer 2." in text
    assert "Rag?" not in text and "Open?" not in text and "Ms Reader" not in text
    named = write_up.as_text(write_up.appendix(bench, [other], Choices("article", "name")))
    assert "Rag? (Ms Reader, Rag 293)" in named and "curl" not in named
    assert "What readers asked" not in write_up.as_text(
        write_up.appendix(bench, [number], Choices("summary"))
    )
