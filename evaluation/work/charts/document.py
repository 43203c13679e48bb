"""Profiling data as plain JSON values: `drydown chart --json`."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from evaluation.judgement.charts import Again, Between, Compared, OfSession
from evaluation.judgement.charts_offered import OF_THE_MACHINE
from evaluation.readings.chart import ChartFacts, GreyRow
from evaluation.readings.run import Array


def document(found: Sequence[OfSession], between: Sequence[Between]) -> dict[str, Any]:
    """Profiling data as plain JSON values; the shape is documented in the README and tested."""
    return {
        "sessions": [
            {
                "id": each.session.id,
                "condition": {field: getattr(each.session.condition, field) for field in OF_THE_MACHINE},
                "chart": each.chart and _chart(each.chart),
                "again": [_again(one) for one in each.again],
                "offered": [
                    {"session": one.session, "file": one.file, "readings": one.readings}
                    for one in each.offered
                ],
            }
            for each in found
        ],
        "between": [
            {"a": one.a, "b": one.b} | (_difference(one.compared) if one.compared else {"word": None})
            for one in between
        ],
    }


def _chart(facts: ChartFacts) -> dict[str, Any]:
    run, depth, glow, noise = facts.run, facts.depth, facts.whitener, facts.repeats
    return {
        "file": run.source_name,
        "measured_at": run.stated.measured_at and run.stated.measured_at.isoformat(),
        "patches": facts.patches,
        "readings": len(run),
        "device_space": run.device_space,
        "conditions": list(facts.conditions),
        "condition": run.stated.condition,
        "backing": run.stated.backing,
        "instrument": run.stated.instrument,
        "paper": None
        if depth.paper_lab is None
        else {"lab": _rounded(depth.paper_lab), "density": _number(depth.d_min, 3)},
        "black": None
        if facts.black is None
        else {
            "lab": _rounded(facts.black),
            "density": _number(depth.d_max, 3),
            "range": _number(depth.d_range, 3),
            "spread": _number(depth.spread, 4),
            "basis": depth.basis,
            "flatness": facts.flatness
            and {
                "value": _number(facts.flatness.value, 4),
                "floor": _number(facts.flatness.floor, 4),
                "readings": facts.flatness.readings,
                "told": facts.flatness.is_clear,
            },
        },
        "darkest": {"name": depth.darkest, "density": _number(depth.darkest_density, 3)},
        "greys": facts.greys and _grey_document(facts.greys),
        "whitener": glow
        and {
            "dl": _number(glow.dl, 3),
            "da": _number(glow.da, 3),
            "db": _number(glow.db, 3),
            "glow": _number(glow.glow, 4),
            "glow_nm": glow.glow_at,
        },
        "repeats": {"patches": noise.patches, "mcdm": _number(noise.mcdm, 3), "p95": _number(noise.p95, 3)},
        "remarks": list(depth.remarks),
    }


def _grey_document(greys: GreyRow) -> dict[str, Any]:
    judged = greys.judged
    return {
        "falls": greys.falls,
        "mean_dch": _number(float(greys.from_paper[judged].mean()), 3) if len(judged) else None,
        "steps": [
            {"level": round(float(level), 4), "lab": _rounded(lab), "dch": _number(float(off), 3)}
            for level, lab, off in zip(greys.level, greys.lab, greys.from_paper, strict=True)
        ],
    }


def _again(again: Again) -> dict[str, Any]:
    at = again.run.stated.measured_at
    return {"file": again.run.source_name, "measured_at": at and at.isoformat()} | _difference(again.compared)


def _difference(found: Compared) -> dict[str, Any]:
    off = found.against
    return {
        "word": found.word,
        "condition": found.condition,
        "patches": len(off.patches),
        "mean_de00": _number(off.mean, 3),
        "p95_de00": _number(off.p95, 3),
        "largest_de00": _number(off.largest, 3),
        "worst": off.worst,
        "bias": _rounded(off.bias),
        "limit": off.limit and _number(off.limit.value, 3),
        "limit_dark": off.limit_dark and _number(off.limit_dark.value, 3),
        "beyond": off.beyond,
        "within_sheets": found.within_sheets,
        "remarks": list(off.remarks),
    }


def _rounded(values: Array) -> list[float]:
    return [round(float(value), 2) + 0.0 for value in values]


def _number(value: float | None, digits: int) -> float | None:
    return None if value is None or not np.isfinite(value) else round(float(value), digits)
