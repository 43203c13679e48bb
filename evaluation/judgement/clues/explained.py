"""What the departure of a print from its profile looks like as a whole: smooth, in stripes, on patches.

Four numbers separate the families of causes. Inks, profile, machine and backing move colours by what they
are, so that a smooth function of colour explains the departure; stripes follow the place on the sheet;
exchanged or marked patches hold most of it by themselves. None of them names a cause alone.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement
from typing import Final

import numpy as np

from evaluation.judgement.clues.departure import InkDeparture
from evaluation.judgement.tables import Tables
from evaluation.metrics.evidence import Array, Evidence, place
from evaluation.sheet.layout import Patch, Sheet

_DEGREE: Final = 3  # of the polynomial in L*, a*, b*
_NEIGHBOURS: Final = 4
_CLIP_L: Final = 115.0  # ink moves L* the more, the darker it is: stripes are alike as shares of what is left


@dataclass(frozen=True, slots=True)
class Explained:
    """How far the departure is explained.

    smooth    R^2 of a cubic in the expected colour, each patch left out in turn; may fall below 0
    near      R^2 of the mean of the four neighbours in colour
    colour    the best of that, of neighbours in colour, of inks, of another way to print the file
    stripes   share of the departure in lightness in its best single sine along or across the sheet
    pitch_mm, way  of that sine: its period, "along" or "across" the longer side
    single    share of the squares in the worst patches (`single_share` of them)
    rms       dE*ab, root mean square
    furthest  names of those worst patches, the furthest first
    """

    smooth: float
    near: float
    colour: float
    stripes: float
    pitch_mm: float
    way: str
    single: float
    rms: float
    furthest: tuple[str, ...] = ()

    @property
    def words(self) -> Mapping[str, float | str]:
        """What sentences of evidence may name."""
        return {"pitch_mm": self.pitch_mm, "way": self.way, "furthest": ", ".join(self.furthest)}


def explained(
    evidence: Evidence,
    sheet: Sheet,
    fits: Mapping[str, float],
    inks: InkDeparture | None,
    tables: Tables,
) -> Explained | None:
    """The departure of n patches from what their profile expects; None without one, or with too few."""
    if evidence.predicted is None:
        return None
    finite = np.isfinite(evidence.predicted) & np.isfinite(evidence.measured)
    known = np.flatnonzero(finite.all(axis=1))
    if len(known) < tables["explained_patches"]:
        return None
    expected = evidence.predicted[known]
    gap = evidence.measured[known] - expected
    patches = [evidence.patches[int(k)] for k in known]
    squares = (gap**2).sum(axis=1)
    smooth, near = _smooth(expected, gap), _by_neighbours(expected, gap)
    best, own = min(fits.values(), default=1.0), fits.get("as stated", 1.0)
    colour = max(smooth, near, 1 - (best / own) ** 2 if own > 0 else 0.0)
    if inks is not None:
        colour = max(colour, inks.explained)
    worst = np.argsort(-squares)[: max(1, round(tables["single_share"] * len(known)))]
    stripes, pitch, way = _stripes(gap[:, 0] / (_CLIP_L - expected[:, 0]), patches, sheet, tables)
    total = max(float(squares.sum()), 1e-9)
    named = [place(patches[int(k)]) for k in worst[: int(tables["single_named"])]]
    return Explained(
        smooth,
        near,
        colour,
        stripes,
        pitch,
        way,
        float(squares[worst].sum()) / total,
        float(np.sqrt(squares.mean())),
        tuple(named),
    )


def _smooth(expected: Array, gap: Array) -> float:
    """R^2 of a cubic in L*, a*, b*, patch by patch left out; patches alone in their colour weigh less."""
    x = (expected - expected.mean(axis=0)) / np.maximum(expected.std(axis=0), 1e-9)
    axes = range(expected.shape[1])
    powers = [one for degree in range(_DEGREE + 1) for one in combinations_with_replacement(axes, degree)]
    design = np.stack([np.prod(x[:, list(one)], axis=1) for one in powers], axis=1)
    q, _ = np.linalg.qr(design)
    own = 1 - (q**2).sum(axis=1)  # of each patch in its own fit; near 0 for one that stands alone
    left = (gap - q @ (q.T @ gap)) / np.maximum(own, 1e-9)[:, None]
    total = float((own[:, None] * gap**2).sum())
    return 1 - float((own[:, None] * left**2).sum()) / max(total, 1e-9)


def _by_neighbours(expected: Array, gap: Array) -> float:
    """R^2 of the mean departure of the four patches nearest in colour."""
    apart = np.sqrt(sum((axis[:, None] - axis) ** 2 for axis in expected.T))
    np.fill_diagonal(apart, np.inf)
    near = np.argsort(apart, axis=1)[:, :_NEIGHBOURS]
    left = gap - gap[near].mean(axis=1)
    return 1 - float((left**2).sum()) / max(float((gap**2).sum()), 1e-9)


def _stripes(off: Array, patches: Sequence[Patch], sheet: Sheet, tables: Tables) -> tuple[float, float, str]:
    """Share of `off` (n,) in the best single sine over the sheet, its period in mm, along or across."""
    best = 0.0, 0.0, "along"
    rows = [k for k, patch in enumerate(patches) if patch.area is not None]
    if len(rows) < tables["explained_patches"]:
        return best
    low, high = np.quantile(off[rows], [tables["stripes_clipped"], 1 - tables["stripes_clipped"]])
    value = np.clip(off[rows], low, high)
    value = value - value.mean()
    total = max(float(value @ value), 1e-9)
    longer = int(np.argmax(sheet.size_mm))
    for axis, length in enumerate(sheet.size_mm):
        at = np.array([_centre(patches[k], axis) for k in rows]) * length
        fewest, most = length / tables["stripes_most"], length / tables["stripes_least"]
        turns = np.arange(fewest, most, 0.5) / length  # periods in a millimetre
        angle = 2 * np.pi * at[:, None] * turns
        wave = np.stack([np.cos(angle), np.sin(angle)], axis=-1)
        wave = wave - wave.mean(axis=0)
        normal = np.einsum("nkj,nki->kji", wave, wave) + 1e-9 * np.eye(2)
        with_it = np.einsum("nkj,n->kj", wave, value)
        share = np.einsum("kj,kj->k", with_it, np.linalg.solve(normal, with_it[..., None])[..., 0]) / total
        at_best = int(share.argmax())
        if share[at_best] > best[0]:
            way = "along" if axis == longer else "across"
            best = float(share[at_best]), float(1 / turns[at_best]), way
    return best


def _centre(patch: Patch, axis: int) -> float:
    assert patch.area is not None
    start, size = (patch.area.left, patch.area.width) if axis == 0 else (patch.area.top, patch.area.height)
    return start + size / 2
