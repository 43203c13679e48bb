"""The curves that explain a region: plain points and numbers, ready to be drawn anywhere. Gated.

The first curve of a region is the one that explains it; the second looks at the same readings another way.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from evaluation.archive import sessions
from evaluation.colorimetry.difference import delta_c, delta_e_2000, delta_h
from evaluation.colorimetry.ipt import ipt_hue
from evaluation.colorimetry.lab import chroma
from evaluation.metrics.catalogue import worked_out
from evaluation.metrics.evidence import Array, Evidence
from evaluation.session import Count, Session
from evaluation.sheet.layout import SheetRegion
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.gate import Withheld
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from evaluation.work.weigh.weigh import gathered_of

Points = tuple[tuple[float, float], ...]
Rows = NDArray[np.intp]
_PARTING: Final = ("first_shadow_step", "last_highlight_step")  # both in source L*, the second from the paper
_HIGHEST_HUE: Final = 15.0  # C* from which a hue means something; own choice


@dataclass(frozen=True, slots=True)
class Drawn:
    """One line of a curve: its character, or "" for the dotted aim."""

    mark: str
    points: Points
    name: str


@dataclass(frozen=True, slots=True)
class RegionCurve:
    """A curve with its numbers. `under` are marks below the x axis: where eye (E) and instrument (I) part."""

    title: str
    x: str
    y: str
    lines: tuple[Drawn, ...]
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    under: tuple[tuple[float, str], ...] = ()
    notes: tuple[tuple[str, str], ...] = ()


def of_region(bench: Bench, session_id: int, region_id: str) -> tuple[RegionCurve, ...] | Withheld:
    """The curves of a region, or why they stay out of sight; () where nothing was read."""
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    if (hidden := gate.withheld(session, sheet, region_id)) is not None:
        return hidden
    taken = read.taken_in(bench, session)
    gathered = gathered_of(bench, session, sheet, taken, weigh.tables(bench))
    if gathered is None or region_id not in gathered.regions:
        return ()
    evidence, region = gathered.regions[region_id], sheet.region(region_id)
    made = (curve(evidence, region, session) for curve in _BY_KIND.get(region.kind, (_off_aim,)))
    return tuple(curve for curve in made if curve is not None)


def _lightness(evidence: Evidence, region: SheetRegion, session: Session) -> RegionCurve | None:
    """L* of the steps of one ramp, read against aim."""
    rows = _worst_series(evidence, np.abs(evidence.measured[:, 0] - evidence.aim[:, 0]))
    if rows is None:
        return None
    steps, read_l, aim_l = _steps(evidence, rows), evidence.measured[rows, 0], evidence.aim[rows, 0]
    table = []
    for index, step in enumerate(steps):
        up = f"{read_l[index] - read_l[index - 1]:.1f}" if index else "-"
        table.append((f"{step:g}", _number(aim_l[index]), _number(read_l[index]), up))
    return RegionCurve(
        f"lightness{_of_series(evidence, rows)}",
        "step",
        "L*",
        (Drawn("", _points(steps, aim_l), "aim"), Drawn("o", _points(steps, read_l), "read")),
        ("step", "aim", "read", "up"),
        tuple(table),
        _parted(evidence, region, session, rows),
        (
            ("paper", f"L* {evidence.measured[:, 0].max():.1f}"),
            ("darkest", f"L* {evidence.absolute[:, 0].min():.1f}"),
        ),
    )


def _grey(evidence: Evidence, region: SheetRegion, session: Session) -> RegionCurve | None:
    """Printed a*, b* of the greys from their aim, over L*."""
    shift = evidence.absolute[:, 1:] - evidence.grey_aim
    keep = np.flatnonzero(np.isfinite(shift).all(axis=-1))
    if not len(keep):
        return None
    keep = keep[np.argsort(evidence.absolute[keep, 0])]
    lightness = evidence.absolute[keep, 0]
    a, b = shift[keep, 0], shift[keep, 1]
    table = tuple(
        (f"{lightness[k]:.0f}", f"{a[k]:+.1f}", f"{b[k]:+.1f}", f"{np.hypot(a[k], b[k]):.1f}")
        for k in range(len(keep))
    )
    zero = ((float(lightness.min()), 0.0), (float(lightness.max()), 0.0))
    return RegionCurve(
        "greys from their aim",
        "L*",
        "a* b*",
        (
            Drawn("", zero, "aim"),
            Drawn("a", _points(lightness, a), "a*"),
            Drawn("b", _points(lightness, b), "b*"),
        ),
        ("L*", "a*", "b*", "dCh"),
        table,
    )


def _chroma(evidence: Evidence, region: SheetRegion, session: Session) -> RegionCurve | None:
    """C* along the ramp that lies furthest from its aim."""
    off = np.asarray(delta_e_2000(evidence.aim, evidence.measured))
    rows = _worst_series(evidence, off)
    if rows is None:
        return None
    steps = _steps(evidence, rows)
    aim, found = chroma(evidence.aim[rows]), chroma(evidence.measured[rows])
    table = tuple(
        (f"{step:g}", _number(aim[k]), _number(found[k]), _number(off[rows[k]]))
        for k, step in enumerate(steps)
    )
    return RegionCurve(
        f"chroma{_of_series(evidence, rows)}, the ramp furthest off",
        "step",
        "C*",
        (Drawn("", _points(steps, aim), "aim"), Drawn("o", _points(steps, found), "read")),
        ("step", "aim", "read", "dE00"),
        table,
    )


def _turn(evidence: Evidence, region: SheetRegion, session: Session) -> RegionCurve | None:
    """Hue of read minus aim, IPT degrees, along the ramp that turns most."""
    strong = chroma(evidence.aim) > _HIGHEST_HUE
    turn = (np.asarray(ipt_hue(evidence.measured)) - np.asarray(ipt_hue(evidence.aim)) + 180) % 360 - 180
    turn = np.where(strong, turn, np.nan)
    rows = _worst_series(evidence, np.abs(turn))
    if rows is None:
        return None
    rows = rows[np.isfinite(turn[rows])]
    if not len(rows):
        return None
    steps = _steps(evidence, rows)
    table = tuple((f"{step:g}", f"{turn[rows[k]]:+.1f}") for k, step in enumerate(steps))
    zero = ((float(steps.min()), 0.0), (float(steps.max()), 0.0))
    return RegionCurve(
        f"hue{_of_series(evidence, rows)}, the ramp that turns most",
        "step",
        "deg",
        (Drawn("", zero, "aim"), Drawn("o", _points(steps, turn[rows]), "read minus aim")),
        ("step", "turn"),
        table,
    )


def _skin(evidence: Evidence, region: SheetRegion, session: Session) -> RegionCurve | None:
    """Hue and chroma differences of the skin patches, in map order."""
    turned = np.asarray(delta_h(evidence.aim, evidence.measured))
    stronger = np.asarray(delta_c(evidence.aim, evidence.measured))
    places = np.arange(1, len(turned) + 1, dtype=float)
    table = tuple(
        (patch.id, f"{turned[k]:+.1f}", f"{stronger[k]:+.1f}") for k, patch in enumerate(evidence.patches)
    )
    zero = ((1.0, 0.0), (float(len(turned)), 0.0))
    return RegionCurve(
        "skin from its aim",
        "patch",
        "d",
        (
            Drawn("", zero, "aim"),
            Drawn("h", _points(places, turned), "dH*, up is yellower"),
            Drawn("c", _points(places, stronger), "dC*, up is stronger"),
        ),
        ("patch", "dH*", "dC*"),
        table,
    )


def _off_aim(evidence: Evidence, region: SheetRegion, session: Session) -> RegionCurve | None:
    """dE00 from the aim, patch by patch."""
    off = np.asarray(delta_e_2000(evidence.aim, evidence.measured))
    keep = np.flatnonzero(np.isfinite(off))
    if not len(keep):
        return None
    table = tuple((evidence.patches[k].id, _number(off[k])) for k in keep)
    return RegionCurve(
        "distance from the aim",
        "patch",
        "dE00",
        (Drawn("o", _points(keep + 1.0, off[keep]), "read"),),
        ("patch", "dE00"),
        table,
    )


Curve = Callable[[Evidence, SheetRegion, Session], RegionCurve | None]
_BY_KIND: Final[Mapping[str, tuple[Curve, ...]]] = {
    "neutral": (_grey, _lightness),
    "mono_neutral": (_grey, _lightness),
    "ring": (_grey,),
    "shadow": (_lightness, _grey),
    "mono_shadow": (_lightness, _grey),
    "highlight": (_lightness, _grey),
    "mono_highlight": (_lightness, _grey),
    "mono_tone": (_lightness, _grey),
    "skin": (_skin, _off_aim),
    "saturation": (_chroma, _turn),
    "gradient": (_lightness, _turn),
}


def _worst_series(evidence: Evidence, off: Array) -> Rows | None:
    """Rows, in the order of their steps, of the series with the largest mean distance."""
    series: dict[str, list[int]] = {}
    for row, patch in enumerate(evidence.patches):
        if patch.step is not None:
            series.setdefault(patch.series, []).append(row)
    usable = {name: rows for name, rows in series.items() if np.isfinite(off[rows]).any()}
    if not usable:
        return None
    worst = max(usable, key=lambda name: float(np.nanmean(off[usable[name]])))
    return np.array(sorted(usable[worst], key=lambda row: evidence.patches[row].step or 0), dtype=np.intp)


def _steps(evidence: Evidence, rows: Rows) -> Array:
    return np.array([float(evidence.patches[row].step or 0) for row in rows])


def _of_series(evidence: Evidence, rows: Rows) -> str:
    names = {patch.series for patch in evidence.patches}
    return f" of {evidence.patches[rows[0]].series}" if len(names) > 1 else ""


def _parted(
    evidence: Evidence, region: SheetRegion, session: Session, rows: Rows
) -> tuple[tuple[float, str], ...]:
    """First step that eye (E) and instrument (I) tell apart, for the region that asks after it."""
    paired = next((question for question in region.questions if question.pairs_with in _PARTING), None)
    if paired is None:
        return ()
    marks: list[tuple[float, str]] = []
    answer = session.viewing.answers.get((region.id, paired.id)) if session.viewing else None
    if answer is not None and isinstance(answer.value, Count) and answer.value.number:
        marks.append((float(answer.value.number), "E"))
    worked = worked_out(paired.pairs_with, evidence)
    if worked is not None:
        lightness = worked.metric.value if paired.pairs_with == _PARTING[0] else 100 - worked.metric.value
        nearest = rows[int(np.argmin(np.abs(evidence.source_l[rows] - lightness)))]
        marks.append((float(evidence.patches[nearest].step or 0), "I"))
    return tuple(marks)


def _points(x: NDArray[np.floating[Any]], y: NDArray[np.floating[Any]]) -> Points:
    pairs = zip(np.asarray(x, dtype=float).tolist(), np.asarray(y, dtype=float).tolist(), strict=True)
    return tuple((left, right) for left, right in pairs if np.isfinite(left) and np.isfinite(right))


def _number(value: float) -> str:
    return f"{value:.1f}" if np.isfinite(value) else "-"
