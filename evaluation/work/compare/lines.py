"""The curves that tell prints apart, kind of region by kind. Points only; the first print is the base."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.difference import delta_c, delta_e_2000, delta_h
from evaluation.colorimetry.ipt import ipt_hue
from evaluation.colorimetry.lab import chroma
from evaluation.metrics.evidence import Array, Evidence
from evaluation.sheet.layout import PatchRole
from evaluation.work.compare.prints import Print, shown, spectrum

Points = tuple[tuple[float, float], ...]
_LEAST_CHROMA: Final = 15.0  # C* from which a hue means something, project's own choice


@dataclass(frozen=True, slots=True)
class Laid:
    """One print's line: the letter it is drawn with."""

    session: int
    letter: str
    points: Points


@dataclass(frozen=True, slots=True)
class Overlay:
    """Lines of several prints over one pair of axes. `zero`: the line at 0 is an aim or the base itself."""

    id: str
    title: str
    x: str
    y: str
    lines: tuple[Laid, ...]
    zero: bool = False

    @property
    def table(self) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
        """The numbers: x and then one column a letter, where all lines share their x; else a row a line."""
        places = [tuple(x for x, _ in line.points) for line in self.lines]
        if len(set(places)) == 1:
            heads = (self.x, *(line.letter for line in self.lines))
            rows = (
                (f"{round(x, 1):g}", *(_told(line.points[k][1]) for line in self.lines))
                for k, x in enumerate(places[0])
            )
            return heads, tuple(rows)
        ends = (
            (line.letter, *(_told(value) for value in (least[1], least[0], most[1], most[0])))
            for line in self.lines
            for least, most in [_ends(line.points)]
        )
        return ("", "least", "at", "most", "at"), tuple(ends)


Curve = Callable[[Sequence[Print]], Overlay | None]


def of_kind(kind: str, prints: Sequence[Print]) -> tuple[Overlay, ...]:
    """The curves of a region of that kind, the one that explains it first."""
    made = (curve(prints) for curve in _BY_KIND.get(kind, (_apart,)))
    return tuple(curve for curve in made if curve is not None)


def spectra(prints: Sequence[Print], role: PatchRole) -> Overlay | None:
    """Reflectance in per cent of bare paper, or of the black, where its region may be shown."""
    lines = []
    for one in prints:
        patch_id = one.sheet.paper_patch if role == "paper" else one.sheet.black_patch
        read = spectrum(one, patch_id) if shown(one, role) else None
        if read is not None:
            lines.append(Laid(one.session.id, one.letter, _points(read[0], read[1] * 100)))
    return Overlay(role, f"reflectance of the {role}", "nm", "%", tuple(lines)) if lines else None


def _grey(axis: int, prints: Sequence[Print]) -> Overlay | None:
    """a* or b* of the greys from the neutral of each print's own paper, over L*."""
    name = "ab"[axis]

    def points(evidence: Evidence) -> Points:
        shift = evidence.absolute[:, 1 + axis] - evidence.grey_aim[:, axis]
        order = np.argsort(evidence.absolute[:, 0])
        return _points(evidence.absolute[order, 0], shift[order])

    return _laid(
        f"{name}* of greys", f"{name}* of the greys from their aim", "L*", f"{name}*", prints, points, True
    )


def _tone(prints: Sequence[Print]) -> Overlay | None:
    """L* read, paper at 100, over L* of the source."""

    def points(evidence: Evidence) -> Points:
        order = np.argsort(evidence.source_l)
        return _points(evidence.source_l[order].round(1), evidence.measured[order, 0])

    return _laid("tone", "tone, paper at 100", "source L*", "L*", prints, points)


def _steps(prints: Sequence[Print]) -> Overlay | None:
    """L* of the steps of one wedge, paper at 100."""

    def points(evidence: Evidence) -> Points:
        rows = _of_series(evidence, _widest(prints))
        return _points(_step(evidence, rows), evidence.measured[rows, 0])

    return _laid("steps", "lightness of the steps, paper at 100", "step", "L*", prints, points)


