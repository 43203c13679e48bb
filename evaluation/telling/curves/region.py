"""The curves that explain a region, for cells: the readings of one ramp, with their numbers beside them.

The first curve of a region is the one that explains it; the second looks at the same readings another way.
"""

from collections.abc import Callable, Mapping
from typing import Final

import numpy as np

from evaluation.colorimetry.difference import delta_c, delta_e_2000, delta_h
from evaluation.colorimetry.lab import chroma
from evaluation.metrics.catalogue import worked_out
from evaluation.metrics.evidence import Array, Evidence
from evaluation.session import Count, Session
from evaluation.sheet.layout import SheetRegion
from evaluation.telling.curves import series
from evaluation.telling.curves.series import Rows, hue_turn
from evaluation.telling.figure import Figure, at_zero, line
from evaluation.telling.numbers import plain, signed

_PARTING: Final = ("first_shadow_step", "last_highlight_step")  # both in source L*, the second from the paper


def of_region(evidence: Evidence, region: SheetRegion, session: Session) -> tuple[Figure, ...]:
    """The curves of a region, the one that explains it first."""
    made = (curve(evidence, region, session) for curve in _BY_KIND.get(region.kind, (_off_aim,)))
    return tuple(curve for curve in made if curve is not None)


def _lightness(evidence: Evidence, region: SheetRegion, session: Session) -> Figure | None:
    """L* of the steps of one ramp, read against aim."""
    rows = _worst_series(evidence, np.abs(evidence.measured[:, 0] - evidence.aim[:, 0]))
    if rows is None:
        return None
    steps, read_l, aim_l = series.steps(evidence, rows), evidence.measured[rows, 0], evidence.aim[rows, 0]
    table = []
    for index, step in enumerate(steps):
        up = _one(read_l[index] - read_l[index - 1]) if index else "-"
        table.append((f"{step:g}", _one(aim_l[index]), _one(read_l[index]), up))
    return Figure(
        "lightness",
        f"lightness{_of_series(evidence, rows)}",
        "step",
        "L*",
        (line("aim", steps, aim_l), line("read", steps, read_l, "o")),
        ("step", "aim", "read", "up"),
        tuple(table),
        _parted(evidence, region, session, rows),
        (
            ("paper", f"L* {evidence.measured[:, 0].max():.1f}"),
            ("darkest", f"L* {evidence.absolute[:, 0].min():.1f}"),
        ),
    )


def _grey(evidence: Evidence, region: SheetRegion, session: Session) -> Figure | None:
    """Printed a*, b* of the greys from their aim, over L*."""
    shift = evidence.absolute[:, 1:] - evidence.grey_aim
    keep = np.flatnonzero(np.isfinite(shift).all(axis=-1))
    if not len(keep):
        return None
    keep = keep[np.argsort(evidence.absolute[keep, 0])]
    lightness = evidence.absolute[keep, 0]
    a, b = shift[keep, 0], shift[keep, 1]
    table = tuple(
        (plain(lightness[k], 0), signed(a[k], 1), signed(b[k], 1), _one(np.hypot(a[k], b[k])))
        for k in range(len(keep))
    )
    return Figure(
        "greys",
        "greys from their aim",
        "L*",
        "a* b*",
        (
            at_zero(lightness),
            line("a*", lightness, a, "a"),
            line("b*", lightness, b, "b"),
        ),
        ("L*", "a*", "b*", "dCh"),
        table,
    )


def _chroma(evidence: Evidence, region: SheetRegion, session: Session) -> Figure | None:
    """C* along the ramp that lies furthest from its aim."""
    off = np.asarray(delta_e_2000(evidence.aim, evidence.measured))
    rows = _worst_series(evidence, off)
    if rows is None:
        return None
    steps = series.steps(evidence, rows)
    aim, found = chroma(evidence.aim[rows]), chroma(evidence.measured[rows])
    table = tuple(
        (f"{step:g}", _one(aim[k]), _one(found[k]), _one(off[rows[k]])) for k, step in enumerate(steps)
    )
    return Figure(
        "chroma",
        f"chroma{_of_series(evidence, rows)}, the ramp furthest off",
        "step",
        "C*",
        (line("aim", steps, aim), line("read", steps, found, "o")),
        ("step", "aim", "read", "dE00"),
        table,
    )


def _turn(evidence: Evidence, region: SheetRegion, session: Session) -> Figure | None:
    """Hue of read minus aim, IPT degrees, along the ramp that turns most."""
    turn = hue_turn(evidence.aim, evidence.measured)
    rows = _worst_series(evidence, np.abs(turn))
    if rows is None:
        return None
    rows = rows[np.isfinite(turn[rows])]
    if not len(rows):
        return None
    steps = series.steps(evidence, rows)
    table = tuple((f"{step:g}", signed(turn[rows[k]], 1)) for k, step in enumerate(steps))
    return Figure(
        "hue",
        f"hue{_of_series(evidence, rows)}, the ramp that turns most",
        "step",
        "deg",
        (at_zero(steps), line("read minus aim", steps, turn[rows], "o")),
        ("step", "turn"),
        table,
    )


def _skin(evidence: Evidence, region: SheetRegion, session: Session) -> Figure | None:
    """Hue and chroma differences of the skin patches, in map order."""
    turned = np.asarray(delta_h(evidence.aim, evidence.measured))
    stronger = np.asarray(delta_c(evidence.aim, evidence.measured))
    places = np.arange(1, len(turned) + 1, dtype=float)
    table = tuple(
        (patch.id, signed(turned[k], 1), signed(stronger[k], 1)) for k, patch in enumerate(evidence.patches)
    )
    return Figure(
        "skin",
        "skin from its aim",
        "patch",
        "d",
        (
            at_zero(places),
            line("dH*, up is yellower", places, turned, "h"),
            line("dC*, up is stronger", places, stronger, "c"),
        ),
        ("patch", "dH*", "dC*"),
        table,
    )


def _off_aim(evidence: Evidence, region: SheetRegion, session: Session) -> Figure | None:
    """dE00 from the aim, patch by patch."""
    off = np.asarray(delta_e_2000(evidence.aim, evidence.measured))
    keep = np.flatnonzero(np.isfinite(off))
    if not len(keep):
        return None
    table = tuple((evidence.patches[k].id, _one(off[k])) for k in keep)
    return Figure(
        "distance",
        "distance from the aim",
        "patch",
        "dE00",
        (line("read", keep + 1.0, off[keep], "o"),),
        ("patch", "dE00"),
        table,
    )


Curve = Callable[[Evidence, SheetRegion, Session], Figure | None]
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
    names = dict.fromkeys(patch.series for patch in evidence.patches if patch.step is not None)
    rows = {name: series.rows_of(evidence, name) for name in names}
    usable = {name: own for name, own in rows.items() if np.isfinite(off[own]).any()}
    return max(usable.values(), key=lambda own: float(np.nanmean(off[own])), default=None)


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


def _one(value: float) -> str:
    return plain(value, 1)
