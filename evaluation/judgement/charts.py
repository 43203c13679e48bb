"""The nouns of profiling data: a chart, two of them side by side, some of its patches read again."""

from dataclasses import dataclass
from typing import Literal

from evaluation.judgement.charts_offered import Offered
from evaluation.readings.chart import ChartFacts
from evaluation.readings.run import Run
from evaluation.readings.run_comparison import RunComparison
from evaluation.session import Session

Word = Literal["alike", "measured", "large"]


@dataclass(frozen=True, slots=True, eq=False)
class ChartsCompared:
    """Two charts over the patches both hold: `against` is the second less the first.

    within_sheets  no more than two sheets of one setting may differ by, which repeats on one cannot show
    """

    against: RunComparison
    condition: str
    word: Word
    within_sheets: bool


@dataclass(frozen=True, slots=True, eq=False)
class Again:
    """Some of a chart's patches, read again later."""

    run: Run
    compared: ChartsCompared


@dataclass(frozen=True, slots=True, eq=False)
class OfSession:
    """What the profiling data of a session shows.

    chart    of its largest file, None without one
    again    some of its patches read later, oldest first
    others   names of files read earlier, or with no patch in common under one measurement condition
    """

    session: Session
    chart: ChartFacts | None
    again: tuple[Again, ...]
    others: tuple[str, ...]
    offered: tuple[Offered, ...]


@dataclass(frozen=True, slots=True, eq=False)
class ChartPair:
    """The charts of two sessions; `compared` is None where they share no patch under one condition."""

    a: int
    b: int
    compared: ChartsCompared | None
