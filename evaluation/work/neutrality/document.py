"""The document of `drydown neutrality --json` as plain values."""

from dataclasses import asdict
from typing import Any

import numpy as np

from evaluation.documents import neutrality as shape
from evaluation.judgement.greys import NeutralityRecord
from evaluation.judgement.greys_compared import GreysCompared
from evaluation.telling.findings import COLOURLESS
from evaluation.telling.neutrality.prints import Greys, Neutrality


def document(found: Neutrality) -> shape.Neutrality:
    """Every print with its record or why there is none; modes side by side; the sentence to quote."""
    return {
        "sessions": [_print(one) for one in found.prints],
        "order": list(found.order),
        "modes": [_beside(pair) for pair in found.beside],
        "quote": found.quote,
        "caveats": list(found.caveats),
    }


def _print(one: Greys) -> shape.PrintRecord:
    record = one.record
    record_of = _record(record, one) if record is not None else _nothing()
    return {
        "id": one.id,
        "paper": one.session.condition.paper,
        "mode": one.session.condition.driver_mode,
        "why_not": one.why,
        "tone": {
            "wanted": one.tone.said or "neutral",
            "against": one.against,
            "toning": None if one.toning is None else _of(one.toning),
        },
        **record_of,
    }


def _nothing() -> shape.Record:
    """The keys of a record, so that every session has one shape."""
    return {
        "aim": None,
        "condition": None,
        "instrument": None,
        "hours": None,
        "steps": [],
        "thirds": {"light": None, "middle": None, "dark": None},
        "crossover": None,
        "evenness": None,
        "black": None,
        "flatness": {},
        "lights": {},
        "worst_light": None,
        "drying": None,
        "ring": [],
        "ring_left_out": None,
        "sentence": "",
    }


def _record(record: NeutralityRecord, one: Greys) -> shape.Record:
    return {
        "aim": record.aim,
        "condition": record.condition,
        "instrument": record.instrument,
        "hours": None if one.hours is None else round(one.hours, 2),
        "steps": [_step(record, k) for k in range(len(record.steps))],
        "thirds": {
            "light": _third(record, "light"),
            "middle": _third(record, "middle"),
            "dark": _third(record, "dark"),
        },
        "crossover": None if record.crossover is None else _of(record.crossover),
        "evenness": None if record.evenness is None else _of(record.evenness),
        "black": None if record.black is None else _of(record.black),
        "flatness": {
            name: plain({"value": flat.clear_value, "noise": flat.floor, "readings": flat.readings})
            for name, flat in record.flatness.items()
        },
        "lights": {name: _of(row, but="light") for name, row in record.lights.items()},
        "worst_light": record.worst_light,
        "drying": None if record.drying is None else _of(record.drying),
        "ring": [_of(one) for one in record.rings],
        "ring_left_out": COLOURLESS if record.colourless else None,
        "sentence": one.sentence,
    }


def _step(record: NeutralityRecord, k: int) -> shape.Step:
    step = record.steps[k]
    values = {
        "patch": step.patch,
        "name": step.name,
        "source_l": step.source_l,
        "lab": [step.L, step.a, step.b],
        "density": step.density,
        "aim": [step.aim_a, step.aim_b],
        "dch": step.dch,
        "de00": step.de00,
        "counted": not step.hollow,
        "conditions": {name: list(labs[k]) for name, labs in sorted(record.conditions.items())},
        "shifts": {name: [float(v) for v in record.scale.shifts[name][k]] for name in record.lights},
    }
    return plain(values)  # type: ignore[no-any-return]


def _third(record: NeutralityRecord, name: str) -> shape.ThirdOfScale | None:
    third = record.thirds.get(name)
    return None if third is None else _of(third, but="name")


def _beside(pair: GreysCompared) -> shape.Modes:
    rows = [_of(row, exceeds_repeatability=row.beyond) for row in pair.rows]
    return {"a": pair.a, "b": pair.b, "reason": pair.reason, "rows": rows}


def _of(noun: Any, *, but: str = "", **more: object) -> Any:
    """The fields of a noun but one, rounded, and more beside them."""
    return {name: value for name, value in plain(asdict(noun)).items() if name != but} | more


def plain(value: Any) -> Any:
    """Rounded to what readings carry; what was not read is null, never NaN."""
    match value:
        case float():
            return round(value, 3) + 0.0 if np.isfinite(value) else None
        case dict():
            return {key: plain(inner) for key, inner in value.items()}
        case tuple() | list():
            return [plain(inner) for inner in value]
    return value
