"""The nouns of Compare: grades of several prints side by side, and what each pair differs in."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from evaluation.judgement.opinion import Agreement, Inputs, Weighing
from evaluation.judgement.two_prints import Difference
from evaluation.session import PrintingCondition, Session
from evaluation.sheet.layout import Sheet

By = Literal["combined", "eye", "instrument"]
Pair = tuple[int, int]  # two sessions, the smaller number first
Differences = Mapping[Pair, tuple[Difference, ...]]


@dataclass(frozen=True, slots=True)
class Value:
    """The grades of one session in one region, as far as they may be shown.

    Where eye and readings disagree there is no number to compare, and none is here.
    """

    combined: float | None
    eye: float | None
    instrument: float | None
    agreement: Agreement

    def grade(self, by: By = "combined") -> float | None:
        return {"combined": self.combined, "eye": self.eye, "instrument": self.instrument}[by]


@dataclass(frozen=True, slots=True)
class PrintColumn:
    """One session: how it was printed, its grades by region id, its verdicts by use.

    hours  age of the print when it was looked at last, or None: not known
    skins  dCh that its skins move beyond real skin, under the worst of the lights; None: not known
    skins_spread  one standard error of that; None: not known
    beside  sessions whose accepted prints lay beside it when it was graded
    """

    session: int
    condition: PrintingCondition
    values: Mapping[str, Value]
    verdicts: Mapping[str, str]
    hours: float | None = None
    skins: float | None = None
    skins_spread: float | None = None
    beside: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class RegionRow:
    """A region of any of the sheets compared; `number` is None where they number it otherwise, or not."""

    id: str
    title: str
    kind: str
    number: int | None


@dataclass(frozen=True, slots=True)
class Matrix:
    """All that a comparison shows. `waiting` counts what has not been worked out yet.

    differences  by pair, in the order of `rows`; pairs that were not compared are missing
    weights      of the kinds of region for each use
    coverage     share of a use's weight that must have been compared, as for a verdict
    beside       what came of rounds in which some of these prints lay beside each other, in sentences
    """

    base: int
    rows: tuple[RegionRow, ...]
    columns: tuple[PrintColumn, ...]
    differences: Differences
    weights: Mapping[str, Mapping[str, float]]
    coverage: float
    caveats: tuple[str, ...] = ()
    unweighed: tuple[int, ...] = ()
    missing: tuple[Pair, ...] = ()
    beside: tuple[str, ...] = ()

    def column(self, session_id: int) -> PrintColumn:
        return next(column for column in self.columns if column.session == session_id)

    def difference(self, region_id: str, a: int, b: int) -> Difference | None:
        """What b differs from a in a region; None where the pair was not compared."""
        for found in self.differences.get(pair(a, b), ()):
            if found.region == region_id:
                return found if found.a == a else turned(found)
        return None


@dataclass(frozen=True, slots=True, eq=False)
class ComparedSession:
    """A session on the table: what its weighing rests on, and that weighing where it is known already."""

    session: Session
    sheet: Sheet
    inputs: Inputs
    weighing: Weighing | None = None
    open: frozenset[str] = field(default_factory=frozenset)


def pair(a: int, b: int) -> Pair:
    """Two sessions as the key of a comparison, the smaller number first."""
    return (a, b) if a < b else (b, a)


def turned(found: Difference) -> Difference:
    """The same difference seen from the other print."""
    return replace(
        found,
        a=found.b,
        b=found.a,
        difference=None if found.difference is None else -found.difference,
        graded=found.graded[::-1],
        viewings=found.viewings[::-1],
    )
