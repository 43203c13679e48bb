"""Anchors, uses, thresholds, causes and their clues: shipped as data, overridden by the user's weighing.toml.

    [anchors.evenness]
    at = [0.12, 0.25, 0.4, 0.7, 1.2]
    [uses.portrait]
    skin = 3
    highlight = 2
    [thresholds]
    flare = 0.01
    [clues]
    fits_well = 1.5
    [causes]
    c09 = 0.5        # its evidence counts half

and calibrations of observers, see `calibrations`.

What is effective has a digest; results name it, so that no grade is read under other tables than its own.
"""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import astuple, dataclass, fields, replace
from functools import lru_cache
from typing import Any, Final

from evaluation.judgement import override
from evaluation.judgement.table_rows import Anchor as Anchor
from evaluation.judgement.table_rows import Calibration, CauseRow, Clue, Threshold, Weights
from evaluation.keyed import parsed
from evaluation.metrics.limits import Limits
from evaluation.plain_text import listed
from evaluation.published.passport import Passport, load_toml
from evaluation.session import USES, Session, Use

_PACKAGE: Final = "evaluation.judgement"


@dataclass(frozen=True, slots=True)
class Tables:
    """What a weighing goes by.

    thresholds, clues  limits by name, of the weighing and of the clues to causes; no name is in both
    calibrations       of observers, from the user's settings
    never_graded       metrics that are facts and have no anchor
    passports          where each table comes from, by its name
    overridden         key paths of the user's own values, in the order of the file
    digest             sha256 of the values in force
    """

    anchors: Mapping[str, Anchor]
    uses: Mapping[Use, Weights]
    thresholds: Mapping[str, Threshold]
    clues: Mapping[str, Threshold]
    causes: tuple[CauseRow, ...]
    never_graded: tuple[str, ...]
    passports: Mapping[str, Passport]
    overridden: tuple[str, ...]
    digest: str
    calibrations: tuple[Calibration, ...] = ()

    def __getitem__(self, name: str) -> float:
        """The value of a limit. Raises KeyError."""
        row = self.thresholds.get(name)
        return self.clues[name].value if row is None else row.value

    @property
    def limits(self) -> Limits:
        """The limits that metrics work with."""
        return Limits(**{field.name: self[field.name] for field in fields(Limits)})

    def limits_under(self, session: Session) -> Limits:
        """The same, under the viewing light of a session as far as it was measured."""
        light = session.readiness.get("viewing_light")
        lux = None if light is None else light.detail.get("lux")
        return replace(self.limits, lux=float(lux)) if isinstance(lux, int | float) else self.limits

    @property
    def whose_anchors(self) -> str:
        """Whose choice the anchors are: the project's, but for those that the user changed."""
        yours = [path.split(".")[1] for path in self.overridden if path.startswith("anchors.")]
        names = listed([name.replace("_", " ") for name in yours])
        return "the project's own choice" + (f", but for the user's own of {names}" if yours else "")

    def of_kind(self, kind: str) -> tuple[Anchor, ...]:
        """The anchors of metrics that may be worked out for a kind of region, in table order."""
        return tuple(anchor for anchor in self.anchors.values() if kind in anchor.regions)


def load_tables(override_text: str | None = None, where: str = "weighing.toml") -> Tables:
    """The tables as shipped, with the user's values over them; `where` names that file in messages.

    Raises SheetProblem, naming every mistake of the override by its key path, and FileProblem when a table
    of our own is damaged.
    """
    shipped = _shipped()
    if override_text is None or not override_text.strip():
        return shipped
    top = parsed(override_text, where, what="The settings were not used.")
    overridden: list[str] = []
    result = replace(
        shipped,
        anchors=override.anchors(top.table("anchors"), shipped.anchors, overridden),
        uses=override.uses(top.table("uses"), shipped.uses, overridden),
        thresholds=override.thresholds(top.table("thresholds"), shipped.thresholds, overridden),
        clues=override.thresholds(top.table("clues"), shipped.clues, overridden),
        causes=override.causes(top.table("causes"), shipped.causes, overridden),
        calibrations=override.calibrations(top.table("calibrations"), overridden),
        overridden=(),
    )
    top.only()
    top.finish()
    return replace(result, overridden=tuple(overridden), digest=_digest(result))


@lru_cache(maxsize=1)
def _shipped() -> Tables:
    passports: dict[str, Passport] = {}

    def table(name: str) -> dict[str, Any]:
        passports[name], data = load_toml(_PACKAGE, f"tables/{name}.toml")
        return data

    anchors, uses, causes = (table(name) for name in ("anchors", "uses", "causes"))
    thresholds, clues = (_limits(table(name)) for name in ("thresholds", "clues"))
    tables = Tables(
        anchors={row["metric"]: _anchor(row) for row in anchors["anchor"]},
        uses={use: _weights(use, uses["use"][use.replace(" ", "_")]) for use in USES},
        thresholds=thresholds,
        clues=clues,
        causes=tuple(_cause(row) for row in causes["cause"]),
        never_graded=tuple(anchors["never_graded"]),
        passports=passports,
        overridden=(),
        digest="",
    )
    return replace(tables, digest=_digest(tables))


def _limits(rows: Mapping[str, Any]) -> dict[str, Threshold]:
    return {name: Threshold(name=name, **row) for name, row in rows.items()}


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
    weights = {kind: float(weight) for kind, weight in row.items() if kind not in ("key", "where_shown")}
    return Weights(use, weights, tuple(row["key"]), tuple(row["where_shown"]))


def _cause(row: Mapping[str, Any]) -> CauseRow:
    return CauseRow(
        id=row["id"],
        text=row["text"],
        first_check=row["first_check"],
        cost=row["cost"],
        evidence_for=_clues(row.get("for", ())),
        evidence_against=_clues(row.get("against", ())),
        family=row.get("family", ""),
        own_test=row.get("own_test", False),
    )


def _clues(rows: Sequence[Mapping[str, Any]]) -> tuple[Clue, ...]:
    return tuple(
        Clue(
            row["clue"],
            float(row["weight"]),
            row["say"],
            row.get("only_supports", False),
            row.get("measured", False),
        )
        for row in rows
    )


def canonical(tables: Tables) -> str:
    """The values in force as one text: the same tables give the same text, however they came about.

    Its sha256 is the digest that results name; the text is stored with them.
    """
    values: dict[str, Any] = {
        "anchors": {
            name: [row.at, row.key, row.regions, row.pair_only] for name, row in tables.anchors.items()
        },
        "uses": {use: [row.weights, row.key, row.where_shown] for use, row in tables.uses.items()},
        "thresholds": {name: row.value for name, row in tables.thresholds.items()},
        "clues": {name: row.value for name, row in tables.clues.items()},
        "causes": {
            row.id: [
                row.factor,
                row.family,
                row.own_test,
                [[one.name, one.weight] for one in row.evidence_for],
                [[one.name, one.weight] for one in row.evidence_against],
            ]
            for row in tables.causes
        },
    }
    if tables.calibrations:
        values["calibrations"] = {
            one.name: list(astuple(one))[: None if one.spread is not None else -1]
            for one in tables.calibrations
        }
    return json.dumps(values, sort_keys=True, separators=(",", ":"))


def _digest(tables: Tables) -> str:
    return hashlib.sha256(canonical(tables).encode()).hexdigest()
