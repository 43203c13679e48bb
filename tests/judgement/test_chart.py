"""Weighing published data: the 24-patch chart of ISO 17321-1, its CIELAB as aims and as readings.

Source: reflectances of ISO 17321-1:2012 as held in colour-science 0.4.7, CIELAB by ASTM E308 weights
(COMPUTED; the passport stands in chart-24.toml).
"""

from typing import Any

import pytest

from evaluation.judgement.opinion import Finding, Weighing
from evaluation.judgement.weigh import weigh
from evaluation.session import Grade
from evaluation.sheet.layout import Sheet
from evaluation.telling.weighing import WORDS

Lab = dict[str, tuple[float, float, float]]


@pytest.fixture
def lab(chart: Sheet) -> Lab:
    return {patch.id: patch.aim_lab for patch in chart.patches if patch.aim_lab}


def weighed(room: Any, chart: Sheet, lab: Lab) -> Weighing:
    answers = {(region.id, "overall"): Grade(5) for region in chart.regions}
    session = room.session(room.viewing(answers))
    return weigh(session, chart, [room.taken(chart, lab)], room.tables, words=WORDS)


def by_region(weighing: Weighing) -> dict[str, Finding]:
    return {finding.region: finding for finding in weighing.findings}


def test_the_instrument_grades_every_region_five(room: Any, chart: Sheet, lab: Lab) -> None:
    found = by_region(weighed(room, chart, lab))
    assert {name: finding.instrument.grade for name, finding in found.items() if finding.instrument} == {
        "neutral": 5.0,
        "skin": 5.0,
        "saturation": 5.0,
    }


@pytest.mark.parametrize("patch", ["20", "21", "22", "23"])
def test_one_grey_lighter_by_three_lowers_only_the_neutral_region_and_is_named(
    room: Any, chart: Sheet, lab: Lab, patch: str
) -> None:
    L, a, b = lab[patch]
    found = by_region(weighed(room, chart, lab | {patch: (L + 3, a, b)}))
    neutral = found["neutral"].instrument
    assert neutral is not None
    assert 4.5 <= neutral.grade <= 4.8
    assert found["skin"].instrument is not None and found["skin"].instrument.grade == 5
    assert found["saturation"].instrument is not None and found["saturation"].instrument.grade == 5
    assert chart.patch(patch).name in found["neutral"].why
    assert "uneven" in found["neutral"].why


def test_a_whole_chart_read_on_a_yellow_paper_is_still_right_in_colour(
    room: Any, chart: Sheet, lab: Lab
) -> None:
    """Both sides are scaled by their own paper: skin and saturation see no difference, whatever the paper."""
    from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab

    yellow = {
        name: tuple(float(v) for v in lab_from_xyz(xyz_from_lab(value) * [0.97, 0.95, 0.80]))
        for name, value in lab.items()
    }
    found = by_region(weighed(room, chart, yellow))
    for region in ("skin", "saturation"):
        instrument = found[region].instrument
        assert instrument is not None and instrument.grade == 5


def test_the_same_session_weighs_the_same_twice(room: Any, chart: Sheet, lab: Lab) -> None:
    """Draws are seeded from the readings."""
    L, a, b = lab["21"]
    moved = lab | {"21": (L + 3, a, b)}
    assert weighed(room, chart, moved) == weighed(room, chart, moved)


def test_readings_of_regions_that_may_not_be_shown_are_not_computed(
    room: Any, chart: Sheet, lab: Lab
) -> None:
    session = room.session()
    weighing = weigh(session, chart, [room.taken(chart, lab)], room.tables, looked=frozenset())
    assert {finding.agreement for finding in weighing.findings} == {"not graded yet"}
    assert all(finding.instrument is None and not finding.metrics for finding in weighing.findings)


def test_black_taken_from_the_print_itself_is_said(room: Any, chart: Sheet, lab: Lab) -> None:
    caveats = weighed(room, chart, lab).caveats
    assert "Black level taken from this print: its density is not judged." in caveats
