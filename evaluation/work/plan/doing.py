"""Steps of a plan that are done, the sessions they belong to, and taking the newest entry back."""

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import datetime

from evaluation.archive import loans, sessions
from evaluation.archive.loans import Turn
from evaluation.errors import UsageProblem
from evaluation.loan import Loan, LoanDraft, LoanEntry, LoanKind, WantedPaper, place
from evaluation.plain_text import quoted
from evaluation.planning import typed
from evaluation.planning.steps import Step
from evaluation.session import PrintingCondition
from evaluation.telling import loan as loan_words
from evaluation.work.bench import Bench
from evaluation.work.describe import begin
from evaluation.work.log import refuse_read_only
from evaluation.work.plan.entering import NOT_SAVED, say


def done(bench: Bench, loan: Loan, paper: str, setting: str, step: Step, at: datetime | None = None) -> Loan:
    """A step is done, now or at a moment. The time of printing goes to its session as well."""
    refuse_read_only(bench)
    at = at or bench.now()
    draft = LoanDraft("done", place(paper, setting, step), at.isoformat())
    with bench.archive.joined():
        if step == "sheet" and (number := session_of(bench, loan, paper, setting)) is not None:
            begin.say_condition(bench, number, "printed_at", at)
        return say(bench, loan, [draft])


def session_of(bench: Bench, loan: Loan, paper: str, setting: str) -> int | None:
    """The session of a paper in a setting; None where none was begun, or it was removed."""
    uid = loan.sessions.get((paper, setting))
    found = loans.standings(bench.archive, [uid]) if uid else {}
    return next((one.number for one in found.values() if not one.removed), None)


def session_for(bench: Bench, loan: Loan, paper: str, setting: str) -> tuple[Loan, int]:
    """The session of a paper in a setting, begun with all that the plan knows of it where there is none."""
    number = session_of(bench, loan, paper, setting)
    if number is not None:
        return loan, number
    wanted = planned(loan, paper, setting)
    condition = replace(
        _as_before(bench, loan, paper),
        paper=paper,
        quality=setting,
        made_for=wanted.made_for,
        printed_at=loan.done.get((paper, setting, "sheet")),
    )
    with bench.archive.joined():
        made = begin.begin(bench, condition, {})
        loan = say(bench, loan, [LoanDraft("session", place(paper, setting), made.uid)])
    return loan, made.id


def _as_before(bench: Bench, loan: Loan, paper: str) -> PrintingCondition:
    """What the loan says and its sessions have in common: those on this paper first, else the newest of all.

    The media setting belongs to the paper; a profile belongs to its setting as well, and is never taken over.
    """
    uids = {uid: names[0] == paper for names, uid in loan.sessions.items()}
    there = [
        (uids[uid], one.number)
        for uid, one in loans.standings(bench.archive, uids).items()
        if not one.removed
    ]
    known = PrintingCondition(driver_mode="through the profile")
    if there:
        same, number = max(there)
        before = sessions.load(bench.archive, number).condition
        known = replace(
            known,
            inks=before.inks,
            media_setting=before.media_setting if same else "",
            direction=before.direction,
            driver_mode=before.driver_mode or known.driver_mode,
            intent=before.intent,
            black_point_compensation=before.black_point_compensation,
            drying=before.drying,
            sheet_width_mm=before.sheet_width_mm,
            sheet_height_mm=before.sheet_height_mm,
        )
    return replace(known, printer=loan.about.printer, inks=loan.about.inks or known.inks)


def planned(loan: Loan, paper: str, setting: str) -> WantedPaper:
    """The paper of the plan in that setting. Raises UsageProblem where it is not planned."""
    wanted = next((one for one in loan.papers if one.name == paper and setting in one.settings), None)
    if wanted is None:
        raise UsageProblem(
            NOT_SAVED,
            expected="a paper and a setting of the plan",
            found=f"{quoted(paper)}, {quoted(setting)}",
            remedy="`drydown plan` lists them.",
        )
    return wanted


def turned(bench: Bench, loan: Loan, way: Turn) -> tuple[LoanEntry, ...]:
    """Undo or redo the newest key press on the plan; with it what its session was given. () for none."""
    refuse_read_only(bench)
    with bench.archive.joined():
        found = loans.turn(bench.archive, loan.uid, way, bench.now())
        for entry in found:
            if entry.kind == "done" and entry.value is not None:
                paper, setting, step = typed.names(entry.subject)
                number = session_of(bench, loan, paper, setting) if step == "sheet" else None
                if number is not None:
                    _turn_printed(bench, number, datetime.fromisoformat(entry.value), way)
    return found


def turned_words(bench: Bench, loan: Loan, way: Turn) -> str:
    """As `turned`, in words; "" where nothing is left."""
    found = turned(bench, loan, way)
    return _said(found, way) if found else ""


def out_of_sight(bench: Bench, loan: Loan, way: Turn, kinds: Collection[LoanKind]) -> str:
    """What would be undone or redone next, as a question, where a page shows none of its kind; else ""."""
    found = loans.offered(bench.archive, loan.uid, way)
    if not found or any(entry.kind in kinds for entry in found):
        return ""
    return loan_words.turn_question(way, found[0].kind, _names(found[0]))


def _said(found: Sequence[LoanEntry], way: Turn) -> str:
    return loan_words.turned(way, found[0].kind, _names(found[0]), len(found) - 1)


def _names(entry: LoanEntry) -> tuple[str, ...]:
    return typed.names(entry.subject) if entry.subject.startswith("[") else (entry.subject,)


def _turn_printed(bench: Bench, number: int, at: datetime, way: Turn) -> None:
    """Only where no other time has been entered since."""
    said = sessions.load(bench.archive, number).condition.printed_at
    if way == "undo" and said == at:
        begin.say_condition(bench, number, "printed_at", None)
    elif way == "redo" and said is None:
        begin.say_condition(bench, number, "printed_at", at)
