"""Profiling data as plain JSON values: `drydown chart --json`."""

from collections.abc import Sequence

import numpy as np

from evaluation.colorimetry.brightener import Brightener
from evaluation.colorimetry.flatness import Flatness
from evaluation.documents import profiling as shape
from evaluation.judgement.charts import Again, ChartPair, ChartsCompared, OfSession
from evaluation.readings.chart import ChartFacts, GreyRow
from evaluation.readings.run import Array
from evaluation.session import PrintingCondition


def document(found: Sequence[OfSession], between: Sequence[ChartPair]) -> shape.Profiling:
    """Profiling data as plain JSON values, rounded."""
    return {
        "sessions": [
            {
                "id": each.session.id,
                "condition": _condition(each.session.condition),
                "chart": None if each.chart is None else _chart(each.chart),
                "again": [_again(one) for one in each.again],
                "offered": [
                    {"session": one.session, "file": one.file, "readings": one.readings}
                    for one in each.offered
                ],
            }
            for each in found
        ],
        "between": [
            {"a": one.a, "b": one.b, "compared": None if one.compared is None else _difference(one.compared)}
            for one in between
        ],
    }


def _condition(condition: PrintingCondition) -> shape.Condition:
    return {
        "printer": condition.printer,
        "inks": condition.inks,
        "paper": condition.paper,
        "media_setting": condition.media_setting,
        "quality": condition.quality,
        "direction": condition.direction,
    }


def _chart(facts: ChartFacts) -> shape.Chart:
    run, depth, glow, noise = facts.run, facts.depth, facts.whitener, facts.repeats
    return {
        "file": run.source_name,
        "measured_at": None if run.stated.measured_at is None else run.stated.measured_at.isoformat(),
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
            "given": None if facts.given[0] is None else _given(facts.given[0], facts.given[1]),
            "flatness": None if facts.flatness is None else _flatness(facts.flatness),
        },
        "darkest": {"name": depth.darkest, "density": _number(depth.darkest_density, 3)},
        "greys": None if facts.greys is None else _grey_document(facts.greys),
        "whitener": None if glow is None or facts.lit_by is None else _whitener(glow, facts.lit_by),
        "repeats": {"patches": noise.patches, "mcdm": _number(noise.mcdm, 3), "p95": _number(noise.p95, 3)},
        "remarks": list(depth.remarks),
    }


def _given(density: float, status: str | None) -> shape.Given:
    return {"density": _number(density, 3), "status": status}


def _flatness(flat: Flatness) -> shape.Flatness:
    return {
        "value": _number(flat.value, 4),
        "floor": _number(flat.floor, 4),
        "readings": flat.readings,
        "told": flat.is_clear,
    }


def _whitener(glow: Brightener, lit_by: str) -> shape.Whitener:
    return {
        "less": lit_by,
        "dl": _number(glow.dl, 3),
        "da": _number(glow.da, 3),
        "db": _number(glow.db, 3),
        "glow": _number(glow.glow, 4),
        "glow_nm": glow.glow_at,
    }


def _grey_document(greys: GreyRow) -> shape.Greys:
    judged = greys.judged
    return {
        "falls": greys.falls,
        "mean_dch": _number(float(greys.from_paper[judged].mean()), 3) if len(judged) else None,
        "steps": [
            {"level": round(float(level), 4), "lab": _rounded(lab), "dch": _number(float(off), 3)}
            for level, lab, off in zip(greys.level, greys.lab, greys.from_paper, strict=True)
        ],
    }


def _again(again: Again) -> shape.Again:
    at = again.run.stated.measured_at
    return {
        "file": again.run.source_name,
        "measured_at": None if at is None else at.isoformat(),
        **_difference(again.compared),
    }


def _difference(found: ChartsCompared) -> shape.Compared:
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
        "limit": None if off.limit is None else _number(off.limit.value, 3),
        "limit_dark": None if off.limit_dark is None else _number(off.limit_dark.value, 3),
        "beyond": off.beyond,
        "within_sheets": found.within_sheets,
        "remarks": list(off.remarks),
    }


def _rounded(values: Array) -> tuple[float, float, float]:
    one, two, three = (round(float(value), 2) + 0.0 for value in values)
    return one, two, three


def _number(value: float | None, digits: int) -> float | None:
    return None if value is None or not np.isfinite(value) else round(float(value), digits)
