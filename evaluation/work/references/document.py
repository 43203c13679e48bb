"""Own reference prints as plain JSON values and as sentences."""

from evaluation.documents import references as shape
from evaluation.judgement.observers.drift import FIRST
from evaluation.telling import references as words
from evaluation.work.references.references import Day, References


def told(found: References) -> list[str]:
    """What is kept, what is due, how steady each eye is."""
    lines = [words.kept(found.kept), words.due(found.due, found.now)]
    lines += words.steady(found.days) if found.kept else []
    return [line for line in lines if line]


def document(found: References) -> shape.OwnReferences:
    """All of it as plain JSON values, rounded."""
    return {
        "kept": [
            {
                "session": one.session,
                "paper": one.paper,
                "graded": None if one.graded is None else one.graded.isoformat(timespec="seconds"),
            }
            for one in found.kept
        ],
        "due": None if found.due is None else found.due.session,
        "days": [_day(one) for one in found.days],
        "told": told(found),
    }


def _day(one: Day) -> shape.DayOfReferences:
    drift = None if one.drift == FIRST else one.drift
    return {
        "day": one.day.isoformat(),
        "observer": one.observer,
        "sessions": list(one.prints),
        "first_look": one.drift == FIRST,
        "drift": None if drift is None else round(drift.by, 2),
        "error": None if drift is None else round(drift.error, 2),
        "regions": 0 if drift is None else drift.regions,
        "beyond_error": drift is not None and drift.beyond,
    }
