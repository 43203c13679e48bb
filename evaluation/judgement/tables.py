"""Anchors, uses, thresholds and causes: shipped as data, overridden by the user's weighing.toml.

    [anchors.evenness]
    at = [0.12, 0.25, 0.4, 0.7, 1.2]
    [uses.portrait]
    skin = 3
    highlight = 2
    [thresholds]
    flare = 0.01
    [causes]
    c09 = 0.5        # its evidence counts half

What is effective has a digest; results name it, so that no grade is read under other tables than its own.
"""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from itertools import pairwise
from typing import Any, Final, cast

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.keyed import Keyed, parsed
from evaluation.metrics.limits import Limits
from evaluation.published.passport import Mark, Passport, load_toml
from evaluation.session import USES, Use

_PACKAGE: Final = "evaluation.judgement"
_GRADES: Final = (5.0, 4.0, 3.0, 2.0, 1.0)


@dataclass(frozen=True, slots=True)
class Anchor:
    """From a metric to a grade: its values at 5, 4, 3, 2, 1. No regions: a metric of the whole sheet.

    key        may be graded, except in the kinds of region of `pair_only`, where it serves its question only
    faults     trade names of faults that the metric can see
    """

    metric: str
    attribute: str
    unit: str
    regions: tuple[str, ...]
    key: bool
    pair_only: tuple[str, ...]
    larger_is_better: bool
    faults: tuple[str, ...]
    at: tuple[float, ...]
    source: str

    def grade(self, values: ArrayLike) -> NDArray[np.float64]:
        """Grades 5..1 of values (...), linear between the anchors, clipped at both ends."""
        sign = -1.0 if self.larger_is_better else 1.0
        at = [sign * value for value in self.at]
        return np.interp(sign * np.asarray(values, np.float64), at, _GRADES)


@dataclass(frozen=True, slots=True)
class Weights:
    """What a use asks of a print: the weight of each kind of region, and the kinds it cannot do without."""

    use: Use
    weights: Mapping[str, float]
    key: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Threshold:
    name: str
    value: float
    unit: str
    mark: Mark
    note: str


@dataclass(frozen=True, slots=True)
class Clue:
    """One piece of evidence: the name of its predicate, its weight, its sentence.

    only_supports  a circumstance, as an open readiness item: it never names a cause by itself
    """

    name: str
    weight: float
    say: str
    only_supports: bool = False


@dataclass(frozen=True, slots=True)
class CauseRow:
    """One suspicion as the table has it; `factor` scales its weight by the user's setting."""

    id: str
    text: str
    first_check: str
    cost: str
    evidence_for: tuple[Clue, ...]
    evidence_against: tuple[Clue, ...]
    factor: float = 1.0


@dataclass(frozen=True, slots=True)
class Tables:
    """What a weighing goes by. `overridden`: key paths of the user's own values, in the order of the file."""

    anchors: Mapping[str, Anchor]
    uses: Mapping[Use, Weights]
    thresholds: Mapping[str, Threshold]
    causes: tuple[CauseRow, ...]
    never_graded: tuple[str, ...]
    passports: Mapping[str, Passport]
    overridden: tuple[str, ...]
    digest: str

    def __getitem__(self, name: str) -> float:
        """The value of a threshold. Raises KeyError."""
        return self.thresholds[name].value

    @property
    def limits(self) -> Limits:
        """The thresholds that metrics work with."""
        return Limits(**{field.name: self[field.name] for field in fields(Limits)})

    def of_kind(self, kind: str) -> tuple[Anchor, ...]:
        """The anchors of metrics that may be worked out for a kind of region, in table order."""
        return tuple(anchor for anchor in self.anchors.values() if kind in anchor.regions)


def load_tables(override_text: str | None = None, where: str = "weighing.toml") -> Tables:
    """The tables as shipped, with the user's values put over them; `where` names that file in messages.

    Raises SheetProblem, naming every mistake of the override by its key path, and FileProblem when a table
    of our own is damaged.
    """
    shipped = _shipped()
    if override_text is None or not override_text.strip():
        return shipped
    top = parsed(override_text, where, what="The settings were not used.")
    anchors, uses, thresholds, causes = top.table("anchors"), top.table("uses"), top.table("thresholds"), None
    causes = top.table("causes")
    overridden: list[str] = []
    result = replace(
        shipped,
        anchors=_anchors(anchors, shipped, overridden),
        uses=_uses(uses, shipped, overridden),
        thresholds=_thresholds(thresholds, shipped, overridden),
        causes=_causes(causes, shipped, overridden),
        overridden=(),
    )
    top.only()
    top.finish()
    return replace(result, overridden=tuple(overridden), digest=_digest(result))


def _anchors(said: Keyed, shipped: Tables, overridden: list[str]) -> Mapping[str, Anchor]:
    changed = dict(shipped.anchors)
    for metric in said.names():
        row = said.table(metric)
        if metric not in changed:
            said.note(metric, f"unknown metric; known here: {', '.join(changed)}")
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


