"""Which prints are kept as own references, and which is due to be graded again. No numpy: Prepare asks it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from evaluation.archive import sessions
from evaluation.session import OWN_REFERENCE, Session, Viewing
from evaluation.work.bench import Bench


@dataclass(frozen=True, slots=True)
class OwnReference:
    """An own reference: its session, paper, and when it was last graded; None: never."""

    session: int
    paper: str
    graded: datetime | None


def kept(bench: Bench) -> tuple[int, ...]:
    """The sessions whose prints are kept as own references."""
    return sessions.with_remark(bench.archive, OWN_REFERENCE)


def sessions_kept(bench: Bench) -> list[Session]:
    """The same, loaded."""
    return [sessions.load(bench.archive, one) for one in kept(bench)]


def prints(found: Sequence[Session]) -> tuple[OwnReference, ...]:
    """Each with the moment of its last viewing that counts."""
    return tuple(
        OwnReference(one.id, one.condition.paper, max((each.started for each in graded(one)), default=None))
        for one in found
    )


def due(bench: Bench) -> OwnReference | None:
    """The own reference that was graded longest ago, if it is due; None if no reference is due or kept."""
    found = sessions_kept(bench)
    return among(prints(found), bench.now()) if found else None


def among(kept_ones: Sequence[OwnReference], now: datetime) -> OwnReference | None:
    """Any of them graded lately will do: one looks at one of them, not at all."""
    from evaluation.judgement.several import limit  # numpy comes with it

    moments = {one: one.graded for one in kept_ones if one.graded is not None}
    if not moments or now - max(moments.values()) < timedelta(days=limit("reference_every")):
        return None
    return min(moments, key=moments.__getitem__)


def graded(session: Session) -> tuple[Viewing, ...]:
    """The viewings that say something, and count."""
    return tuple(one for one in session.heard if one.answers)
