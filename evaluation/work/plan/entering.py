"""Entering a loan: days, hours, papers, times, days lost, questions; a key press each."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import date, timedelta
from typing import Any, Final

from evaluation.archive import loans
from evaluation.errors import UsageProblem
from evaluation.loan import About, Loan, LoanDraft, WantedPaper, place
from evaluation.plain_text import quoted
from evaluation.planning import typed
from evaluation.planning.steps import Step
from evaluation.work.bench import Bench
from evaluation.work.log import refuse_read_only

NOT_SAVED: Final = typed.NOT_SAVED


def begin_loan(
    bench: Bench, about: About, papers: Sequence[WantedPaper], minutes: dict[str, float] | None = None
) -> Loan:
    """Begin a loan as a form or a page has it. Raises UsageProblem for days or hours that cannot be."""
    refuse_read_only(bench)
    refuse_impossible(about)
    refuse_twice(papers)
    drafts = [LoanDraft("about", name, value) for name, value in typed.plain(about).items()]
    drafts += [LoanDraft("paper", one.name, typed.plain_paper(one)) for one in papers]
    drafts += [LoanDraft("minutes", step, value) for step, value in (minutes or {}).items()]
    return loans.begin(bench.archive, drafts, bench.now())


def newest(bench: Bench) -> Loan | None:
    """The loan begun last; None where there is none."""
    return loans.load(bench.archive)


@contextmanager
def _alone(bench: Bench, loan: Loan) -> Iterator[Loan]:
    """The loan as it stands by now, and no other program enters anything into it meanwhile."""
    refuse_read_only(bench)
    with bench.archive.joined():
        yield loans.current(bench.archive, loan)


def say(bench: Bench, loan: Loan, drafts: Sequence[LoanDraft]) -> Loan:
    """Keep the entries of one key press; the loan after them."""
    refuse_read_only(bench)
    return loans.say(bench.archive, loan.uid, drafts, bench.now())


def set_about(bench: Bench, loan: Loan, field: str, text: str) -> Loan:
    """One field as it was typed. Raises UsageProblem for what it cannot be, alone or beside the others."""
    value = typed.about_typed(field, text, bench.now())
    refuse_impossible(replace(loan.about, **{field: value}), field)
    return say(bench, loan, [LoanDraft("about", field, typed.plain_value(value))])


def set_minutes(bench: Bench, loan: Loan, step: str, text: str) -> Loan:
    """What a step takes, as its user thinks; empty text goes back to the usual."""
    return say(bench, loan, [LoanDraft("minutes", step, typed.minutes_typed(text))])


def add_paper(bench: Bench, loan: Loan, text: str) -> Loan:
    """A paper with its settings: “Rag 293: fine, finest; portrait; maker's profile”."""
    made = typed.paper_typed(text)
    with _alone(bench, loan) as loan:
        refuse_twice((*loan.papers, made))
        return say(bench, loan, [LoanDraft("paper", made.name, typed.plain_paper(made))])


def change_paper(bench: Bench, loan: Loan, name: str, text: str) -> Loan:
    """Other settings or another use of a paper, typed as without its name."""
    made = typed.wishes_typed(name, text)
    return say(bench, loan, [LoanDraft("paper", name, typed.plain_paper(made))])


def take_off(bench: Bench, loan: Loan, name: str) -> Loan:
    """Take a paper off the plan. Its sessions stay on the list, and undo brings all of it back."""
    return say(bench, loan, [LoanDraft("paper", name, None)])


def leave_out(bench: Bench, loan: Loan, paper: str, setting: str) -> Loan:
    """Leave one setting of a paper out, or take it in again."""
    with _alone(bench, loan) as loan:
        out = (paper, setting) not in loan.left_out
        return say(bench, loan, [LoanDraft("left out", place(paper, setting), out or None)])


