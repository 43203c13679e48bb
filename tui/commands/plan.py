"""`drydown plan`: a printer on loan, what to do next with it, and what can still be done."""

from argparse import Namespace
from datetime import datetime
from typing import cast, get_args

from evaluation.archive import loans
from evaluation.csv_text import csv_text
from evaluation.errors import UsageProblem
from evaluation.loan import Loan
from evaluation.plain_text import quoted
from evaluation.planning import typed
from evaluation.planning.plan import Plan
from evaluation.planning.steps import Step
from evaluation.telling import calendar, plan_rows
from evaluation.telling import plan as words
from evaluation.work.bench import Bench
from evaluation.work.describe.begin import read_text
from evaluation.work.onto_disk import put, refuse_existing
from evaluation.work.plan import document, doing, entering, form
from evaluation.work.plan.plan import plan
from tui.out import Out
from tui.place import bench

_NO_LOAN = "No plan was laid."
_MOST_DAYS = 400
_NOT_WRITTEN = "No calendar was written."


def run(args: Namespace, out: Out) -> int:
    """Begin a loan, enter something about it, or tell its plan."""
    if args.template:
        out.template(form.BLANK)
        return 0
    with bench(getattr(args, "archive", None), create=args.source is not None) as at:
        if args.source is not None:
            loan = form.begin_from(at, read_text(args.source, form.NOT_BEGUN), args.source.name)
            return _entered(loan, out)
        loan = _loan(at, args.loan)
        if _enters(args):
            return _enter(at, loan, args, out)
        return _tell(at, plan(at, loan), args, out)


def _loan(at: Bench, number: int | None) -> Loan:
    found = loans.load(at.archive, number)
    if found is None:
        raise UsageProblem(
            _NO_LOAN,
            expected="a loan",
            found="none in this archive",
            remedy="`drydown plan --template` prints the form of one; --from begins it.",
        )
    return found


def _enters(args: Namespace) -> bool:
    names = ("session", "done", "lost", "leave_out", "paper", "ask", "answer")
    return any(getattr(args, name) for name in names) or args.undo


def _enter(at: Bench, loan: Loan, args: Namespace, out: Out) -> int:
    """One entry, as one key press of the page is."""
    if args.session:
        _, number = doing.session_for(at, loan, *args.session)
        if out.as_json:
            out.result({"session": number, "left_out": {}})
        else:
            out.line(str(number))
        return 0
    if args.ask or args.answer:
        return _question(at, loan, args, out)
    if args.done:
        step, paper, setting = args.done
        if step not in get_args(Step):
            raise UsageProblem(
                typed.NOT_SAVED, expected=f"a step: {', '.join(get_args(Step))}", found=quoted(step)
            )
        doing.planned(loan, paper, setting)
        loan = doing.done(at, loan, paper, setting, cast(Step, step))
    elif args.lost:
        loan = entering.lose_day(at, loan, typed.day_typed(args.lost, at.now()))
    elif args.leave_out:
        doing.planned(loan, *args.leave_out)
        loan = entering.leave_out(at, loan, *args.leave_out)
    elif args.paper:
        loan = entering.add_paper(at, loan, args.paper)
    elif not doing.turned(at, loan, "undo"):
        raise UsageProblem("Nothing is left to undo in this plan.")
    return _entered(loan, out)


def _question(at: Bench, loan: Loan, args: Namespace, out: Out) -> int:
    if args.ask:
        loan = entering.ask(
            at, loan, args.ask, who=args.who or "", paper=args.about or "", region=args.region or ""
        )
        number = loan.questions[-1].number
    else:
        text, number = args.answer[1], _whole(args.answer[0])
        entering.answer(at, loan, number, text, args.appendix or "")
    if out.as_json:
        out.result({"loan": loan.number, "question": number})
    else:
        out.line(f"Question {number}: saved.")
    return 0


def _whole(text: str) -> int:
    if not text.isdecimal() or len(text) > 6:
        raise UsageProblem(typed.NOT_SAVED, expected="the number of a question", found=quoted(text))
    return int(text)


def _entered(loan: Loan, out: Out) -> int:
    if out.as_json:
        out.result({"loan": loan.number})
    else:
        out.line(f"Loan {loan.number}: saved. `drydown plan` says what comes next.")
    return 0


def _tell(at: Bench, found: Plan, args: Namespace, out: Out) -> int:
    if not 1 <= args.days <= _MOST_DAYS:
        expected = f"1 to {_MOST_DAYS} days"
        raise UsageProblem(_NO_LOAN, where="--days", expected=expected, found=str(args.days))
    if args.calendar is not None:
        refuse_existing(args.calendar, _NOT_WRITTEN, overwrite=args.replace)
        put(args.calendar, calendar.calendar(found, at.now(), args.days).encode(), _NOT_WRITTEN)
        if out.as_json:
            out.result({"file": str(args.calendar)})
        else:
            out.line(f"Written: {args.calendar}")
        return 0
    if args.csv:
        table = plan_rows.week(found, args.days)
        out.file(csv_text(table.heads, table.rows))
        return 0
    if out.as_json:
        out.result(document.document(found))
        return 0
    for trouble in found.troubles:
        out.line(trouble)
    if args.week:
        out.report([plan_rows.week(found, args.days)])
    elif args.questions:
        _questions(found, out)
    else:
        _whole_plan(found, out)
    return 0


def _questions(found: Plan, out: Out) -> None:
    for line in plan_rows.questions(found):
        out.line(line)


def _whole_plan(found: Plan, out: Out) -> None:
    about = found.loan.about
    back = "" if about.last is None else words.back_on(datetime.combine(about.last, about.closes), found.now)
    out.line(", ".join(part for part in (about.printer or "A printer on loan", back) if part) + ".")
    for line in plan_rows.next_step(found):
        out.line(line)
    if found.jobs:
        out.line()
        out.report([plan_rows.jobs(found)])
        out.line()
    for line in plan_rows.rest(found):
        out.line(line)
    likely = plan_rows.shares(found)
    for line, _ in likely:
        out.line(line)
    if likely:
        out.line(words.upsets())
    for line in plan_rows.questions_open(found):
        out.line(line)
