"""The black that an aim is compensated to: how deep, where it comes from, and which aims lie below it."""

from typing import Final, Literal

import numpy as np

from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz
from evaluation.metrics.evidence import Array, Mask
from evaluation.metrics.predicted import Predicted
from evaluation.session import PrintingCondition

BlackFrom = Literal["profile", "earlier session", "this print", "not mapped", "not read"]
RERENDERING: Final = ("perceptual", "saturation")  # intents that change colours by design


def black_level(
    condition: PrintingCondition, predicted: Predicted | None, earlier: float | None, printed: float | None
) -> tuple[float | None, BlackFrom]:
    """The black that the aim is compensated to, and where it comes from.

    Parameters
    ----------
    condition
        Intent and black point compensation.
    predicted
        What the profile predicts, None without one.
    earlier, printed
        Luminance, 0..100 relative to paper, of the black of an earlier print, and of this one; None where not
        known.

    Returns
    -------
    Its luminance on the same scale, None where there is none, and its origin.
    """
    if condition.intent == "absolute colorimetric":
        return None, "not mapped"
    if condition.black_point_compensation is False and condition.intent not in RERENDERING:
        return printed if predicted is None else predicted.black_y, "not mapped"
    if predicted is not None:
        return predicted.black_y, "profile"
    if earlier is not None:
        return earlier, "earlier session"
    return (printed, "this print") if printed is not None else (None, "not read")


def too_dark(aim: Array, source: Array, level: float | None) -> Mask:
    """(n,) neutral aims darker than the black: out of reach by choice of intent, and not graded.

    `aim` and `source` are CIELAB (n, 3), `level` the luminance of the black as in `black_level`.
    """
    if level is None:
        return np.zeros(len(aim), bool)
    black = float(lab_from_xyz(D50_WHITE * level / 100)[0])
    neutral = np.hypot(source[:, 1], source[:, 2]) < 1.0
    mask: Mask = neutral & (aim[:, 0] < black - 1e-9)
    return mask
