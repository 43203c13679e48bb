"""Where a cast turns: a crossover found above noise and located along the scale."""

import numpy as np

from evaluation.judgement.greys import Crossover
from evaluation.metrics.cast import cast_word, counted, shifts_from_grey
from evaluation.metrics.evidence import Array, Evidence
from evaluation.metrics.grey_metrics import third_shifts
from evaluation.metrics.limits import Limits


def crossover(scale: Evidence) -> Crossover | None:
    """The turn of a cast between two thirds, located along the scale; None where there is none above noise.

    A distance between the thirds' means (dCh, `crossover_named`), not an angle between them; the darker and
    the lighter must have opposite casts, or one of them none. `scale`: the greys of one print, without draws.
    """
    means, noise, present = third_shifts(scale)
    limits = scale.limits
    found: Crossover | None = None
    for i in range(len(present)):
        for j in range(i + 1, len(present)):
            low, high = means[i], means[j]
            turn = float(np.linalg.norm(low - high))
            if turn < max(limits.crossover_named, hidden_below(float(np.hypot(noise[i], noise[j])), limits)):
                continue
            sizes = (float(np.linalg.norm(low)), float(np.linalg.norm(high)))
            only = min(sizes) < limits.cast_named
            if not only and float(low @ high) >= 0:
                continue
            if found is None or turn > found.turn:
                words = [
                    cast_word(float(v[0]), float(v[1])) if size >= limits.cast_named else "none"
                    for v, size in zip((low, high), sizes, strict=True)
                ]
                found = Crossover(turn, words[0], words[1], _turning_point(scale, low, high), only)
    return found


def hidden_below(noise: float, limits: Limits) -> float:
    """The cast, dCh, that noise hides: `cast_sure` standard deviations of either axis.

    `noise` is the length of both axes' standard errors together, as `third_shifts` gives it.
    """
    return limits.cast_sure * noise / float(np.sqrt(2))


def _turning_point(scale: Evidence, low: Array, high: Array) -> float:
    """Absolute L* where the steps pass from the darker third's shift to the lighter's: the best split."""
    mask = counted(scale)
    L = scale.absolute[mask, 0]
    order = np.argsort(L)
    along = (high - low) / np.linalg.norm(high - low)
    place = (shifts_from_grey(scale)[mask] @ along)[order]
    L = L[order]
    # Where the two casts are opposite the turn is through neutral; else half way between them.
    apart = float(low @ along) < 0 < float(high @ along)
    middle = 0.0 if apart else float((low + high) @ along) / 2
    wrong = [int((place[:k] > middle).sum() + (place[k:] <= middle).sum()) for k in range(1, len(place))]
    # Of equally good splits the middle one.
    best = np.flatnonzero(np.array(wrong) == min(wrong)) + 1
    k = int(best[len(best) // 2])
    before, after = place[k - 1], place[k]
    share = 0.5 if after == before else float(np.clip((middle - before) / (after - before), 0.0, 1.0))
    return float(L[k - 1] + share * (L[k] - L[k - 1]))
