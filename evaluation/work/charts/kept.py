"""Where profiling data are kept: with the session they were loaded in, and offered to others like it.

Another session of the same printing condition counts them only once it has taken them over.
"""

from typing import Final

from evaluation.archive import charts as kept
from evaluation.archive import sessions
from evaluation.entry import Draft
from evaluation.errors import UsageProblem
from evaluation.judgement.charts_offered import OF_THE_MACHINE, Offered
from evaluation.plain_text import listed
from evaluation.session import PrintingCondition, Session
from evaluation.work.bench import Bench
from evaluation.work.log import Entered, refuse_read_only, say

# What decides how ink is laid down where no profile takes part.
_NEEDED: Final = ("printer", "paper")


def offered(bench: Bench, session: Session) -> tuple[Offered, ...]:
    """What other sessions keep that this one may take over, newest session first."""
    condition = session.condition
    if not all(getattr(condition, field) for field in _NEEDED):
        return ()
    heads = kept.heads(bench.archive)
    here = {(head.source, head.part) for head in heads if head.id in session.runs}
    found: dict[int, list[kept.ChartHead]] = {}
    for head in heads:
        if head.session != session.id and (head.source, head.part) not in here:
            found.setdefault(head.session, []).append(head)
    return tuple(
        _offer(number, found[number])
        for number in sorted(found, reverse=True)
        if same_machine(sessions.load(bench.archive, number).condition, condition)
    )


def _offer(session: int, heads: list[kept.ChartHead]) -> Offered:
    largest = max(heads, key=lambda head: head.count)
    of_file = [head for head in heads if head.source == largest.source]
    return Offered(
        session,
        largest.source_name,
        largest.count,
        tuple(dict.fromkeys(head.condition or "condition not stated" for head in of_file)),
        len({head.source for head in heads}) - 1,
        tuple(head.id for head in heads),
    )


def same_machine(one: PrintingCondition, other: PrintingCondition) -> bool:
    """Whether patches printed unmanaged under both come out alike, as far as is stated."""
    return all(
        getattr(one, field).casefold().strip() == getattr(other, field).casefold().strip()
        for field in OF_THE_MACHINE
    )


def take_over(bench: Bench, session_id: int, source: int) -> Entered:
    """Let a session count the profiling data that another keeps; undo leaves it out again.

    Raises UsageProblem when that session has none to offer.
    """
    refuse_read_only(bench)
    every = offered(bench, sessions.load(bench.archive, session_id))
    offer = next((each for each in every if each.session == source), None)
    if offer is None:
        others = [f"session {each.session}" for each in every]
        raise UsageProblem(
            "Nothing was taken over.",
            expected="a session with profiling data that this one has not, of the same "
            + listed([field.replace("_", " ") for field in OF_THE_MACHINE]),
            found=f"session {source}, which is none",
            remedy=f"Offered are: {listed(others)}."
            if others
            else "Read the file itself in, printed unmanaged.",
        )
    return say(bench, session_id, [Draft("readings", str(run), "in") for run in offer.runs])


def kept_beside(bench: Bench, session: Session) -> tuple[int, ...]:
    """Other sessions with profiling data of their own on the same printer and paper, newest first."""
    here = _named(session.condition)
    others = {head.session for head in kept.heads(bench.archive)} - {session.id}
    return tuple(
        number
        for number in sorted(others, reverse=True)
        if here == _named(sessions.load(bench.archive, number).condition)
    )


def _named(condition: PrintingCondition) -> tuple[str, ...]:
    return tuple(getattr(condition, field).casefold().strip() for field in _NEEDED)
