"""Eye and instrument together: how far they agree, and one grade where they do. The eye comes first."""

from collections.abc import Iterable, Sequence
from typing import Final

from evaluation.judgement.offset import agrees
from evaluation.judgement.opinion import Agreement, Opinion, Pair
from evaluation.judgement.tables import Tables

NOT_LOOKED: Final[Agreement] = "not graded yet"
NONE: Final[Agreement] = "none"


def combined(eye: Opinion, instrument: Opinion, tables: Tables) -> Opinion:
    """One grade of two that agree: their mean by inverse variance, the eye never below `eye_least_weight`.

    Without that floor the small spread of repeated readings would hand the verdict to the instrument: with
    0.5 for the eye and 0.05 for the instrument the eye is left with 1 %.
    """
    weight = 1 / eye.spread**2 / (1 / eye.spread**2 + 1 / instrument.spread**2)
    weight = max(weight, tables["eye_least_weight"])
    grade = weight * eye.grade + (1 - weight) * instrument.grade
    spread = ((weight * eye.spread) ** 2 + ((1 - weight) * instrument.spread) ** 2) ** 0.5
    return Opinion(grade, spread, eye.count + instrument.count, "eye and instrument")


def agreement(
    eye: Opinion | None,
    instrument: Opinion | None,
    pairs: Sequence[Pair],
    unseen_faults: Iterable[str],
    offset: float,
    tables: Tables,
) -> Agreement:
    """How far eye and instrument agree on a region.

    `pairs`: the questions of the region that are paired with a metric; one that disagrees is enough.
    `unseen_faults`: faults named that no metric of the region can see. Where the eye grades lower because of
    them, the readings do not count against it. `offset`: what the eye lies above the readings throughout.
    """
    if eye is None:
        return "none" if instrument is None else "instrument only"
    if instrument is None:
        return "eye only"
    if any(not pair.agree for pair in pairs):
        return "disagree"
    if tuple(unseen_faults) and eye.grade <= instrument.grade:
        return "eye only"
    return "agree" if agrees(eye.grade, instrument.grade, offset, tables) else "disagree"
