"""An observer's calibration: by how much one eye lies off the readings throughout, found in several sessions.

It stands in the user's weighing.toml under a name, with its date and the sessions it rests on, and serves
every session that this observer looked at. Without it a lean is taken from the session alone. Enough prints
also tell by how much the true grades of a print's regions spread; without them `region_spread` stands.

    [calibrations."Ann, booth"]
    observer = "Ann"
    made = 2026-03-09
    lean = -0.42          # the eye less the readings, in grades
    error = 0.11          # one standard error of that
    regions = 31
    spread = 0.7          # of the true grades of a print's regions, in grades; from ten prints or more
    sessions = ["0f3a...", "..."]
"""

from evaluation.judgement.opinion import Lean
from evaluation.judgement.tables import Tables
from evaluation.session import Session


def spread_of(session: Session, tables: Tables) -> float:
    """What the true grades of a print's regions spread by, in grades: as the calibrations of its observers
    know it, the widest of them; else `region_spread`.
    """
    looked = {viewing.observer for viewing in session.viewings}
    own = (one.spread for one in tables.calibrations if one.observer in looked and one.spread is not None)
    return max(own, default=tables["region_spread"])


def of_session(session: Session, tables: Tables) -> tuple[Lean, ...]:
    """The leans that calibrations know of a session's observers, by role."""
    known = {one.observer: one for one in tables.calibrations}
    looked = dict.fromkeys(viewing.observer for viewing in session.viewings)
    return tuple(Lean(session.role(who), known[who].lean, known[who].error) for who in looked if who in known)
