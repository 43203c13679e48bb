"""Readers' questions that an appendix answers. Standard library only."""

from collections.abc import Sequence

from evaluation.archive import loans
from evaluation.loan import ReaderQuestion
from evaluation.session import Session
from evaluation.work.bench import Bench


def answered(bench: Bench, sessions: Sequence[Session]) -> tuple[ReaderQuestion, ...]:
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
