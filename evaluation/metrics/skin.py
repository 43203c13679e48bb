"""Skin tones by depth: the worst group counts, so that no group of people is averaged away.

The aim is that of each patch; there is no "preferred skin".
"""

from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.adaptation import TRANSFORMS
from evaluation.colorimetry.difference import delta_c, delta_e_2000, delta_h
from evaluation.colorimetry.illuminants import illuminants
from evaluation.colorimetry.inconstancy import chart_skin_shift
from evaluation.metrics.evidence import Array, Evidence, Mask, Outcome, place
from evaluation.metrics.light_spread import drawn_around, spread_of
from evaluation.metrics.tone import ramps
from evaluation.published.limits import limit

DEPTHS: Final = ("light", "medium", "deep")
# Aimed L* that bound the groups where the map names none.
_LIGHT, _DEEP = limit("skin_light"), limit("skin_deep")
_BETWEEN: Final = limit("skin_between")
_SPHERE: Final = 3  # patches of a shaded sphere, at least


def depth_groups(evidence: Evidence) -> list[tuple[str, NDArray[np.int_]]]:
    """Name and patch indices of each depth group, as the map's series name it, else by aimed L*."""
    aimed = evidence.aimed
    found: dict[str, list[int]] = {}
    for index, patch in enumerate(evidence.patches):
        if aimed[index]:
            found.setdefault(_depth(patch.series, float(evidence.aim[index, 0])), []).append(index)
    return [(name, np.array(found[name])) for name in DEPTHS if name in found]


def skin_hue(evidence: Evidence) -> Outcome | None:
    """Mean |dH*| of the worst depth group; dH* above 0 is yellower, below 0 redder."""
    return _worst_group(evidence, np.abs(delta_h(evidence.aim, evidence.measured)))


def skin_chroma(evidence: Evidence) -> Outcome | None:
    """Mean |dC*| of the worst depth group; dC* above 0 is stronger, below 0 paler."""
    return _worst_group(evidence, np.abs(delta_c(evidence.aim, evidence.measured)))


def skin_dE00(evidence: Evidence) -> Outcome | None:
    """Mean dE00 of all skin patches."""
    known = evidence.aimed
    if not evidence.colour_has_aim or not known.any():
        return None
    distance = delta_e_2000(evidence.aim[known], evidence.measured[..., known, :])
    at = int(distance.reshape(-1, distance.shape[-1])[0].argmax())
    where = place(evidence.patches[int(np.flatnonzero(known)[at])])
    return Outcome(distance.mean(axis=-1), where, int(known.sum()))


def skin_hue_constancy(evidence: Evidence) -> Outcome | None:
    """Range of dH* along the worst shaded sphere: whether shade is the same skin as light."""
    if not evidence.colour_has_aim:
        return None
    worst: Array | None = None
    where, count = None, 0
    for name, order in ramps(evidence, _SPHERE):
        turn = delta_h(evidence.aim[order], evidence.measured[..., order, :])
        width = turn.max(axis=-1) - turn.min(axis=-1)
        count += len(order)
        if worst is None or width.flat[0] > worst.flat[0]:
            where = name
        worst = width if worst is None else np.maximum(worst, width)
    return None if worst is None else Outcome(worst, where, count)


def skin_light_excess(evidence: Evidence) -> Outcome | None:
    """Mean dCh by which printed skins shift beyond real skin; the place is the worst light source.

    Real skin shifts between light sources too: the shift of the skin of ISO 17321-1 nearest in lightness is
    subtracted, as a vector. Shown beside the grade and never graded. Its draws spread by the choice of
    adaptation and by reading again (`light_spread`).
    """
    known = evidence.aimed
    worst, of, count = 0.0, "", 0
    for light, shift in evidence.shifts.items():
        rows = known & np.isfinite(shift).all(axis=-1)
        if not rows.any() or light not in illuminants():
            continue
        excess = float(_mean_shift(shift[rows] - _real_skin(evidence, light, rows)[0]))
        if not of or excess > worst:
            worst, of, count = excess, light, int(rows.sum())
    if not of:
        return None
    spread = 0.0
    if evidence.measured.ndim > 2:
        rows = known & np.isfinite(evidence.shifts[of]).all(axis=-1)
        spread = spread_of(evidence, of, rows, _mean_shift, by=_real_skin(evidence, of, rows)).both
    return Outcome(drawn_around(worst, spread, evidence.measured), f"under {of}", count)


def _mean_shift(shifts: Array) -> Array:
    """(...) mean dCh of shifts (..., k, 2)."""
    mean: Array = np.hypot(shifts[..., 0], shifts[..., 1]).mean(axis=-1)
    return mean


def _real_skin(evidence: Evidence, light: str, rows: Mask) -> Array:
    """(3, k, 2) what real skin nearest in lightness to each patch shifts, by each transform of adaptation."""
    dark = evidence.aim[rows, :1] < _BETWEEN
    return np.stack([np.where(dark, *_chart_shifts(light, name)) for name in TRANSFORMS])


@cache
def _chart_shifts(light: str, transform: str) -> tuple[Array, Array]:
    """da*, db* (2,) each of the dark and the light skin of ISO 17321-1."""
    moved = chart_skin_shift(illuminants()[light], TRANSFORMS[transform])
    return moved["dark skin"][1:], moved["light skin"][1:]


def _depth(series: str, L: float) -> str:
    named = next((depth for depth in DEPTHS if series.casefold().startswith(depth)), None)
    return named or ("light" if L >= _LIGHT else "deep" if L < _DEEP else "medium")


def _worst_group(evidence: Evidence, sizes: Array) -> Outcome | None:
    groups = depth_groups(evidence)
    if not evidence.colour_has_aim or not groups:
        return None
    means = np.stack([sizes[..., own].mean(axis=-1) for _, own in groups], axis=-1)
    at = int(means.reshape(-1, len(groups))[0].argmax())
    name, own = groups[at]
    where = place(evidence.patches[int(own[0])]) if len(own) == 1 else f"the {name} group"
    return Outcome(means.max(axis=-1), where, int(sum(len(own) for _, own in groups)))
