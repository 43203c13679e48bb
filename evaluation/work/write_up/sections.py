"""What an appendix holds beside verdicts: settings stepped through, and facts that readers ask for."""

from collections.abc import Sequence

from evaluation.appendix.case import Case, Naming
from evaluation.appendix.facts import OfSession
from evaluation.appendix.observers import OfPrint
from evaluation.archive import loans
from evaluation.errors import DrydownError
from evaluation.judgement.settings_in_order import Series
from evaluation.loan import ReaderQuestion
from evaluation.session import Session
from evaluation.work.bench import Bench
from evaluation.work.compare import compare
from evaluation.work.facts import facts
from evaluation.work.facts.paper import paper_facts
from evaluation.work.gamut.of_sessions import of_sessions
from evaluation.work.weigh import observers, observers_document


def facts_of(bench: Bench, cases: Sequence[Case]) -> tuple[OfSession, ...]:
    """What readers ask for, of each session where anything was stated; the paper's facts come with them."""
    stated = ((case, facts.of_session(bench, case.session)) for case in cases)
    return tuple(
        (case.session.id, found, paper_facts(bench, case.session.id)) for case, found in stated if found
    )


def observers_of(bench: Bench, cases: Sequence[Case], naming: Naming) -> tuple[OfPrint, ...]:
    """What several observers made of each print that more than one person graded."""
    found = (
        observers.observers(bench, case.session.id)
        for case in cases
        if observers.several(case.session) >= observers.FEWEST
    )
    return tuple(
        OfPrint(one.session, one, tuple(observers_document.told(one, by_name=naming == "name")))
        for one in found
    )


def settings_of(bench: Bench, cases: Sequence[Case]) -> Series | None:
    """The settings stepped through, where the sessions are of one printer and paper and differ in these."""
    machines = {(case.session.condition.printer, case.session.condition.paper) for case in cases}
    if len(cases) < compare.FEWEST or len(machines) > 1:
        return None
    try:
        return of_sessions(bench, [case.session.id for case in cases])
    except DrydownError:  # one setting, or nothing to hold against each other
        return None


def questions_of(bench: Bench, sessions: Sequence[Session]) -> tuple[ReaderQuestion, ...]:
    """Those answered about a paper of these sessions; about no paper, where a session belongs to the loan."""
    papers = {session.condition.paper.casefold() for session in sessions}
    uids = {session.uid for session in sessions}
    return tuple(
        one
        for loan in loans.every(bench.archive)
        for one in loan.questions
        if one.answered is not None
        and (one.paper.casefold() in papers if one.paper else bool(uids & set(loan.sessions.values())))
    )
