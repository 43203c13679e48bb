"""The document of `drydown neutrality --json` as plain values; the README says its shape, a test holds it."""

from dataclasses import asdict
from typing import Any, Final

import numpy as np

from evaluation.judgement.greys import Record
from evaluation.judgement.modes import Beside
from evaluation.judgement.ring import COLOURLESS
from evaluation.telling.neutrality.prints import Greys, Neutrality

_THIRDS: Final = ("light", "middle", "dark")


def document(found: Neutrality) -> dict[str, Any]:
    """Every print with its record or why there is none; modes side by side; the sentence to quote."""
    return {
        "sessions": [_print(one) for one in found.prints],
        "order": list(found.order),
        "modes": [_beside(pair) for pair in found.beside],
        "quote": found.quote,
        "caveats": list(found.caveats),
    }


def _print(one: Greys) -> dict[str, Any]:
    record = one.record
    said = {
        "id": one.id,
        "paper": one.session.condition.paper,
        "mode": one.session.condition.driver_mode,
        "why_not": one.why,
        "tone": {
            "wanted": one.tone.said or "neutral",
            "against": one.against,
            "leans": one.toning and plain(asdict(one.toning)),
        },
    }
    return said | (_record(record, one) if record is not None else _nothing())


def _nothing() -> dict[str, Any]:
    """The keys of a record, so that every session has one shape."""
    return {
        "aim": None,
        "condition": None,
        "instrument": None,
        "hours": None,
        "steps": [],
        "thirds": dict.fromkeys(_THIRDS),
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


def _record(record: Record, one: Greys) -> dict[str, Any]:
    return {
        "aim": record.aim,
        "condition": record.condition,
        "instrument": record.instrument,
        "hours": one.hours and round(one.hours, 2),
        "steps": [_step(record, k) for k in range(len(record.steps))],
        "thirds": {name: _third(record, name) for name in _THIRDS},
        "crossover": record.crossover and plain(asdict(record.crossover)),
        "evenness": record.evenness and plain(asdict(record.evenness)),
        "black": record.black and plain(asdict(record.black)),
        "flatness": {
            name: plain({"value": flat.clear_value, "noise": flat.floor, "readings": flat.readings})
            for name, flat in record.flatness.items()
        },
        "lights": {
            name: {key: value for key, value in plain(asdict(row)).items() if key != "light"}
            for name, row in record.lights.items()
        },
        "worst_light": record.worst_light,
        "drying": record.drying and plain(asdict(record.drying)),
        "ring": [plain(asdict(one)) for one in record.rings],
        "ring_left_out": COLOURLESS if record.colourless else None,
        "sentence": one.sentence,
    }


def _step(record: Record, k: int) -> dict[str, Any]:
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


def _third(record: Record, name: str) -> dict[str, Any] | None:
    third = record.thirds.get(name)
    return None if third is None else {k: v for k, v in plain(asdict(third)).items() if k != "name"}


def _beside(pair: Beside) -> dict[str, Any]:
    rows = [{**plain(asdict(row)), "exceeds_repeatability": row.beyond} for row in pair.rows]
    return {"a": pair.a, "b": pair.b, "reason": pair.reason, "rows": rows}


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
