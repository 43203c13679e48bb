"""What a session's print is held against: its profile's promise, an earlier print's black, a tone wanted.

Where no profile says how deep its black should be, the user may choose the black of an accepted earlier print
of the same paper and media setting (`black_from`). A choice that cannot be followed is said, and why.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from evaluation.archive import sessions
from evaluation.errors import UsageProblem
from evaluation.judgement.tables import Tables
from evaluation.metrics.evidence import Array
from evaluation.metrics.gather import Gathered, gather
from evaluation.metrics.limits import Limits
from evaluation.metrics.pool import black_luminance, pooled
from evaluation.plain_text import shortened
from evaluation.profile.prediction import Prediction
from evaluation.readings.run import Taken
from evaluation.session import PrintingCondition, Session
from evaluation.sheet.layout import Sheet
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.take_in import read
from evaluation.work.weigh.expected import Promised, expected_of

ACCEPTED: Final = ("accepted", "accepted with remarks")
_SESSION: Final = re.compile(r"(?:session\s+|no\.?\s*)?(\S+)", re.IGNORECASE)


@dataclass(frozen=True, slots=True, eq=False)
class Aims:
    """The three, each None where there is none; and what to say of them beside a result.

    earlier_black   luminance, 0..100 relative to paper
    tone            (m, 3) absolute CIELAB, the curve that greys are compared with
    """

    expected: Prediction | None = None
    earlier_black: float | None = None
    tone: Array | None = None
    caveats: tuple[str, ...] = ()


def aims_of(bench: Bench, session: Session, in_force: Tables) -> Aims:
    """What the print of this session is held against, the same wherever it is judged or drawn."""
    from evaluation.work.neutrality.neutrality import wanted_curve  # which asks here in turn

    promised, black = black_aim(bench, session, in_force)
    return Aims(promised.expected, black, wanted_curve(bench, session), promised.caveats)


def gathered_of(
    bench: Bench, session: Session, sheet: Sheet, taken: Sequence[Taken], in_force: Tables
) -> Gathered | None:
    """The evidence of a session without draws, held against what its weighing holds it against."""
    if not taken:
        return None
    aims = aims_of(bench, session, in_force)
    return gather(
        sheet,
        taken,
        session.condition,
        in_force.limits,
        predicted=aims.expected,
        earlier_black=aims.earlier_black,
        tone=aims.tone,
    )


def black_aim(bench: Bench, session: Session, in_force: Tables) -> tuple[Promised, float | None]:
    """What the profile promises, and for want of a profile the black that was chosen."""
    promised = expected_of(bench, session)
    if promised.expected is not None:
        return promised, None
    black, caveat = earlier_black(bench, session, in_force)
    return (replace(promised, caveats=(*promised.caveats, caveat)) if caveat else promised), black


def earlier_black(bench: Bench, session: Session, in_force: Tables) -> tuple[float | None, str]:
    """Luminance, 0..100 relative to paper, of the black that was chosen; else None and why, "" for no choice.

    Looked up anew each time: the earlier print may have been removed, described or weighed otherwise since.
    """
    chosen = session.condition.black_from
    if chosen is None:
        return None, ""
    try:
        earlier = _chosen(bench, str(chosen), session.condition, session.id)
        _require_no_circle(bench, session, earlier)
        _require_accepted(bench, earlier, in_force)
        return _black_of(bench, earlier, in_force.limits), ""
    except UsageProblem as problem:
        return None, f"The black of session {chosen} is not used: {_lower(problem.sentence)}"


def black_typed(bench: Bench, typed: str, session: Session, in_force: Tables) -> int:
    """The number of the session whose black is chosen, as typed: "3", "session 3".

    Raises UsageProblem for one that is not there, is the same, is of another paper or media setting, was not
    accepted, or has no black to give.
    """
    reference = _SESSION.fullmatch(" ".join(typed.split()))
    earlier = _chosen(bench, reference[1] if reference else typed, session.condition, session.id)
    _require_accepted(bench, earlier, in_force)
    _black_of(bench, earlier, in_force.limits)
    return earlier.id


def refuse_black(bench: Bench, condition: PrintingCondition, in_force: Tables) -> None:
    """Raise UsageProblem where a condition that is about to be said names a black it cannot have."""
    if condition.black_from is not None:
        earlier = _chosen(bench, str(condition.black_from), condition, None)
        _require_accepted(bench, earlier, in_force)
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


def _require_accepted(bench: Bench, earlier: Session, in_force: Tables) -> None:
    """An accepted print alone says how deep a black should be: its verdict, with these settings."""
    from evaluation.work.weigh.weigh import verdict_of  # which asks here in turn

    verdict = verdict_of(bench, earlier, in_force)
    if verdict not in ACCEPTED:
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


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
