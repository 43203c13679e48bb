"""Clues in inks: which of them, and where along its curve, a print departs from its profile by.

Each answers True, False, or None: the session does not tell. What another sheet of the same process differs
by is not told; its size is a setting (`sheet_mean`, `sheet_worst`). Other limits: the project's own choice.
"""

from typing import Final

import numpy as np

from evaluation.judgement.clues.departure import Departure
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.fit import another_way_fits
from evaluation.judgement.clues.measures import beyond_sheets
from evaluation.metrics.evidence import Array

_AMOUNT, _MIDDLE, _BLACK = range(3)
_SURE: Final = 3.0  # standard errors
_LEADS: Final = 1.2  # times the size of each other kind of change
_ALONE: Final = 2.5  # times the share of each other channel
_ALIKE: Final = 0.3  # of the largest share: channels that move together
_TOLD_APART: Final = 0.05  # standard error of any share: greys alone do not tell the inks apart
# The dose of inks is what differs between sheets, and one sheet in twenty lies beyond the limit.
_DOSED: Final = 1.5  # times the limit, for amounts of ink
_EXPLAINED: Final = 0.7  # of the departure, unless what is left is noise
_NOISE: Final = 2.0  # times the noise of reading that may be left
_TABLES: Final = 0.25  # dE*ab on average that tables of a sound profile are off by anyhow


def _told(clues: Clues, kind: int, margin: float = 1.0) -> Departure | None:
    """The departure where it is mainly of this kind, beyond what sheets differ by, and inks explain it."""
    found, evidence = clues.inks, clues.evidence
    if found is None or evidence is None or found.errors.max() > _TOLD_APART or another_way_fits(clues):
        return None
    noise = float(np.sqrt(np.trace(evidence.covariance)))
    others = np.delete(found.sizes, kind).max()
    # The black moves the darks alone, which are too few to make a mean.
    least = 0.0 if kind == _BLACK else float(np.hypot(clues.tables["sheet_mean"], _TABLES))
    if found.sizes[kind] < max(_LEADS * others, least):
        return None
    if found.explained < _EXPLAINED and found.usual > _NOISE * noise:
        return None
    return found if beyond_sheets(clues, found.worst / margin) else None


def _moved(share: Array, errors: Array) -> bool:
    """Whether the largest share is more than chance."""
    largest = int(np.abs(share).argmax())
    return bool(abs(share[largest]) > _SURE * errors[largest])


def _one(share: Array) -> bool:
    ordered = np.sort(np.abs(share))
    return bool(ordered[-1] > _ALONE * ordered[-2])


def _together(share: Array) -> bool:
    size = np.abs(share)
    return bool(size.min() > _ALIKE * size.max() and abs(np.sign(share).sum()) == len(share))


def all_inks_less(clues: Clues) -> Answer:
    amount = _amount(clues)
    return None if amount is None else _together(amount) and amount[0] < 0


def all_inks_more(clues: Clues) -> Answer:
    amount = _amount(clues)
    return None if amount is None else _together(amount) and amount[0] > 0


def one_ink_less(clues: Clues) -> Answer:
    amount = _amount(clues)
    return None if amount is None else _one(amount) and bool(amount[np.abs(amount).argmax()] < 0)


def _amount(clues: Clues) -> Array | None:
    if clues.inks is None:
        return None
    found = _told(clues, _AMOUNT, _DOSED)
    return np.zeros(3) if found is None or not _moved(found.amount, found.errors[:3]) else found.amount


def one_middle_moved(clues: Clues) -> Answer:
    middle = _middle(clues)
    return None if middle is None else _one(middle)


def middles_moved_together(clues: Clues) -> Answer:
    middle = _middle(clues)
    return None if middle is None else _together(middle)


def _middle(clues: Clues) -> Array | None:
    if clues.inks is None:
        return None
    found = _told(clues, _MIDDLE)
    return np.zeros(3) if found is None or not _moved(found.middle, found.errors[3:6]) else found.middle


def darks_lighter(clues: Clues) -> Answer:
    black = _black(clues)
    return None if black is None else black < 0


def darks_deeper(clues: Clues) -> Answer:
    black = _black(clues)
    return None if black is None else black > 0


def _black(clues: Clues) -> float | None:
    if clues.inks is None:
        return None
    found = _told(clues, _BLACK)
    return 0.0 if found is None or abs(found.black) < _SURE * found.errors[6] else found.black
