"""Setting a viewing aside: a person's act, with a reason, which can be taken back. Results give both."""

from typing import Final

from evaluation.archive import sessions
from evaluation.entry import Draft
from evaluation.errors import UsageProblem
from evaluation.session import ASIDE, Viewing
from evaluation.work.bench import Bench
from evaluation.work.log import Entered, say

UNCHANGED: Final = "Nothing was changed."


def set_aside(bench: Bench, session_id: int, ordinal: int, reason: str) -> Entered:
    """Leave a viewing, by its number, out of the result, for this reason; "" takes it in again.

    Raises UsageProblem for a viewing that is not there, and for the last one that counts.
    """
    session = sessions.load(bench.archive, session_id)
    chosen = next((one for one in session.viewings if one.ordinal == ordinal), None)
    if chosen is None:
        known = len(session.viewings)
        raise UsageProblem(
            UNCHANGED,
            expected=f"a viewing of session {session_id}: 1 to {known}" if known else "a viewing",
            found=str(ordinal) if known else f"none in session {session_id}",
        )
    left = [one for one in session.heard if one.answers and one is not chosen]
    if reason.strip() and not left:
        raise UsageProblem(
            UNCHANGED,
            expected="another viewing that counts",
            found=f"viewing {ordinal} alone",
            remedy="Look again first; then this one can be set aside.",
        )
    return say(bench, session_id, [draft(chosen, reason)])


def draft(viewing: Viewing, reason: str) -> Draft:
    """The draft that sets a viewing aside, or takes it in again."""
    return Draft("remark", ASIDE, reason.strip() or None, viewing.id)
