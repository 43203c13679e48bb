"""Casts: words for a direction in the a*b* plane, thirds of the printed range, distances at equal L*.

A cast is judged as CIEDE2000 at equal L*, because the eye's sensitivity differs within the a*b* plane: near
grey 1.5 dCh is 2.1 dE00 along a* and 1.5 along b* (COMPUTED). It is named by one of six words, and by dCh.
"""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.colorimetry.difference import delta_e_2000_equal_l
from evaluation.metrics.evidence import Array, Evidence, Mask, first_of
from evaluation.published.limits import limit

# Sectors of 60 degrees in CIELAB, by their middle (project's own choice).
_WORDS: Final = ((30, "red"), (90, "yellow"), (150, "green"), (210, "cyan"), (270, "blue"), (330, "magenta"))
_BORDER: Final = limit("cast_border")


def cast_word(da: float, db: float) -> str:
    """The direction of a shift (da*, db*) in words, two within 10 degrees of a border.

    >>> cast_word(0.1, 2.0), cast_word(-1.2, 1.5)
    ('yellow', 'yellow to green')
    """
    angle = float(np.degrees(np.arctan2(db, da))) % 360
    index = int(angle // 60)
    past = angle - 60 * index
    if past < _BORDER:
        return f"{_WORDS[index - 1][1]} to {_WORDS[index][1]}"
    if past > 60 - _BORDER:
        return f"{_WORDS[index][1]} to {_WORDS[(index + 1) % 6][1]}"
    return _WORDS[index][1]


def shifts_from_grey(evidence: Evidence) -> Array:
    """(..., n, 2) a*, b* of the readings minus those of the neutral aim, in absolute CIELAB."""
    shift: Array = evidence.absolute[..., 1:] - evidence.grey_aim
    return shift


def cast_distance(evidence: Evidence, chosen: Mask | slice = slice(None)) -> Array:
    """(..., m) dE00 at equal L* of the chosen readings, by default all, from the neutral aim at their L*."""
    read = evidence.absolute[..., chosen, :]
    aim = np.concatenate([read[..., :1], evidence.grey_aim[..., chosen, :]], axis=-1)
    return delta_e_2000_equal_l(aim, read)


def counted(evidence: Evidence) -> Mask:
    """(n,) steps that count for a cast: inked, not the black, neither too dark nor too noisy for a hue."""
    limits = evidence.limits
    first = readings_themselves(evidence.measured)
    field = np.array([patch.role == "field" for patch in evidence.patches], dtype=bool)
    aimed = np.isfinite(first_of(evidence.grey_aim)).all(axis=-1)
    light: Mask = first[:, 0] >= limits.hollow_lightness
    quiet: Mask = evidence.chroma_noise <= limits.hollow_noise
    mask: Mask = field & light & quiet & aimed
    return mask


def thirds(evidence: Evidence) -> NDArray[np.int_]:
    """(n,) indices into `session.THIRDS`: equal parts of the range of L* from printed black to paper."""
    L = readings_themselves(evidence.measured)[:, 0]
    black = float(np.min(L)) if evidence.black is None else float(np.ravel(evidence.black[..., 0])[0])
    part = 3 * (L - black) / max(100.0 - black, 1e-9)
    index: NDArray[np.int_] = np.clip(np.floor(part), 0, 2).astype(int)
    return index


def readings_themselves(values: ArrayLike) -> Array:
    """(n, k) the first draw of (..., n, k), which is the readings themselves."""
    return first_of(np.asarray(values, np.float64))
