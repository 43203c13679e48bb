"""The figures of a region for a page: all its ramps, and what a reader would see in them."""

from collections.abc import Callable, Collection, Sequence

import numpy as np
from numpy.typing import NDArray

from evaluation.judgement.opinion import Finding
from evaluation.metrics.cast import counted as counted_steps
from evaluation.metrics.cast import readings_themselves, shifts_from_grey
from evaluation.metrics.evidence import Array, Evidence, Mask, place
from evaluation.sheet.layout import SheetRegion
from evaluation.telling.curves import series
from evaluation.telling.figure import Drawn, Figure, Line
from evaluation.telling.numbers import grade, number, opinion
from evaluation.telling.wording import counted, folded, slug

_DECIMALS = 3  # of every number in a figure: finer than any instrument


def of_region(region: SheetRegion, evidence: Evidence, prefix: str) -> tuple[Figure, ...]:
    """The figures of a region whose readings may be shown."""
    name = f"{prefix}-{slug(region.id)}"
    drawn = (draw(region, evidence, name) for draw in _OF_KIND.get(region.kind, ()))
    return tuple(figure for figure in drawn if figure is not None)


def eye_and_instrument(found: Sequence[Finding], shown: Collection[str], prefix: str) -> Figure | None:
    """The grades of eye and instrument, region by region, each with its spread.

    No reading appears of a region that is not among `shown`, by their ids.
    """
    findings = [finding for finding in found if finding.eye or finding.region in shown]
    given = [
        (name, [(row, said) for row, said in enumerate(opinions) if said is not None])
        for name, opinions in (
            ("eye", [finding.eye for finding in findings]),
            (
                "instrument",
                [finding.instrument if finding.region in shown else None for finding in findings],
            ),
        )
    ]
    lines = tuple(
        Line(
            name=name,
            x=tuple(round(said.grade, 2) for _, said in said_of),
            y=tuple(float(row) for row, _ in said_of),
            drawn="point",
            names=tuple(folded(findings[row].title) for row, _ in said_of),
            spread=tuple(round(said.spread, 2) for _, said in said_of),
            told=tuple(opinion(said) for _, said in said_of),
        )
        for name, said_of in given
        if said_of
    )
    if not lines:
        return None
    words: dict[int, list[str]] = {row: [] for row in range(len(findings))}
    for name, said_of in given:
        for row, said in said_of:
            words[row].append(f"{name} {grade(said.grade)}")
    told = "; ".join(
        f"{folded(findings[row].title)}: {', '.join(found)}" for row, found in words.items() if found
    )
    return Figure(
        id=f"{prefix}-grades",
        title="Grades of eye and instrument, with one standard error",
        alt=f"Grades from 1 to 5 by region. {told}.",
        x="grade, 5 imperceptible, 1 very annoying",
        y="",
        lines=lines,
        row_names=tuple(folded(finding.title) for finding in findings),
        x_range=(1.0, 5.0),
        flags=tuple(
            folded(finding.title)
            for finding in findings
            if finding.agreement == "disagree" and finding.region in shown
        ),
    )


def neutral_track(region: SheetRegion, evidence: Evidence, name: str) -> Figure | None:
    """How far a* and b* of the greys lie from the aim, along absolute L*."""
    if not evidence.cast_has_aim:
        return None
    lightness = readings_themselves(evidence.absolute)[:, 0]
    shift = readings_themselves(shifts_from_grey(evidence))
    usable: Mask = np.asarray(np.isfinite(shift).all(axis=-1))
    rows = [int(row) for row in np.argsort(lightness, kind="stable") if usable[row]]
    counts = counted_steps(evidence)
    kept = [row for row in rows if counts[row]]
    left_out = [row for row in rows if not counts[row]]
    if len(kept) < 2:
        return None
    lines = [
        _series(axis, lightness, shift[:, column], kept, evidence) for column, axis in enumerate(("a*", "b*"))
    ]
    lines += [
        _series(f"{axis}, not counted", lightness, shift[:, column], left_out, evidence, drawn="hollow")
        for column, axis in enumerate(("a*", "b*"))
        if left_out
    ]
    told = [_furthest(axis, lightness, shift[:, column], kept) for column, axis in enumerate(("a*", "b*"))]
    return Figure(
        id=f"{name}-track",
        title=f"{folded(region.title)}: shift of the greys from the aim “{evidence.aim_name}”",
        alt=f"Shift of {counted(len(kept), 'grey')} from the aim, dark to light. {' '.join(told)}",
        x="lightness read, L*",
        y="shift from the aim, CIELAB",
        lines=tuple(lines),
        zero=True,
        x_range=(0.0, 100.0),
        y_range=(-2.0, 2.0),
        band=1.0,
    )


