"""Several observers of one print as plain JSON values and as sentences."""

from evaluation.documents import observers as shape
from evaluation.judgement.observers.agreement import Shares
from evaluation.judgement.observers.pooled import Pooled
from evaluation.telling import observers as words
from evaluation.work.weigh.observers import GradedBy, Observers


def told(found: Observers, *, by_name: bool = False) -> list[str]:
    """How alike the observers graded, who leans, whose answers are unlike, and what is missing."""
    called = dict(zip(found.roles, found.names if by_name else found.roles, strict=True))
    counting = [called[role] for role in found.counting]
    aside = [called[role] for role in found.roles if role not in found.counting]
    lines = [
        words.aside(aside),
        words.alike(found.shares),
        *words.leaning(found.leans, counting),
        words.unlike([called[role] for role in found.apart], len(counting)),
        words.coefficient(found.coefficient),
        words.screening(len(counting)),
        *words.gaps(found.partial, found.waiting),
        *words.in_common(found.others),
        words.people(list(called.values()), [(one.prints, one.colour_vision) for one in found.people]),
    ]
    return [line for line in lines if line]


def document(found: Observers) -> shape.ObserversOfPrint:
    """All of it as plain JSON values, rounded."""
    coefficient = found.coefficient
    return {
        "session": found.session,
        "observers": [_observer(found, place) for place in range(len(found.roles))],
        "regions": [_region(one) for one in found.regions],
        "alike": _alike(found.shares),
        "rest": None if found.leans is None else round(found.leans.rest, 2),
        "alpha": None if coefficient.alpha is None else round(coefficient.alpha, 3),
        "alpha_interval": None
        if coefficient.interval is None
        else (round(coefficient.interval[0], 2), round(coefficient.interval[1], 2)),
        "not_by_all": list(found.partial),
        "not_by_the_same": [*found.others.others, *found.others.partly],
        "waiting": list(found.waiting),
        "told": told(found),
    }


def _observer(found: Observers, place: int) -> shape.OneObserver:
    lean = found.lean_of[place]
    unlike = found.unlike[place]
    return {
        "observer": found.roles[place],
        "prints_seen": found.people[place].prints,
        "colour_vision": found.people[place].colour_vision or None,
        "set_aside": found.aside[place],
        "lean": None if lean is None else round(lean.by, 2),
        "error": None if lean is None else round(lean.error, 2),
        "named": lean is not None and lean.named,
        "unlike": None if unlike is None else round(unlike, 2),
    }


def _region(one: GradedBy) -> shape.RegionByObserver:
    return {
        "region": one.region,
        "title": one.title,
        "grades": list(one.grades),
        "grade": None if one.pooled is None else round(one.pooled.grade, 2),
        "interval": _interval(one.pooled),
        "all_in": None if one.all_in is None else round(one.all_in.grade, 2),
        "alike": _alike(one.shares),
    }


def _interval(one: Pooled | None) -> tuple[float, float] | None:
    return None if one is None else (round(one.low, 2), round(one.high, 2))


def _alike(shares: Shares | None) -> shape.Alike | None:
    if shares is None:
        return None
    return {"equal": round(shares.equal, 3), "within_one": round(shares.within_one, 3), "pairs": shares.pairs}
