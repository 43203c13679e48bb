"""The user's weighing.toml over the shipped rows; every mistake is noted at its key path.

Each function returns the rows in force and appends the key paths it took to `overridden`.
"""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import Final, cast

from evaluation.judgement.table_rows import Anchor, Calibration, CauseRow, Threshold, Weights
from evaluation.keyed import Keyed
from evaluation.session import Use

# What a value can mean at all, by its unit: the first of these that the unit begins with.
_SPANS: Final[Mapping[str, tuple[float, float]]] = {
    "share": (0, 1),
    "grades": (0, 5),
    "draws of a length": (1000, 100_000),
    "draws": (20, 5000),
    "viewings": (1, 100),
    "regions": (2, 1000),
    "patches": (3, 1000),
    "metrics": (1, 3),
    "degrees of hue": (0, 360),
    "degrees of freedom": (1, 1000),
    "copies": (2, 100),
    "prints": (2, 100),
    "causes": (0, 10),
    "hours": (0, 10_000),
    "minutes": (0, 1440),
    "lux": (1, 20_000),
}
_WHOLE: Final = ("draws", "regions", "patches", "metrics", "degrees of freedom", "copies", "prints", "causes")


def span(unit: str) -> tuple[float, float]:
    """The least and the largest value of a threshold in this unit; distances and weights go to 100."""
    return next((span for word, span in _SPANS.items() if unit.startswith(word)), (0.0, 100.0))


def anchors(given: Keyed, shipped: Mapping[str, Anchor], overridden: list[str]) -> Mapping[str, Anchor]:
    """Anchors with the user's five values, which must rise or fall as the shipped ones do."""
    changed = dict(shipped)
    for metric in given.names():
        row = given.table(metric)
        if metric not in changed:
            given.unknown(metric, "metric", changed)
            continue
        at = row.numbers("at", 5, low=0.0, high=1000.0)
        row.only("at")
        if at is None:
            continue
        rising = at[::-1] if changed[metric].larger_is_better else at
        if not all(low < high for low, high in pairwise(rising)):
            way = "falling" if changed[metric].larger_is_better else "rising"
            row.wrong("at", f"five {way} numbers, for the grades 5, 4, 3, 2, 1", list(at))
            continue
        changed[metric] = replace(changed[metric], at=at, source="the user's own")
        overridden.append(row.path("at"))
    return changed


def uses(given: Keyed, shipped: Mapping[Use, Weights], overridden: list[str]) -> Mapping[Use, Weights]:
    """Uses with the user's weights, 0 to 100, and key regions; a weight of 0 leaves a kind of region out."""
    changed = dict(shipped)
    kinds = sorted({kind for use in changed.values() for kind in use.weights})
    for name in given.names():
        row = given.table(name)
        use = cast(Use, name.replace("_", " "))
        if use not in changed:
            given.unknown(name, "use", (use.replace(" ", "_") for use in changed))
            continue
        weights = dict(changed[use].weights)
        for kind in row.names():
            if kind == "key":
                continue
            if kind not in kinds:
                row.unknown(kind, "kind of region", kinds)
                continue
            weights[kind] = row.number(kind, low=0.0, high=100.0)
            overridden.append(row.path(kind))
        key = changed[use].key
        if row.has("key"):
            key = row.texts("key")
            overridden.append(row.path("key"))
        if not any(weights.values()):
            row.note(next(iter(row.names())), "no kind of region is left with a weight; one is needed")
        missing = [kind for kind in key if not weights.get(kind)]
        if missing:
            row.note("key", f"“{missing[0]}” is key to this use: give it a weight, or write a key without it")
        kept = {kind: weight for kind, weight in weights.items() if weight > 0}
        changed[use] = replace(changed[use], weights=kept, key=key)
    return changed


def thresholds(
    given: Keyed, shipped: Mapping[str, Threshold], overridden: list[str]
) -> Mapping[str, Threshold]:
    """Limits with the user's values, each within what its unit can mean (`span`)."""
    changed = dict(shipped)
    for name in given.names():
        if name not in changed:
            given.unknown(name, "limit", changed)
            continue
        was = changed[name]
        low, high = span(was.unit)
        if was.unit.startswith(_WHOLE):
            value = float(given.whole(name, low=int(low), high=int(high)))
        else:
            value = given.number(name, low=low, high=high)
        changed[name] = replace(was, value=value, mark="own", note=f"the user's own; shipped: {was.value:g}")
        overridden.append(given.path(name))
    return changed


def causes(given: Keyed, shipped: tuple[CauseRow, ...], overridden: list[str]) -> tuple[CauseRow, ...]:
    """Causes with the user's factors, 0 to 10; 0 leaves a cause out."""
    known = {row.id: row for row in shipped}
    for name in given.names():
        if name not in known:
            given.unknown(name, "cause", known)
            continue
        known[name] = replace(known[name], factor=given.number(name, low=0.0, high=10.0))
        overridden.append(given.path(name))
    return tuple(known.values())


def calibrations(given: Keyed, overridden: list[str]) -> tuple[Calibration, ...]:
    """Calibrations of observers by name; no observer has two."""
    found: list[Calibration] = []
    for name in given.names():
        row = given.table(name)
        made = row.any("made")
        if not isinstance(made, date):
            row.wrong("made", "a date, as 2026-03-09", made)
        one = Calibration(
            name,
            row.text("observer"),
            str(made),
            row.number("lean", low=-4.0, high=4.0),
            row.number("error", low=0.01, high=4.0),
            row.whole("regions", low=1, high=1_000_000),
            row.texts("sessions"),
            row.maybe_number("spread", low=0.1, high=4.0),
        )
        row.only()
        if any(other.observer == one.observer for other in found):
            row.note("observer", "this observer has a calibration already; keep one of them")
        found.append(one)
        overridden.append(given.path(name))
    return tuple(found)