def _uses(said: Keyed, shipped: Tables, overridden: list[str]) -> Mapping[Use, Weights]:
    changed = dict(shipped.uses)
    kinds = sorted({kind for use in changed.values() for kind in use.weights})
    for name in said.names():
        row = said.table(name)
        use = cast(Use, name.replace("_", " "))
        if use not in changed:
            said.note(name, f"unknown use; known here: {', '.join(u.replace(' ', '_') for u in changed)}")
            continue
        weights = dict(changed[use].weights)
        for kind in row.names():
            if kind == "key":
                continue
            if kind not in kinds:
                row.note(kind, f"unknown kind of region; known here: {', '.join(kinds)}")
                continue
            weights[kind] = row.number(kind, low=0.0, high=100.0)
            overridden.append(row.path(kind))
        key = changed[use].key
        if row.has("key"):
            key = row.texts("key")
            overridden.append(row.path("key"))
        missing = [kind for kind in key if not weights.get(kind)]
        if missing:
            row.wrong("key", "kinds of region that have a weight", missing[0])
        changed[use] = Weights(use, {k: w for k, w in weights.items() if w > 0}, key)
    return changed


def _thresholds(said: Keyed, shipped: Tables, overridden: list[str]) -> Mapping[str, Threshold]:
    changed = dict(shipped.thresholds)
    for name in said.names():
        if name not in changed:
            said.note(name, f"unknown threshold; known here: {', '.join(changed)}")
            continue
        was = changed[name]
        share = was.unit.startswith("share")
        value = said.number(name, low=0.0, high=1.0 if share else 100_000.0)
        changed[name] = replace(was, value=value, mark="own", note=f"the user's own; shipped: {was.value:g}")
        overridden.append(said.path(name))
    return changed


def _causes(said: Keyed, shipped: Tables, overridden: list[str]) -> tuple[CauseRow, ...]:
    known = {row.id: row for row in shipped.causes}
    for name in said.names():
        if name not in known:
            said.note(name, f"unknown cause; known here: {', '.join(known)}")
            continue
        known[name] = replace(known[name], factor=said.number(name, low=0.0, high=10.0))
        overridden.append(said.path(name))
    return tuple(known.values())


@lru_cache(maxsize=1)
def _shipped() -> Tables:
    passports: dict[str, Passport] = {}

    def table(name: str) -> dict[str, Any]:
        passports[name], data = load_toml(_PACKAGE, f"tables/{name}.toml")
        return data

    anchors, uses, thresholds, causes = (table(name) for name in ("anchors", "uses", "thresholds", "causes"))
    tables = Tables(
        anchors={row["metric"]: _anchor(row) for row in anchors["anchor"]},
        uses={use: _weights(use, uses["use"][use.replace(" ", "_")]) for use in USES},
        thresholds={name: Threshold(name=name, **row) for name, row in thresholds.items()},
        causes=tuple(_cause(row) for row in causes["cause"]),
        never_graded=tuple(anchors["never_graded"]),
        passports=passports,
        overridden=(),
        digest="",
    )
    return replace(tables, digest=_digest(tables))


def _anchor(row: Mapping[str, Any]) -> Anchor:
    return Anchor(
        metric=row["metric"],
        attribute=row["attribute"],
        unit=row["unit"],
        regions=tuple(row["regions"]),
        key=row["key"],
        pair_only=tuple(row.get("pair_only", ())),
        larger_is_better=row.get("larger_is_better", False),
        faults=tuple(row.get("faults", ())),
        at=tuple(float(value) for value in row["at"]),
        source=row["source"],
    )


def _weights(use: Use, row: Mapping[str, Any]) -> Weights:
    weights = {kind: float(weight) for kind, weight in row.items() if kind != "key"}
    return Weights(use=use, weights=weights, key=tuple(row["key"]))


def _cause(row: Mapping[str, Any]) -> CauseRow:
    return CauseRow(
        id=row["id"],
        text=row["text"],
        first_check=row["first_check"],
        cost=row["cost"],
        evidence_for=_clues(row.get("for", ())),
        evidence_against=_clues(row.get("against", ())),
    )


def _clues(rows: Sequence[Mapping[str, Any]]) -> tuple[Clue, ...]:
    return tuple(
        Clue(row["clue"], float(row["weight"]), row["say"], row.get("only_supports", False)) for row in rows
    )


def canonical(tables: Tables) -> str:
    """The effective values as one text: the same tables give the same text, however they came about.

    Its sha256 is the digest that results name; the text is kept with them.
    """
    values = {
        "anchors": {
            name: [row.at, row.key, row.regions, row.pair_only] for name, row in tables.anchors.items()
        },
        "uses": {use: [row.weights, row.key] for use, row in tables.uses.items()},
        "thresholds": {name: row.value for name, row in tables.thresholds.items()},
        "causes": {
            row.id: [
                row.factor,
                [[one.name, one.weight] for one in row.evidence_for],
                [[one.name, one.weight] for one in row.evidence_against],
            ]
            for row in tables.causes
        },
    }
    return json.dumps(values, sort_keys=True, separators=(",", ":"))


def _digest(tables: Tables) -> str:
    return hashlib.sha256(canonical(tables).encode()).hexdigest()
