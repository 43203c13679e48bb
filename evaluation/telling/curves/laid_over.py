"""The curves that separate prints, kind of region by kind, laid over each other, the first print as base."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike

from evaluation.colorimetry.difference import delta_c, delta_e_2000, delta_h
from evaluation.colorimetry.lab import chroma
from evaluation.metrics.evidence import Array, Evidence
from evaluation.plain_text import capital
from evaluation.sheet.layout import PatchRole
from evaluation.telling.curves.prints import PlottedPrint, shown, spectrum
from evaluation.telling.curves.series import hue_turn, rows_of, steps
from evaluation.telling.figure import Figure, Line, Points, line
from evaluation.telling.numbers import plain

XY = tuple[ArrayLike, ArrayLike]
Curve = Callable[[Sequence[PlottedPrint]], Figure | None]


def of_kind(kind: str, prints: Sequence[PlottedPrint]) -> tuple[Figure, ...]:
    """The curves of a region of that kind, the one that explains it first."""
    made = (curve(prints) for curve in _BY_KIND.get(kind, (_apart,)))
    return tuple(curve for curve in made if curve is not None)


def spectra(prints: Sequence[PlottedPrint], role: PatchRole) -> Figure | None:
    """Reflectance in per cent of bare paper, or of the black, where its region may be shown."""
    lines = []
    for one in prints:
        patch_id = one.sheet.paper_patch if role == "paper" else one.sheet.black_patch
        read = spectrum(one, patch_id) if shown(one, role) else None
        if read is not None:
            lines.append(_line(one, (read[0], read[1] * 100), drawn="line"))
    return _figure(role, f"reflectance of the {role}", "nm", "%", lines)


def _grey(axis: int, prints: Sequence[PlottedPrint]) -> Figure | None:
    """a* or b* of the greys from the neutral of each print's own paper, over L*."""
    name = "ab"[axis]

    def points(evidence: Evidence) -> XY:
        shift = evidence.absolute[:, 1 + axis] - evidence.grey_aim[:, axis]
        order = np.argsort(evidence.absolute[:, 0])
        return (evidence.absolute[order, 0], shift[order])

    return _laid(
        f"{name}* of greys", f"{name}* of the greys from their aim", "L*", f"{name}*", prints, points, True
    )


def _tone(prints: Sequence[PlottedPrint]) -> Figure | None:
    """L* read, paper at 100, over L* of the source."""

    def points(evidence: Evidence) -> XY:
        order = np.argsort(evidence.source_l)
        return (evidence.source_l[order].round(1), evidence.measured[order, 0])

    return _laid("tone", "tone, paper at 100", "source L*", "L*", prints, points)


def _steps(prints: Sequence[PlottedPrint]) -> Figure | None:
    """L* of the steps of one wedge, paper at 100."""

    def points(evidence: Evidence) -> XY:
        rows = rows_of(evidence, _widest(prints))
        return (steps(evidence, rows), evidence.measured[rows, 0])

    return _laid("steps", "lightness of the steps, paper at 100", "step", "L*", prints, points)


def _chroma(prints: Sequence[PlottedPrint]) -> Figure | None:
    series = _widest(prints)

    def points(evidence: Evidence) -> XY:
        rows = rows_of(evidence, series)
        return (steps(evidence, rows), chroma(evidence.measured[rows]))

    return _laid("chroma", f"chroma of {series}, the ramp that differs most", "step", "C*", prints, points)


def _hue(prints: Sequence[PlottedPrint]) -> Figure | None:
    """Hue, IPT degrees, from the source's along the ramp that differs most."""
    series = _widest(prints)

    def points(evidence: Evidence) -> XY:
        rows = rows_of(evidence, series)
        aim, found = evidence.aim[rows], evidence.measured[rows]
        return (steps(evidence, rows), hue_turn(aim, found))

    title = f"hue of {series} from its aim, the ramp that differs most"
    return _laid("hue", title, "step", "deg", prints, points, True)


def _from_base(
    name: str, title: str, y: str, rule: Callable[[Array, Array], Any], prints: Sequence[PlottedPrint]
) -> Figure | None:
    """Patch by patch from the first print, in map order."""
    first = prints[0].evidence
    if first is None or len(prints) < 2:
        return None
    base = {patch.id: first.measured[row] for row, patch in enumerate(first.patches)}

    def points(evidence: Evidence) -> XY:
        rows = [row for row, patch in enumerate(evidence.patches) if patch.id in base]
        aims = np.array([base[evidence.patches[row].id] for row in rows]).reshape(-1, 3)
        return (np.array(rows) + 1.0, rule(aims, evidence.measured[rows]))

    title = title.format(f"session {prints[0].session.id}")
    return _laid(name, title, "patch", y, prints[1:], points, True)


