"""The black of an earlier print as an aim, where no profile says how deep a print's black should be.

The user chooses it (`black_from`): an accepted print of the same paper and media setting. What cannot be
followed is said, and why. `verdict_of` says whether a print was accepted, by a weighing that may rest on the
black of a third print.
"""

import re
from collections.abc import Callable
from typing import Final

from evaluation.archive import sessions
from evaluation.errors import UsageProblem
from evaluation.judgement.tables import Tables
from evaluation.metrics.limits import Limits
from evaluation.metrics.pool import black_luminance, pooled
from evaluation.plain_text import lower_first, shortened
from evaluation.session import PrintingCondition, Session
from evaluation.telling.caveats import black_not_used
from evaluation.work import gate, home
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.take_in import read
from evaluation.work.weigh.expected import expected_of

VerdictOf = Callable[[Bench, Session, Tables], str]

_SESSION: Final = re.compile(r"(?:session\s+|no\.?\s*)?(\S+)", re.IGNORECASE)


def earlier_black(
    bench: Bench, session: Session, in_force: Tables, verdict_of: VerdictOf
) -> tuple[float | None, str]:
    """Luminance, 0..100 relative to paper, of the black that was chosen; else None and why, "" for no choice.

    Looked up anew each time: the earlier print may have been removed, described or weighed otherwise since.
    """
    chosen = session.condition.black_from
    if chosen is None:
        return None, ""
    try:
        earlier = _chosen(bench, str(chosen), session.condition, session.id)
        _require_no_circle(bench, session, earlier)
        _require_accepted(bench, earlier, in_force, verdict_of)
        return _black_of(bench, earlier, in_force.limits), ""
    except UsageProblem as problem:
        return None, black_not_used(chosen, lower_first(problem.sentence))


def black_typed(bench: Bench, typed: str, session: Session, in_force: Tables, verdict_of: VerdictOf) -> int:
    """The number of the session whose black is chosen, as typed: "3", "session 3".

    Raises UsageProblem for one that is not there, is the same, is of another paper or media setting, was not
    accepted, or has no black to give.
    """
    reference = _SESSION.fullmatch(" ".join(typed.split()))
    earlier = _chosen(bench, reference[1] if reference else typed, session.condition, session.id)
    _require_accepted(bench, earlier, in_force, verdict_of)
    _black_of(bench, earlier, in_force.limits)
    return earlier.id


def refuse_black(bench: Bench, condition: PrintingCondition, in_force: Tables, verdict_of: VerdictOf) -> None:
    """Raise UsageProblem where a condition that is about to be entered names a black it cannot have."""
    if condition.black_from is not None:
        earlier = _chosen(bench, str(condition.black_from), condition, None)
        _require_accepted(bench, earlier, in_force, verdict_of)
        _black_of(bench, earlier, in_force.limits)


def _chosen(bench: Bench, reference: str, condition: PrintingCondition, own: int | None) -> Session:
    found = sessions.find(bench.archive, reference)
    if found == own:
        raise UsageProblem("A print cannot take its black from itself.", remedy="Name an earlier session.")
    earlier = sessions.load(bench.archive, found)
    if not _same(condition.paper):
        raise UsageProblem("The paper of this print is not said.", remedy="Say it, then name the session.")
    for name, with_word in (("paper", "on"), ("media_setting", "with the media setting")):
        here, there = getattr(condition, name), getattr(earlier.condition, name)
        if _same(here) != _same(there):
            said, wanted = shortened(there, 60) or "none said", shortened(here, 60) or "none said"
            raise UsageProblem(
                f"Session {found} was printed {with_word} {said}, this one {with_word} {wanted}."
            )
    return earlier


def _require_no_circle(bench: Bench, session: Session, earlier: Session) -> None:
    """Prints that take their black from one another in a circle have none to take."""
    seen = {earlier.id}
    while (following := earlier.condition.black_from) is not None and following not in seen:
        if expected_of(bench, earlier).expected is not None:
            return  # its profile says how deep its black should be
        if following == session.id:
            raise UsageProblem(f"Its own black comes from session {following} in turn.")
        seen.add(following)
        try:
            earlier = sessions.load(bench.archive, sessions.find(bench.archive, str(following)))
        except UsageProblem:
            return


def _require_accepted(bench: Bench, earlier: Session, in_force: Tables, verdict_of: VerdictOf) -> None:
    """An accepted print alone says how deep a black should be: its verdict, with these settings."""
    verdict = verdict_of(bench, earlier, in_force)
    if verdict not in home.ACCEPTED:
        raise UsageProblem(f"Session {earlier.id} is {verdict}; only an accepted print gives its black.")


def _black_of(bench: Bench, earlier: Session, limits: Limits) -> float:
    sheet = sheet_of(bench, earlier)
    pool = pooled(sheet, read.taken_in(bench, earlier), limits)
    luminance = None if pool is None else black_luminance(sheet, pool)
    if luminance is None:
        raise UsageProblem(f"Session {earlier.id} has no reading of its black.")
    assert sheet.black_patch is not None  # or there would be no reading of it
    if gate.withheld(earlier, sheet, sheet.patch(sheet.black_patch).region) is not None:
        raise UsageProblem(f"The black of session {earlier.id} has no grade yet; its reading stays unseen.")
    return luminance


def _same(text: str) -> str:
    return " ".join(text.split()).casefold()
