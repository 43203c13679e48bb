"""Two prints read against each other in one region, by its own metrics, and what repeats alone would give."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np

from evaluation.judgement import instrument
from evaluation.judgement.null import noisy, null_of
from evaluation.judgement.table_rows import Anchor
from evaluation.judgement.tables import Tables
from evaluation.metrics.catalogue import CATALOGUE, worked_out
from evaluation.metrics.evidence import Array, Evidence

# One print's evidence, what its sheets spread by, and the degrees of freedom behind its readings' spread.
Side = tuple[Evidence, Array | None, int | None]

# These metrics look at one print alone: compared by their grades, one grade apart being large.
_OF_ONE_PRINT: Final = (
    "first_shadow_step",
    "last_highlight_step",
    "across_sheet",
    "light_shift_differential",
)


@dataclass(frozen=True, slots=True, eq=False)
class Cell:
    """A region read both ways: the smallest p of its key metrics, whether any is large enough to be seen.

    reason  the metric that is large, else the one furthest from chance
    """

    p: float
    large: bool
    reason: str


class _Held:
    """Two prints of one region held against each other, and the noise of both laid on; each once for all
    metrics. `null`: (draws, n, 3), see `null_of`.
    """

    def __init__(self, sides: tuple[Side, Side], null: Array) -> None:
        self.own = (sides[0][0], sides[1][0])
        self._null = null

    @cached_property
    def against(self) -> tuple[Evidence, Evidence]:
        """Each print with the other as its aim."""
        first, second = self.own
        return read_against(second, first), read_against(first, second)

    @cached_property
    def still(self) -> tuple[Evidence, Evidence]:
        """Each print with itself as its aim, and noise on it."""
        first, second = (read_against(one, one) for one in self.own)
        return noisy(first, self._null), noisy(second, -self._null)

    @cached_property
    def first_drawn(self) -> Evidence:
        """The first print with noise on it."""
        return noisy(self.own[0], self._null)


def cell(kind: str, sides: tuple[Side, Side], tables: Tables) -> Cell | None:
    """Two prints by the key metrics of a kind of region; None where no metric can be worked out.

    Both sides have the same patches, without draws; `null_of` says what a side is.
    """
    held = _Held(sides, null_of(sides, tables))
    found: list[Cell] = []
    for anchor in _key(kind, tables):
        one = _graded(anchor, held, tables) if anchor.metric in _OF_ONE_PRINT else _against(anchor, held)
        if one is not None:
            found.append(one)
    if not found:
        return None
    # The few key metrics of one region are a family of their own.
    worst = min(found, key=lambda each: each.p)
    large = [each for each in found if each.large and each.p < tables["level"]]
    decisive = min(large or found, key=lambda each: each.p)
    return Cell(min(1.0, worst.p * len(found)), bool(large), decisive.reason)


def read_against(sample: Evidence, aim: Evidence) -> Evidence:
    """One print's evidence with another print as its aim, patch by patch.

    Colours are compared media-relative, greys by their cast on their own paper: the aim of the greys of
    `sample` is moved by the cast of those of `aim`.
    """
    cast = aim.absolute[..., 1:] - aim.grey_aim
    return replace(
        sample,
        aim=aim.measured,
        grey_aim=sample.grey_aim + cast,
        tone_has_aim=True,
        colour_has_aim=True,
        cast_has_aim=True,
    )


def _against(anchor: Anchor, held: _Held) -> Cell | None:
    """The worse of each print read with the other as its aim; the null is noise laid on each by itself."""
    observed = [worked_out(anchor.metric, one) for one in held.against]
    values = [worked.draws[0] for worked in observed if worked is not None]
    still = [worked_out(anchor.metric, one) for one in held.still]
    alike = [worked.draws[1:] for worked in still if worked is not None]
    if not values or not alike:
        return None
    sign = -1.0 if anchor.larger_is_better else 1.0
    worst = max(sign * value for value in values)
    worse = np.max([sign * draws for draws in alike], axis=0)
    p = (1 + float((worse >= worst - 1e-12).sum())) / (1 + worse.size)
    large = bool(worst > sign * anchor.at[1])
    return Cell(p, large, instrument.metric_words(anchor.metric))


def _graded(anchor: Anchor, held: _Held, tables: Tables) -> Cell | None:
    """A metric of one print: the difference of grades, against what noise alone would make of it."""
    one, other = (worked_out(anchor.metric, own) for own in held.own)
    still = worked_out(anchor.metric, held.first_drawn)
    if one is None or other is None or still is None:
        return None
    apart = abs(float(anchor.grade(other.draws[0])) - float(anchor.grade(one.draws[0])))
    noise = np.abs(anchor.grade(still.draws[1:]) - anchor.grade(still.draws[0]))
    p = (1 + float((noise >= apart - 1e-12).sum())) / (1 + noise.size) if apart > 0 else 1.0
    return Cell(p, apart >= tables["grade_apart"], instrument.metric_words(anchor.metric))


def _key(kind: str, tables: Tables) -> Sequence[Anchor]:
    return [
        anchor
        for anchor in tables.of_kind(kind)
        if anchor.key and kind not in anchor.pair_only and anchor.metric in CATALOGUE
    ]
