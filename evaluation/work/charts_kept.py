"""Where profiling data are kept: with the session they were loaded in, and offered to others like it.

Another session of the same printing condition counts them only once it has taken them over.
"""

from dataclasses import dataclass
from typing import Final

from evaluation.archive import charts as kept
from evaluation.archive import sessions
from evaluation.errors import UsageProblem
from evaluation.plain_text import listed
from evaluation.said import Draft
from evaluation.session import PrintingCondition, Session
from evaluation.work.bench import Bench
from evaluation.work.say import Step, refuse_read_only, say

# What decides how ink is laid down where no profile takes part.
OF_THE_MACHINE: Final = ("printer", "inks", "paper", "media_setting", "quality", "direction")
_NEEDED: Final = ("printer", "paper")


@dataclass(frozen=True, slots=True)
class Offered:
    """Profiling data of another session under the same printing condition: its file, and its runs."""

    session: int
    file: str
    runs: tuple[int, ...]
    readings: int
    conditions: tuple[str, ...]

    @property
    def about(self) -> str:
        """One line that gives no value away."""
        named = listed(self.conditions)
        return f"{self.file}, {self.readings:,} readings, {named}, kept with session {self.session}"


def offered(bench: Bench, session: Session) -> tuple[Offered, ...]:
    """Profiling data of other sessions that this one may take over, newest session first."""
    condition = session.condition
    if not all(getattr(condition, field) for field in _NEEDED):
        return ()
    here = {(head.source, head.part) for head in kept.heads(bench.archive) if head.id in session.runs}
    found: dict[tuple[int, str | None], list[kept.ChartHead]] = {}
    for head in kept.heads(bench.archive):
        if head.session != session.id and (head.source, head.part) not in here:
            found.setdefault((head.session, head.source), []).append(head)
    same = {
        number: same_machine(sessions.load(bench.archive, number).condition, condition)
        for number in {number for number, _ in found}
    }
    return tuple(
        Offered(
            number,
            heads[0].source_name,
            tuple(head.id for head in heads),
            max(head.count for head in heads),
            tuple(dict.fromkeys(head.condition or "condition not stated" for head in heads)),
        )
        for (number, _), heads in sorted(found.items(), key=lambda pair: pair[0][0], reverse=True)
        if same[number]
    )


def same_machine(one: PrintingCondition, other: PrintingCondition) -> bool:
    """Whether patches printed unmanaged under both come out alike, as far as is said."""
    return all(
        getattr(one, field).casefold().strip() == getattr(other, field).casefold().strip()
        for field in OF_THE_MACHINE
    )


def take_over(bench: Bench, session_id: int, source: int) -> Step:
    """Let a session count the profiling data that another keeps; undo leaves it out again.

    Raises UsageProblem when that session has none to offer.
    """
    refuse_read_only(bench)
    session = sessions.load(bench.archive, session_id)
    of_source = [each for each in offered(bench, session) if each.session == source]
    if not of_source:
        raise UsageProblem(
            "Nothing was taken over.",
            expected="a session with profiling data that this one has not, of the same "
            + listed([field.replace("_", " ") for field in OF_THE_MACHINE]),
            found=f"session {source}, which is none",
            remedy=f"Offered are: {listed(others)}."
            if (others := sorted({f"session {each.session}" for each in offered(bench, session)}))
            else "Read the file itself in, printed unmanaged.",
        )
    drafts = [Draft("readings", str(run), "in") for each in of_source for run in each.runs]
    return say(bench, session_id, drafts)


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
