"""Which limits a verdict hangs on: what a study of one's own would be worth."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from evaluation.archive import sessions
from evaluation.documents import settings as shape
from evaluation.judgement.override import span
from evaluation.judgement.tables import Tables
from evaluation.work.bench import Bench
from evaluation.work.weigh import weigh

BY: Final = 0.25  # of a limit, up and down
# Limits of eye, readings and verdict that a verdict may hang on; anchors are tried beside them.
_TRIED: Final = (
    "eye_spread",
    "eye_offset",
    "anchors_offset",
    "region_spread",
    "eye_least_weight",
    "anchor_spread",
    "instrument_spread",
    "disagree_least",
    "disagree_times",
    "verdict_share",
    "verdict_remarks",
    "coverage",
    "accepted_key",
    "accepted_other",
    "accepted_mean",
    "refused_key",
    "refused_mean",
    "flare",
    "jnd_count",
    "reading_sd",
)


@dataclass(frozen=True, slots=True)
class Moved:
    """A limit that moves verdicts: its name, its value as it was and as tried, each use with both words."""

    name: str
    value: str
    tried: str
    verdicts: tuple[tuple[str, str, str], ...]


def sensitivity_document(session_id: int, moved: Sequence[Moved]) -> shape.Sensitivity:
    """Limits that move verdicts as plain values."""
    return {
        "session": session_id,
        "by": BY,
        "limits": [
            {
                "name": one.name,
                "value": one.value,
                "tried": one.tried,
                "verdicts": [{"use": use, "was": was, "then": then} for use, was, then in one.verdicts],
            }
            for one in moved
        ],
    }


def sensitivity(bench: Bench, session_id: int) -> tuple[Moved, ...]:
    """Which limits, a quarter up or down or as far as they may go, give another verdict for some use."""
    in_force, session = weigh.tables(bench), sessions.load(bench.archive, session_id)
    before = weigh.weigh(bench, session_id)
    metrics = {metric.name for finding in before.findings for metric in finding.metrics}
    moved: list[Moved] = []
    for name, was, tried, tables in _changed(in_force, metrics):
        after = weigh.under(bench, session, tables)
        verdicts = tuple(
            (use, one.verdict, after.verdicts[use].verdict)
            for use, one in before.verdicts.items()
            if after.verdicts[use].verdict != one.verdict
        )
        if verdicts:
            moved.append(Moved(name, was, tried, verdicts))
    return tuple(moved)


def _changed(tables: Tables, metrics: set[str]) -> Iterator[tuple[str, str, str, Tables]]:
    """Name, value, other value, and the tables with that in force."""
    for name in _TRIED:
        row = tables.thresholds[name]
        low, high = span(row.unit)
        for factor in (1 - BY, 1 + BY):
            value = _moved(row.value, factor, low, high)
            other = {**tables.thresholds, name: replace(row, value=value)}
            yield name, f"{row.value:g}", f"{value:.3g}", replace(tables, thresholds=other)
    for name, anchor in tables.anchors.items():
        if name not in metrics or not anchor.key:
            continue
        for factor in (1 - BY, 1 + BY):
            at = tuple(value * factor for value in anchor.at)
            anchors = {**tables.anchors, name: replace(anchor, at=at)}
            yield f"anchors of {name}", "as they are", f"x {factor:g}", replace(tables, anchors=anchors)


def _moved(value: float, factor: float, low: float, high: float) -> float:
    """A limit times a factor; half-way to the end of what it may be where that would reach the end.

    A verdict that every single draw has to give stands for no print at all: nobody would set that.
    """
    if low < value * factor < high:
        return value * factor
    return (value + (high if factor > 1 else low)) / 2