def _skin_hue(prints: Sequence[PlottedPrint]) -> Figure | None:
    return _from_base("skin hue", "hue from {}, up is yellower", "dH*", delta_h, prints)


def _skin_chroma(prints: Sequence[PlottedPrint]) -> Figure | None:
    return _from_base("skin chroma", "chroma from {}, up is stronger", "dC*", delta_c, prints)


def _apart(prints: Sequence[PlottedPrint]) -> Figure | None:
    return _from_base("apart", "distance from {}", "dE00", delta_e_2000, prints)


def _a_grey(prints: Sequence[PlottedPrint]) -> Figure | None:
    return _grey(0, prints)


def _b_grey(prints: Sequence[PlottedPrint]) -> Figure | None:
    return _grey(1, prints)


_BY_KIND: Final[Mapping[str, tuple[Curve, ...]]] = {
    "neutral": (_b_grey, _a_grey, _tone),
    "mono_neutral": (_b_grey, _a_grey, _tone),
    "ring": (_b_grey, _a_grey),
    "shadow": (_steps, _b_grey, _a_grey),
    "mono_shadow": (_steps, _b_grey, _a_grey),
    "highlight": (_steps, _b_grey, _a_grey),
    "mono_highlight": (_steps, _b_grey, _a_grey),
    "mono_tone": (_tone, _b_grey),
    "skin": (_skin_hue, _skin_chroma, _apart),
    "saturation": (_hue, _chroma, _apart),
    "gradient": (_steps, _hue, _chroma),
}


def _laid(
    name: str,
    title: str,
    x: str,
    y: str,
    prints: Sequence[PlottedPrint],
    points: Callable[[Evidence], XY],
    zero: bool = False,
) -> Figure | None:
    lines = [_line(one, points(one.evidence)) for one in prints if one.evidence is not None]
    return _figure(name, title, x, y, [each for each in lines if each.x], zero)


def _line(one: PlottedPrint, points: XY, **more: Any) -> Line:
    return line(f"session {one.session.id}", *points, one.letter, label=one.letter, **more)


def _figure(
    name: str, title: str, x: str, y: str, lines: Sequence[Line], zero: bool = False
) -> Figure | None:
    if not lines:
        return None
    heads, rows = numbers(x, lines)
    alt = f"{capital(title)}, {len(lines)} prints."
    return Figure(name, title, x, y, tuple(lines), heads, rows, alt=alt, zero=zero)


def numbers(x: str, lines: Sequence[Line]) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """x and then one column a print, where all lines share their x; else a row a print."""
    if len({each.x for each in lines}) == 1:
        return (x, *(each.mark for each in lines)), tuple(
            (f"{round(at, 1):g}", *(plain(each.y[k], 1) for each in lines)) for k, at in enumerate(lines[0].x)
        )
    ends = (
        (each.mark, *(plain(value, 1) for value in (least[1], least[0], most[1], most[0])))
        for each in lines
        for least, most in [_ends(each.points)]
    )
    return ("", "least", "at", "most", "at"), tuple(ends)


def _widest(prints: Sequence[PlottedPrint]) -> str:
    """The series in which the prints lie furthest apart, by mean dE00 from the first; its own if alone."""
    first = prints[0].evidence
    assert first is not None
    off: dict[str, list[float]] = {}
    base = {patch.id: first.measured[row] for row, patch in enumerate(first.patches)}
    for one in prints[1:]:
        evidence = one.evidence
        assert evidence is not None
        for row, patch in enumerate(evidence.patches):
            if patch.id in base and patch.step is not None:
                distance = float(delta_e_2000(base[patch.id], evidence.measured[row]))
                if np.isfinite(distance):
                    off.setdefault(patch.series, []).append(distance)
    if not off:
        return next((patch.series for patch in first.patches if patch.step is not None), "")
    return max(off, key=lambda series: float(np.mean(off[series])))


def _ends(points: Points) -> tuple[tuple[float, float], tuple[float, float]]:
    return min(points, key=lambda point: point[1]), max(points, key=lambda point: point[1])
