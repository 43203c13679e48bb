"""Clues in inks: which of them, and where along its curve, a print departs from its profile by.

Each answers True, False, or None where the session cannot tell. A departure that another sheet of the same
process may show (`sheet_mean`, `sheet_worst`) does not count. Other limits: `tables/clues.toml`.
"""

import numpy as np

from evaluation.judgement.clues.departure import InkDeparture
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.fit import another_way_fits
from evaluation.judgement.clues.measures import beyond_sheets
from evaluation.judgement.tables import Tables
from evaluation.metrics.evidence import Array

_AMOUNT, _MIDDLE, _BLACK = range(3)


def _mainly(clues: Clues, kind: int, margin: float = 1.0) -> InkDeparture | None:
    """The departure where it is mainly of this kind, beyond what sheets differ by, and inks explain it."""
    found, evidence, tables = clues.inks, clues.evidence, clues.tables
    if found is None or evidence is None or another_way_fits(clues):
        return None
    if found.errors.max() > tables["inks_separate"]:
        return None
    noise = evidence.reading_noise
    others = np.delete(found.sizes, kind).max()
    # The black moves the shadows alone, which are too few to make a mean.
    least = 0.0 if kind == _BLACK else float(np.hypot(tables["sheet_mean"], tables["profile_tables"]))
    if found.sizes[kind] < max(tables["ink_leads"] * others, least):
        return None
    if found.explained < tables["ink_explained"] and found.usual > tables["ink_noise"] * noise:
        return None
    return found if beyond_sheets(clues, found.worst / margin) else None


def _sure(share: Array, errors: Array, tables: Tables) -> Array:
    """The shares (3,) where the largest is more than chance (`ink_sure`), else zeros."""
    largest = int(np.abs(share).argmax())
    sure = abs(share[largest]) > tables["ink_sure"] * errors[largest]
    return share if sure else np.zeros_like(share)


def _one(share: Array, tables: Tables) -> bool:
    """Whether one ink alone has changed (`ink_alone`)."""
    ordered = np.sort(np.abs(share))
    return bool(ordered[-1] > tables["ink_alone"] * ordered[-2])


def _together(share: Array, tables: Tables) -> bool:
    """Whether all inks have changed, and one way (`inks_together`)."""
    size = np.abs(share)
    one_way = abs(np.sign(share).sum()) == len(share)
    return bool(size.min() > tables["inks_together"] * size.max() and one_way)


def all_inks_less(clues: Clues) -> Answer:
    """Whether all inks are less than the profile expects, by about the same share."""
    amount = _amount(clues)
    return None if amount is None else _together(amount, clues.tables) and amount[0] < 0


def all_inks_more(clues: Clues) -> Answer:
    """Whether all inks are more than the profile expects, by about the same share."""
    amount = _amount(clues)
    return None if amount is None else _together(amount, clues.tables) and amount[0] > 0


def one_ink_less(clues: Clues) -> Answer:
    """Whether one ink alone is less than the profile expects."""
    amount = _amount(clues)
    if amount is None:
        return None
    return _one(amount, clues.tables) and bool(amount[np.abs(amount).argmax()] < 0)


def _amount(clues: Clues) -> Array | None:
    """(3,) change of each ink's amount; zeros where that is not what has changed."""
    if clues.inks is None:
        return None
    # The dose of inks is what sheets differ in most, and one sheet in twenty lies beyond their limit.
    found = _mainly(clues, _AMOUNT, clues.tables["ink_dosed"])
    size = clues.inks.amount.size
    return np.zeros(size) if found is None else _sure(found.amount, found.errors[:size], clues.tables)


def one_middle_moved(clues: Clues) -> Answer:
    """Whether one ink alone has changed in its mid-tones, paper and solid apart."""
    middle = _middle(clues)
    return None if middle is None else _one(middle, clues.tables)


def middles_moved_together(clues: Clues) -> Answer:
    """Whether all inks have changed one way in their mid-tones, paper and solids apart."""
    middle = _middle(clues)
    return None if middle is None else _together(middle, clues.tables)


def _middle(clues: Clues) -> Array | None:
    """(3,) change of each ink's mid-tones; zeros where that is not what has changed."""
    if clues.inks is None:
        return None
    found = _mainly(clues, _MIDDLE)
    size = clues.inks.middle.size
    if found is None:
        return np.zeros(size)
    return _sure(found.middle, found.errors[size : 2 * size], clues.tables)


def shadows_lighter(clues: Clues) -> Answer:
    """Whether the shadows alone are lighter than the profile expects: less black."""
    black = _black(clues)
    return None if black is None else black < 0


def shadows_deeper(clues: Clues) -> Answer:
    """Whether the shadows alone are deeper than the profile expects: more black."""
    black = _black(clues)
    return None if black is None else black > 0


def _black(clues: Clues) -> float | None:
    """Change of the black; 0 where that is not what has changed."""
    if clues.inks is None:
        return None
    found = _mainly(clues, _BLACK)
    if found is None or abs(found.black) < clues.tables["ink_sure"] * found.errors[-1]:
        return 0.0
    return found.black
