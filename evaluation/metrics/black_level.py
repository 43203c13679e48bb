"""The black that an aim is mapped to: how deep, where it came from, and which aims lie below it."""

from typing import Final, Literal

import numpy as np

from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz
from evaluation.metrics.evidence import Array, Mask
from evaluation.metrics.predicted import Predicted
from evaluation.session import PrintingCondition

BlackFrom = Literal["profile", "earlier session", "this print", "not mapped", "not read"]
RERENDERING: Final = ("perceptual", "saturation")  # intents that change colours on purpose


def black_level(
    condition: PrintingCondition, expected: Predicted | None, earlier: float | None, printed: float | None
) -> tuple[float | None, BlackFrom]:
    """Luminance, 0..100 relative to paper, of the black the aim is mapped to, and where it came from."""
    if condition.intent == "absolute colorimetric":
        return None, "not mapped"
    if condition.black_point_compensation is False and condition.intent not in RERENDERING:
        return printed if expected is None else expected.black_y, "not mapped"
    if expected is not None:
        return expected.black_y, "profile"
    if earlier is not None:
        return earlier, "earlier session"
    return (printed, "this print") if printed is not None else (None, "not read")


def too_dark(aim: Array, source: Array, level: float | None) -> Mask:
    """Neutral aims that are darker than the black: out of reach by choice of intent, and not graded."""
    if level is None:
        return np.zeros(len(aim), bool)
    black = float(lab_from_xyz(D50_WHITE * level / 100)[0])
    neutral = np.hypot(source[:, 1], source[:, 2]) < 1.0
    mask: Mask = neutral & (aim[:, 0] < black - 1e-9)
    return mask