def _chroma(prints: Sequence[Print]) -> Overlay | None:
    series = _widest(prints)

    def points(evidence: Evidence) -> Points:
        rows = _of_series(evidence, series)
        return _points(_step(evidence, rows), chroma(evidence.measured[rows]))

    return _laid("chroma", f"chroma of {series}, the ramp that differs most", "step", "C*", prints, points)


def _hue(prints: Sequence[Print]) -> Overlay | None:
    """Hue, IPT degrees, from the source's along the ramp that differs most."""
    series = _widest(prints)

    def points(evidence: Evidence) -> Points:
        rows = _of_series(evidence, series)
        aim, found = evidence.aim[rows], evidence.measured[rows]
        turn = (np.asarray(ipt_hue(found)) - np.asarray(ipt_hue(aim)) + 180) % 360 - 180
        return _points(_step(evidence, rows), np.where(chroma(aim) > _LEAST_CHROMA, turn, np.nan))

    title = f"hue of {series} from its aim, the ramp that differs most"
    return _laid("hue", title, "step", "deg", prints, points, True)


def _from_base(
    name: str, title: str, y: str, rule: Callable[[Array, Array], Any], prints: Sequence[Print]
) -> Overlay | None:
    """Patch by patch from the first print, in map order."""
    first = prints[0].evidence
    if first is None or len(prints) < 2:
        return None
    base = {patch.id: first.measured[row] for row, patch in enumerate(first.patches)}

    def points(evidence: Evidence) -> Points:
        rows = [row for row, patch in enumerate(evidence.patches) if patch.id in base]
        aims = np.array([base[evidence.patches[row].id] for row in rows]).reshape(-1, 3)
        return _points(np.array(rows) + 1.0, rule(aims, evidence.measured[rows]))

    title = title.format(f"session {prints[0].session.id}")
    return _laid(name, title, "patch", y, prints[1:], points, True)


def _skin_hue(prints: Sequence[Print]) -> Overlay | None:
    return _from_base("skin hue", "hue from {}, up is yellower", "dH*", delta_h, prints)


def _skin_chroma(prints: Sequence[Print]) -> Overlay | None:
    return _from_base("skin chroma", "chroma from {}, up is stronger", "dC*", delta_c, prints)


def _apart(prints: Sequence[Print]) -> Overlay | None:
    return _from_base("apart", "distance from {}", "dE00", delta_e_2000, prints)


def _a_grey(prints: Sequence[Print]) -> Overlay | None:
    return _grey(0, prints)


def _b_grey(prints: Sequence[Print]) -> Overlay | None:
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
    prints: Sequence[Print],
    points: Callable[[Evidence], Points],
    zero: bool = False,
) -> Overlay | None:
    lines = tuple(
        Laid(one.session.id, one.letter, found)
        for one in prints
        if one.evidence is not None and (found := points(one.evidence))
    )
    return Overlay(name, title, x, y, lines, zero) if lines else None


def _widest(prints: Sequence[Print]) -> str:
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


def _of_series(evidence: Evidence, series: str) -> NDArray[np.intp]:
    rows = [k for k, p in enumerate(evidence.patches) if p.series == series and p.step is not None]
    return np.array(sorted(rows, key=lambda row: evidence.patches[row].step or 0), dtype=np.intp)


def _step(evidence: Evidence, rows: NDArray[np.intp]) -> Array:
    return np.array([float(evidence.patches[row].step or 0) for row in rows])


def _points(x: NDArray[np.floating[Any]], y: NDArray[np.floating[Any]]) -> Points:
    pairs = zip(np.asarray(x, dtype=float).tolist(), np.asarray(y, dtype=float).tolist(), strict=True)
    return tuple((left, right) for left, right in pairs if np.isfinite(left) and np.isfinite(right))


def _told(value: float) -> str:
    return f"{value:.1f}".replace("-0.0", "0.0")


def _ends(points: Points) -> tuple[tuple[float, float], tuple[float, float]]:
    return min(points, key=lambda point: point[1]), max(points, key=lambda point: point[1])
