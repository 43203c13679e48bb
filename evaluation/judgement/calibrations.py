"""An observer's calibration: by how much one eye lies off the readings throughout, found in several sessions.

It stands in the user's weighing.toml under a name, with its date and the sessions it rests on, and serves
every session that this observer looked at. Without it a lean is taken from the session alone.

    [calibrations."Ann, booth"]
    observer = "Ann"
    made = 2026-03-09
    lean = -0.42          # the eye less the readings, in grades
    error = 0.11          # one standard error of that
    regions = 31
    sessions = ["0f3a...", "..."]
"""

from evaluation.judgement.opinion import Lean
from evaluation.judgement.tables import Tables
from evaluation.session import Session


def of_session(session: Session, tables: Tables) -> tuple[Lean, ...]:
    """The leans that calibrations know of a session's observers, by role."""
    known = {one.observer: one for one in tables.calibrations}
    looked = dict.fromkeys(viewing.observer for viewing in session.viewings)
    return tuple(Lean(session.role(who), known[who].lean, known[who].error) for who in looked if who in known)
