"""No number is shown finer than its spread allows: two significant digits of the spread."""

import math
import re
from pathlib import Path

import pytest

from evaluation.archive.connection import open_archive
from evaluation.telling.metrics import telling
from evaluation.telling.numbers import Rounded, measured
from evaluation.work.bench import Bench
from evaluation.work.weigh import weigh
from tui.screens.weigh.opened import metric_page
from tui.widgets.lines import text_of


def finest(spread: float) -> float:
    """The second significant digit of a spread, as a step: 0.1 of 1.4, 0.01 of 0.14."""
    return float(10 ** (math.floor(math.log10(spread)) - 1))


@pytest.mark.long
def test_metrics_of_the_demo_are_shown_no_finer_than_their_spread(finished: Path) -> None:
    seen = 0
    with open_archive(finished) as archive:
        for session in range(1, 7):
            for finding in weigh.weigh(Bench(archive), session).findings:
                page = [text_of(line) for line in metric_page(finding, 120)]
                for metric in finding.metrics:
                    if not metric.spread:
                        continue
                    line = next(one for one in page if one.strip().startswith(telling(metric.name).name))
                    shown = re.search(r"(-?\d+(?:\.\d+)?) ", line[45:])
                    assert shown is not None, line
                    places = len(shown[1].partition(".")[2])
                    assert 10.0**-places >= finest(metric.spread) * 0.999, (
                        metric.name,
                        shown[1],
                        metric.spread,
                    )
                    value, _, spread = measured(metric.value, metric.spread).partition(" ± ")
                    if spread:
                        assert len(value.partition(".")[2]) == len(spread.partition(".")[2])
                    seen += 1
    assert seen > 40


def test_sentences_take_their_digits_from_the_spread() -> None:
    told = "off by {value:.1f} L*"
    assert told.format(value=Rounded(12.34, 14.0)) == "off by 12 L*"
    assert told.format(value=Rounded(12.34, 0.2)) == "off by 12.3 L*"
    assert f"{Rounded(-3.0, 1.26):>8.2f}" == "    -3.0"
