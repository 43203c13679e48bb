"""The greys of a print as it gives its tone to others, and the tone another print gives to it. Gated."""

from collections.abc import Sequence
from typing import Final

from evaluation.archive import sessions
from evaluation.judgement.greys import NeutralityRecord
from evaluation.judgement.neutrality_record import neutrality_record
from evaluation.judgement.tables import Tables
from evaluation.metrics.evidence import Array
from evaluation.readings.run import Taken
from evaluation.session import Session
from evaluation.sheet.layout import Sheet
from evaluation.telling.neutrality import limits
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.neutrality.tone import curve, tone
from evaluation.work.take_in import read

_KINDS: Final = ("mono_neutral", "neutral")


def wanted_curve(bench: Bench, session: Session, tables: Tables) -> Array | None:
    """(m, 3) absolute CIELAB of the tone that Describe asks for, where the readings of another print give it.

    None for neutral, for a tone in words, and where either print's greys are not read or may not be shown.
    """
    wanted = tone(bench, session.condition.tone_wanted)
    if wanted.reference is None:
        return None
    reference, own = (plain(bench, one, tables) for one in (wanted.reference, session.id))
    return None if isinstance(reference, str) or isinstance(own, str) else curve(reference, own)


def plain(bench: Bench, session_id: int, tables: Tables) -> NeutralityRecord | str:
    """The record of a print without any tone wanted of it, as one gives its own; or why there is none."""
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    taken = read.taken_in(bench, session)
    if why := not_shown(session, sheet, taken):
        return why
    record = neutrality_record(session.counting(), sheet, gate.visible_part(session, sheet, taken), tables)
    return record if record is not None else limits.no_greys(session_id)


def not_shown(session: Session, sheet: Sheet, taken: Sequence[Taken]) -> str:
    """Why there is nothing to show of a session; empty where there is."""
    region = scale_region(sheet)
    if not region:
        return limits.no_scale(session.id)
    if not taken:
        return limits.nothing_read(session.id)
    hidden = gate.withheld(session, sheet, region)
    return f"Session {session.id}: {hidden.reason}" if hidden is not None else ""


def scale_region(sheet: Sheet) -> str:
    """The region whose scale the record is about; "" for none."""
    return next((one.id for kind in _KINDS for one in sheet.regions if one.kind == kind), "")