def lose_day(bench: Bench, loan: Loan, day: date) -> Loan:
    """A day without any work, past or to come; entered again, the day counts as before."""
    about = loan.about
    if about.first is None or about.last is None or not about.first <= day <= about.last:
        raise UsageProblem(NOT_SAVED, expected="a day of the loan", found=day.isoformat())
    with _alone(bench, loan) as loan:
        lost = None if day in loan.lost else True
        return say(bench, loan, [LoanDraft("lost", day.isoformat(), lost)])


def time_step(bench: Bench, loan: Loan, step: Step | None) -> Loan:
    """Start the clock of a step; where one runs, stop it and keep the minutes it took."""
    if loan.timer is None:
        if step is None:
            return loan
        value: Any = {"step": step, "since": bench.now().isoformat()}
        return say(bench, loan, [LoanDraft("timer", "running", value)])
    running, since = loan.timer
    took = (bench.now() - since) / timedelta(minutes=1)
    drafts = [LoanDraft("timer", "running", None)]
    if took > 0:  # a clock that was set back meanwhile has measured nothing
        drafts.append(LoanDraft("took", running, round(took, 2)))
    return say(bench, loan, drafts)


def ask(bench: Bench, loan: Loan, text: str, *, who: str = "", paper: str = "", region: str = "") -> Loan:
    """Keep a reader's question; it goes by the next number."""
    if not text.strip():
        raise UsageProblem(NOT_SAVED, expected="a question", found="nothing")
    said = {"text": text, "who": who, "paper": paper, "region": region}
    value = {key: each.strip() for key, each in said.items() if each.strip()}
    with _alone(bench, loan) as loan:
        number = max((one.number for one in loan.questions), default=0) + 1
        return say(bench, loan, [LoanDraft("question", str(number), value)])


def answer(bench: Bench, loan: Loan, number: int, text: str, appendix: str = "") -> Loan:
    """Keep the answer to a question, and the appendix it stands in; empty text opens it again."""
    if all(one.number != number for one in loan.questions):
        raise UsageProblem(
            NOT_SAVED, found=f"no question {number}", remedy="`drydown plan --questions` lists them."
        )
    value = {"text": text.strip(), "appendix": appendix.strip()} if text.strip() else None
    return say(bench, loan, [LoanDraft("answer", str(number), value)])


def about_question(bench: Bench, loan: Loan, number: int, who: str, paper: str, region: str) -> Loan:
    """Who asked, and about which paper and region."""
    one = next(one for one in loan.questions if one.number == number)
    said = {"text": one.text, "who": who.strip(), "paper": paper.strip(), "region": region.strip()}
    value = {key: each for key, each in said.items() if each}
    return say(bench, loan, [LoanDraft("question", str(number), value)])


def refuse_impossible(about: About, field: str = "") -> None:
    """Raise UsageProblem for a last day before the first, more than a year, or no open hours."""
    if about.first and about.last and about.last < about.first:
        raise UsageProblem(
            NOT_SAVED,
            where=field,
            expected=f"a first day no later than the last, {about.last.isoformat()}",
            found=about.first.isoformat(),
        )
    if about.first and about.last and (about.last - about.first).days > typed.LONGEST:
        found = f"{(about.last - about.first).days} days"
        raise UsageProblem(NOT_SAVED, where=field, expected=f"{typed.LONGEST} days at most", found=found)
    if about.closes <= about.opens:
        raise UsageProblem(
            NOT_SAVED,
            where=field,
            expected=f"hours that end after {about.opens:%H:%M}",
            found=f"{about.closes:%H:%M}",
        )
    if not about.days:
        raise UsageProblem(NOT_SAVED, where=field, expected="one open day of the week at least", found="none")


def refuse_twice(papers: Sequence[WantedPaper]) -> None:
    """Raise UsageProblem for a paper that is planned twice; capitals do not make another paper."""
    names = [one.name.casefold() for one in papers]
    twice = next((one for one in papers if names.count(one.name.casefold()) > 1), None)
    if twice is not None:
        raise UsageProblem(
            NOT_SAVED,
            expected="every paper once",
            found=f"{quoted(twice.name)} twice",
            remedy="Name all of its settings in one line.",
        )
