"""How far eye and readings lie apart over a whole session, and from where on a region disagrees beside that.

The limit is the same for every session and observer. What an observer is harsh or kind by throughout is taken
from the session itself, since no other session may enter a result.
"""

import math
from collections.abc import Sequence
from statistics import median

from evaluation.judgement.eye import once
from evaluation.judgement.tables import Tables

Voices = tuple[float, float]  # of a region: the eye's grade, the readings'


def apart(voices: Sequence[Voices], tables: Tables) -> float | None:
    """The median of eye less readings over the regions with both; None below `offset_regions` of them."""
    if len(voices) < tables["offset_regions"]:
        return None
    return median(eye - read for eye, read in voices)


def offset(voices: Sequence[Voices], tables: Tables) -> float:
    """What the eye lies above the readings throughout, in grades, as far as so many regions show it.

    k times the median, k = v / (v + 1.57 (s_eye^2 + s_read^2) / n): v is what leans of observers and the
    anchors' common error spread by, 1.57 = pi / 2 (`offset_median`) what a median loses to a mean. Without
    enough regions 0. It is subtracted from no grade that is shown.
    """
    found = apart(voices, tables)
    if found is None:
        return 0.0
    expected = tables["eye_offset"] ** 2 + tables["anchors_offset"] ** 2
    readings = tables["anchor_spread"] ** 2 + tables["instrument_spread"] ** 2
    noise = tables["offset_median"] * (once(tables) + readings) / len(voices)
    return expected / (expected + noise) * found


def agrees(eye: float, read: float, offset: float, tables: Tables) -> bool:
    """Whether two grades of one thing lie no further apart than `limit`, the session's offset taken out."""
    return abs(eye - read - offset) <= limit(tables)


def limit(tables: Tables) -> float:
    """By how many grades eye and readings must lie apart to disagree: twice what both spread by, at least 1.

    >>> from evaluation.judgement.tables import load_tables
    >>> round(limit(load_tables()), 2)
    1.41
    """
    joint = math.hypot(tables["eye_spread"], tables["anchor_spread"])
    return max(tables["disagree_least"], tables["disagree_times"] * joint)
