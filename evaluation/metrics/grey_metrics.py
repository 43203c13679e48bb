"""How neutral the greys are: cast by third, crossover, highlight and shadow casts, the ring-around's centre.

All are against the one neutral aim that the evidence names; see `cast` for words and distances.
"""

import numpy as np
from numpy.typing import NDArray

from evaluation.metrics.cast import cast_distance, counted, readings_themselves, shifts_from_grey, thirds
from evaluation.metrics.evidence import Array, Evidence, Mask, Outcome, place
from evaluation.metrics.light_spread import drawn_around, spread_of
from evaluation.published.limits import limit
from evaluation.session import THIRD_WORDS

_CENTRE = limit("grey_centre")
_LEAST_INKED = limit("grey_inked")


def cast_by_third(evidence: Evidence) -> Outcome | None:
    """Mean dE00 at equal L* of the worst third, which is the place."""
    mask = counted(evidence)
    if not evidence.cast_has_aim or not mask.any():
        return None
    distance = cast_distance(evidence)
    third = thirds(evidence)
    present = [t for t in range(3) if (mask & (third == t)).any()]
    means = np.stack([distance[..., mask & (third == t)].mean(axis=-1) for t in present], axis=-1)
    worst = present[int(means.reshape(-1, len(present))[0].argmax())]
    return Outcome(means.max(axis=-1), THIRD_WORDS[worst], int(mask.sum()))


def dch_mean(evidence: Evidence) -> Outcome | None:
    """Mean dCh of the greys, the trade's customary number; the place is where it is largest."""
    mask = counted(evidence)
    if not evidence.cast_has_aim or not mask.any():
        return None
    shift = shifts_from_grey(evidence)
    distance = np.hypot(shift[..., 0], shift[..., 1])[..., mask]
    return Outcome(distance.mean(axis=-1), _largest(evidence, mask, distance), int(mask.sum()))


def third_shifts(evidence: Evidence) -> tuple[Array, Array, tuple[int, ...]]:
    """Mean shifts of the t thirds that have steps.

    Returns
    -------
    (..., t, 2) mean da*, db*; (t,) their standard errors; the thirds, as indices into `session.THIRDS`.
    """
    mask, third = counted(evidence), thirds(evidence)
    shift = shifts_from_grey(evidence)
    present = tuple(t for t in range(3) if (mask & (third == t)).any())
    if not present:
        return np.empty((*shift.shape[:-2], 0, 2)), np.empty(0), ()
    steps = [mask & (third == t) for t in present]
    means = np.stack([shift[..., own, :].mean(axis=-2) for own in steps], axis=-2)
    noise = np.array([np.sqrt((evidence.chroma_noise[own] ** 2).sum()) / own.sum() for own in steps])
    return means, noise, present


def crossover(evidence: Evidence) -> Outcome | None:
    """Largest dCh between the mean shifts of two thirds: a cast that changes with lightness.

    A distance, not an angle: in a neutral print with noise 0.3 the shifts of some two thirds point more than
    90 degrees apart in 82 % of draws, while the distance stays below 0.46 in 95 % (COMPUTED).
    """
    means, _, present = third_shifts(evidence)
    if not evidence.cast_has_aim or len(present) < 2:
        return None
    pairs = [(i, j) for i in range(len(present)) for j in range(i + 1, len(present))]
    apart = np.stack(
        [np.linalg.norm(means[..., i, :] - means[..., j, :], axis=-1) for i, j in pairs], axis=-1
    )
    i, j = pairs[int(apart.reshape(-1, len(pairs))[0].argmax())]
    where = f"{THIRD_WORDS[present[i]]} against {THIRD_WORDS[present[j]]}"
    return Outcome(apart.max(axis=-1), where, int(counted(evidence).sum()))


def shadow_cast(evidence: Evidence) -> Outcome | None:
    """Mean dE00 at equal L* of the shadow steps without the black, whose colour is reported separately."""
    limits = evidence.limits
    source = evidence.source_l
    mask: Mask = counted(evidence) & (source >= limits.shadow_from) & (source <= limits.shadow_to)
    if not evidence.cast_has_aim or not mask.any():
        return None
    distance = cast_distance(evidence, mask)
    return Outcome(distance.mean(axis=-1), _largest(evidence, mask, distance), int(mask.sum()))


def highlight_entry_cast(evidence: Evidence) -> Outcome | None:
    """Mean dE00 at equal L* of the three lightest steps with ink enough to have a colour.

    Those a whole L* or more below the paper: closer to it a step is nearly bare.
    """
    inked = np.flatnonzero(counted(evidence) & (evidence.source_l <= _LEAST_INKED))
    if not evidence.cast_has_aim or inked.size == 0:
        return None
    mask = np.zeros(len(evidence.patches), dtype=bool)
    mask[inked[np.argsort(-evidence.source_l[inked], kind="stable")[:3]]] = True
    distance = cast_distance(evidence, mask)
    return Outcome(distance.mean(axis=-1), _largest(evidence, mask, distance), int(mask.sum()))


