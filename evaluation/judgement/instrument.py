"""The readings' grade of a region: the worst of its few key metrics, with the bias of a minimum removed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.judgement.opinion import Opinion
from evaluation.judgement.table_rows import BEST, WORST, Anchor
from evaluation.judgement.tables import Tables
from evaluation.metrics.catalogue import CATALOGUE, Worked, worked_out
from evaluation.metrics.evidence import Evidence
from evaluation.metrics.tone import jump_too_noisy
from evaluation.sheet.layout import SheetRegion

_JUMP: Final = "gradient_jump"
# Maps of sheets drawn earlier know the strength of colours by its upper side alone. Their question about it
# asks no more than that, and is paired with nothing.
_RENAMED: Final = {"over_saturation": "colour_strength"}


@dataclass(frozen=True, slots=True, eq=False)
class Graded:
    """A metric on the scale 5..1: `grades` (draws,), the first from the readings themselves.

    counts  False: the readings are too few for a grade, and it is told only
    """

    anchor: Anchor
    worked: Worked
    grades: NDArray[np.float64]
    counts: bool = True

    @property
    def grade(self) -> float:
        """The grade with the noise's pull taken out."""
        return unbiased(self.grades)


def graded(region: SheetRegion, evidence: Evidence, tables: Tables) -> Mapping[str, Graded]:
    """Every metric of the region's kind that its map allows and its readings carry, by name."""
    found: dict[str, Graded] = {}
    allowed = {_RENAMED.get(name, name) for name in region.metrics}
    for anchor in tables.of_kind(region.kind):
        if anchor.metric not in CATALOGUE or (allowed and anchor.metric not in allowed):
            continue
        one = graded_of(anchor, evidence)
        if one is not None:
            found[anchor.metric] = one
    return found


def graded_of(anchor: Anchor, evidence: Evidence) -> Graded | None:
    """The metric of one anchor; None where the readings do not carry it."""
    worked = worked_out(anchor.metric, evidence)
    if worked is None:
        return None
    counts = anchor.metric != _JUMP or not jump_too_noisy(evidence)
    return Graded(anchor, worked, anchor.grade(worked.draws), counts)


def key_metrics(kind: str, found: Mapping[str, Graded], tables: Tables) -> tuple[Graded, ...]:
    """The metrics of a region that are graded, each of another attribute, in the order of the table.

    At most `key_metrics_most`.
    """
    chosen: dict[str, Graded] = {}
    for one in found.values():
        anchor = one.anchor
        if one.counts and anchor.key and kind not in anchor.pair_only and anchor.attribute not in chosen:
            chosen[anchor.attribute] = one
    return tuple(chosen.values())[: int(tables["key_metrics_most"])]


def opinion(keys: Sequence[Graded], evidence: Evidence, tables: Tables) -> Opinion | None:
    """The grade by readings, 5 to 1: the worst key metric, its bias removed (`unbiased`); None without any.

    Its spread takes in repeats, anchor and instrument (`spread`).
    """
    if not keys:
        return None
    worst = np.min([one.grades for one in keys], axis=0)
    basis = ", ".join(metric_words(one.anchor.metric) for one in keys)
    return Opinion(unbiased(worst), spread(worst, tables), int(evidence.counts.sum()), basis)


def deciding(keys: Sequence[Graded]) -> Graded | None:
    """The key metric whose grade is the worst; None without any."""
    return min(keys, key=lambda one: one.grades[0], default=None)


def unbiased(grades: NDArray[np.float64]) -> float:
    """A worst grade without the bias of a minimum: 2 x grade - mean over the draws, within 5..1.

    `grades`: (draws,), the first from the readings themselves, the others from readings drawn around them.

    The worst of several noisy metrics lies too low even where all are good: three of 4.5 with noise 0.3 give
    4.25. Drawn readings carry that pull twice, so it can be taken off once.
    """
    first = float(grades[0])
    if grades.size < 2:
        return first
    return float(np.clip(2 * first - grades[1:].mean(), WORST, BEST))


def spread(grades: NDArray[np.float64], tables: Tables) -> float:
    """Standard error of a grade by readings, in grades.

    Root of the sum of squares of the draws' spread (`grades`: (draws,)), of how well an anchor fits an eye
    (`anchor_spread`), and of what instruments of one kind differ by (`instrument_spread`).
    """
    repeats = float(grades[1:].std()) if grades.size > 1 else 0.0
    return float(np.sqrt(repeats**2 + tables["anchor_spread"] ** 2 + tables["instrument_spread"] ** 2))


def metric_words(metric: str) -> str:
    """A metric's name in a sentence: "cast by third"."""
    return metric.replace("_", " ")