def tone_curve(region: SheetRegion, evidence: Evidence, name: str) -> Figure | None:
    """Lightness read and aimed against the lightness of the source, paper white at 100."""
    return _lightness(region, evidence, name, "tone", "tone curve")


def steps(region: SheetRegion, evidence: Evidence, name: str) -> Figure | None:
    """The steps of a shadow or highlight scale, read and aimed."""
    return _lightness(region, evidence, name, "steps", "its steps")


def gradient_shift(region: SheetRegion, evidence: Evidence, name: str) -> Figure | None:
    """How far the lightness of each gradient lies from its aim, step by step: an edge is a jump."""
    if not evidence.tone_has_aim:
        return None
    read = readings_themselves(evidence.measured)[:, 0]
    shift = read - evidence.aim[:, 0]
    lines: list[Line] = []
    misses: list[tuple[float, str]] = []
    for gradient, rows in _ramps(evidence):
        kept = [row for row in rows if np.isfinite(shift[row])]
        if len(kept) < 2:
            continue
        place_of = np.array([evidence.patches[row].step or n for n, row in enumerate(rows, 1)], float)
        steps_of = dict(zip(rows, place_of, strict=True))
        along = np.full(len(shift), np.nan)
        along[kept] = [steps_of[row] for row in kept]
        lines.append(_series(gradient or "gradient", along, shift, kept, evidence, drawn="line"))
        jumps = np.abs(np.diff(shift[kept]))
        at = int(jumps.argmax())
        misses.append(
            (float(jumps[at]), f"{gradient}, steps {along[kept[at]]:.0f} to {along[kept[at + 1]]:.0f}")
        )
    if not lines:
        return None
    worst, where = max(misses)
    return Figure(
        id=f"{name}-shift",
        title=f"{folded(region.title)}: lightness read minus aimed, along each gradient",
        alt=(
            f"{counted(len(lines), 'gradient').capitalize()}. The largest change from one step to the next: "
            f"{number(worst, 1)} L*, {where}."
        ),
        x="step",
        y="shift from the aim, L*",
        lines=tuple(lines),
        zero=True,
        y_range=(-3.0, 3.0),
    )


def hue_ramps(region: SheetRegion, evidence: Evidence, name: str) -> Figure | None:
    """Ramps in the a*b* plane, read and aimed, each named at its end."""
    if not evidence.colour_has_aim:
        return None
    read = readings_themselves(evidence.measured)
    compared = ((ramp, _compared(read, evidence, rows)) for ramp, rows in _ramps(evidence))
    ramps = [(ramp, rows) for ramp, rows in compared if rows]
    groups = {evidence.patches[rows[0]].group for _, rows in ramps}
    grouped = 1 < len(groups) < len(ramps)  # several curves of a kind: told apart by marker, not by name
    aims, reads = [], []
    misses: list[tuple[float, str, bool]] = []
    for ramp, rows in ramps:
        group = folded(evidence.patches[rows[0]].group)
        curve, label = (f"read, {group}", "") if grouped else ("read", ramp)
        aims.append(_series("aim", evidence.aim[:, 1], evidence.aim[:, 2], rows, evidence, drawn="aim"))
        reads.append(_series(curve, read[:, 1], read[:, 2], rows, evidence, label=label))
        apart = np.hypot(*(read[rows, 1:] - evidence.aim[rows, 1:]).T)
        furthest = rows[int(apart.argmax())]
        outside = evidence.inside is not None and not evidence.inside[furthest]
        misses.append((float(apart.max()), ramp or place(evidence.patches[furthest]), outside))
    lines = (*aims, *reads)
    if not lines:
        return None
    worst, where, outside = max(misses)
    gamut = ", outside the gamut" if outside else ""
    return Figure(
        id=f"{name}-ramps",
        title=f"{folded(region.title)}: read and aimed in the a*b* plane, media-relative",
        alt=(
            f"{counted(len(misses), 'curve').capitalize()} in the plane of a* and b*. Furthest from the "
            f"aim there: {folded(where)}, by {number(worst, 1)}{gamut}."
        ),
        x="a*",
        y="b*",
        lines=lines,
        square=True,
        size="S",
    )