def ring_offset(evidence: Evidence) -> Outcome | None:
    """dE00 at equal L* of the patch meant as grey, worst of the lightnesses of the ring-around.

    A lightness whose patch meant as grey was not read has no offset: the nearest to it stands for itself.
    """
    centre = np.zeros(len(evidence.patches), dtype=bool)
    aim = evidence.aim if evidence.source_aim is None else evidence.source_aim
    chromas = np.hypot(aim[:, 1], aim[:, 2])
    for group in _by_series(evidence, evidence.aimed):
        own = group[np.argsort(chromas[group], kind="stable")]
        if _stands_out(chromas[own]):
            centre[own[0]] = True
    mask: Mask = centre & counted(evidence)
    if not evidence.cast_has_aim or not mask.any():
        return None
    distance = cast_distance(evidence, mask)
    return Outcome(distance.max(axis=-1), _largest(evidence, mask, distance), int(mask.sum()))


def ring_slope(evidence: Evidence, source_ab: Array) -> float | None:
    """Slope of read on stated a*, b* within the groups of a ring-around: 1 as stated, 0 all one grey.

    source_ab  (n, 2) a*, b* of the patches' own source. None without a patch that is stated as coloured.
    """
    read = readings_themselves(evidence.absolute)[:, 1:]
    above = below = 0.0
    known: Mask = np.asarray(np.isfinite(np.column_stack([source_ab, read])).all(axis=1))
    for own in _by_series(evidence, known):
        if len(own) > 1:
            stated = source_ab[own] - source_ab[own].mean(axis=0)
            found = read[own] - read[own].mean(axis=0)
            above += float((stated * found).sum())
            below += float((stated**2).sum())
    return above / below if below > 0 else None


def _by_series(evidence: Evidence, rows: Mask) -> list[NDArray[np.int_]]:
    """Indices of the patches in `rows` (n,), series by series."""
    groups: dict[str, list[int]] = {}
    for k in np.flatnonzero(rows).tolist():
        groups.setdefault(evidence.patches[k].series, []).append(k)
    return [np.array(own) for own in groups.values()]


def _stands_out(chromas: Array) -> bool:
    """Whether the first of rising chromas is the middle of a ring, and not one of its fields."""
    return bool(chromas[0] <= (chromas[1] / 2 if len(chromas) > 1 else _CENTRE))


def light_shift_differential(evidence: Evidence) -> Outcome | None:
    """Largest dCh between the shifts of two steps under the worst light source: greys that shift apart.

    The eye adapts to what paper and scale shift alike, and sees what is left along the scale. Its draws
    spread by the choice of adaptation and by reading again (`light_spread`).
    """
    found = worst_light(evidence)
    if found is None:
        return None
    light, known = found
    steps = evidence.shifts[light][known]
    apart = np.linalg.norm(steps[:, None, :] - steps[None, :, :], axis=-1)
    first, second = np.unravel_index(int(apart.argmax()), apart.shape)
    names = [place(evidence.patches[int(np.flatnonzero(known)[k])]) for k in (first, second)]
    where = f"under {light}, {names[0]} against {names[1]}"
    spread = spread_of(evidence, light, known, shifted_apart).both if evidence.measured.ndim > 2 else 0.0
    values = drawn_around(float(apart.max()), spread, evidence.measured)
    return Outcome(values, where, int(counted(evidence).sum()))


def worst_light(evidence: Evidence) -> tuple[str, Mask] | None:
    """The light source under which greys shift apart most, and the steps (n,) that count; else None."""
    mask = counted(evidence)
    rows = {light: mask & np.isfinite(shift).all(axis=-1) for light, shift in evidence.shifts.items()}
    sizes = {
        light: float(shifted_apart(evidence.shifts[light][known]))
        for light, known in rows.items()
        if known.sum() > 1
    }
    if not sizes:
        return None
    light = max(sizes, key=lambda name: sizes[name])
    return light, rows[light]


def shifted_apart(steps: Array) -> Array:
    """(...) largest dCh between the shifts (..., k, 2) of any two steps."""
    one, other = np.triu_indices(steps.shape[-2], k=1)
    da, db = (
        np.take(part, one, axis=-1) - np.take(part, other, axis=-1) for part in np.moveaxis(steps, -1, 0)
    )
    apart: Array = np.sqrt((da * da + db * db).max(axis=-1, initial=0.0))
    return apart


def _largest(evidence: Evidence, mask: Mask, distance: Array) -> str:
    first = readings_themselves(distance[..., None])[:, 0]
    return place(evidence.patches[int(np.flatnonzero(mask)[int(first.argmax())])])