def _compared(read: Array, evidence: Evidence, rows: list[int]) -> list[int]:
    return [row for row in rows if np.isfinite(read[row]).all() and np.isfinite(evidence.aim[row]).all()]


def _lightness(region: SheetRegion, evidence: Evidence, name: str, short: str, words: str) -> Figure | None:
    read = readings_themselves(evidence.measured)[:, 0]
    source = evidence.source_l
    several = len({patch.series for patch in evidence.patches if patch.series}) > 1
    lines: list[Line] = []
    misses: list[tuple[float, float]] = []
    for ramp, ramp_rows in _ramps(evidence):
        rows = [row for row in ramp_rows if np.isfinite(read[row]) and np.isfinite(source[row])]
        rows.sort(key=lambda row: source[row])
        label = ramp if several else ""
        drawn: Drawn = "point" if evidence.tone_has_aim else "read"
        aimed = [row for row in rows if np.isfinite(evidence.aim[row, 0])]
        if evidence.tone_has_aim and len(aimed) > 1:
            lines.append(_series("aim", source, evidence.aim[:, 0], aimed, evidence, drawn="aim"))
            misses += [(float(read[row] - evidence.aim[row, 0]), float(source[row])) for row in aimed]
        if len(rows) > 1:
            lines.append(_series("read", source, read, rows, evidence, drawn=drawn, label=label))
    if not any(each.name == "read" for each in lines):
        return None
    points = sum(len(each.x) for each in lines if each.name == "read")
    return Figure(
        id=f"{name}-{short}",
        title=f"{folded(region.title)}: {words}, media-relative",
        alt=f"Lightness of {counted(points, 'patch', 'patches')} against their source. {_miss(misses)}",
        x="lightness of the source, L*",
        y="lightness on paper, paper white 100, L*",
        lines=tuple(lines),
    )


def _miss(misses: list[tuple[float, float]]) -> str:
    if not misses:
        return "There is no aim to compare with."
    worst, where = max(misses, key=lambda miss: abs(miss[0]))
    if abs(worst) < 0.05:
        return "The readings lie on the aim."
    way = "above" if worst > 0 else "below"
    return f"Furthest from the aim: {number(abs(worst), 1)} L* {way} it at source L* {number(where, 0)}."


def _furthest(axis: str, lightness: Array, shift: Array, rows: Sequence[int]) -> str:
    worst = max(rows, key=lambda row: abs(shift[row]))
    return f"{axis} lies furthest at L* {number(lightness[worst], 0)}, by {number(shift[worst], 1)}."


def _ramps(evidence: Evidence) -> list[tuple[str, list[int]]]:
    return [(folded(name), rows) for name, rows in series.ramps(evidence)]


def _series(
    name: str,
    x: NDArray[np.float64],
    y: NDArray[np.float64],
    rows: Sequence[int],
    evidence: Evidence,
    drawn: Drawn = "read",
    label: str = "",
) -> Line:
    return Line(
        name=name,
        x=tuple(round(float(x[row]), _DECIMALS) + 0.0 for row in rows),
        y=tuple(round(float(y[row]), _DECIMALS) + 0.0 for row in rows),
        drawn=drawn,
        label=label,
        names=tuple(folded(place(evidence.patches[row])) for row in rows),
    )


_Draw = Callable[[SheetRegion, Evidence, str], Figure | None]
_OF_KIND: dict[str, tuple[_Draw, ...]] = {
    "neutral": (neutral_track, tone_curve),
    "mono_neutral": (neutral_track,),
    "mono_tone": (tone_curve,),
    "shadow": (steps,),
    "mono_shadow": (steps,),
    "highlight": (steps,),
    "mono_highlight": (steps,),
    "skin": (hue_ramps,),
    "saturation": (hue_ramps,),
    "gradient": (gradient_shift,),
}
