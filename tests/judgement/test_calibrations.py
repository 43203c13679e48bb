"""Calibrations of an observer: read from the settings, used in verdicts and named there."""

from typing import Any

import pytest

from evaluation.errors import SheetProblem
from evaluation.judgement import calibrations
from evaluation.judgement.caveats import calibrated
from evaluation.judgement.opinion import Lean
from evaluation.judgement.tables import load_tables
from evaluation.session import Grade
from evaluation.telling.caveats import caveat

BOOTH = """[calibrations."Ann, booth"]
observer = "observer 1"
made = 2026-03-09
lean = -0.42
error = 0.11
regions = 31
sessions = ["a", "b", "c"]
"""


def test_it_serves_the_sessions_of_its_observer_and_is_named_there(room: Any) -> None:
    tables = load_tables(BOOTH)
    assert tables.digest != load_tables().digest and tables.overridden == ("calibrations.Ann, booth",)
    own = room.session(room.viewing({("skin", "overall"): Grade(4)}))
    assert calibrations.of_session(own, tables) == (Lean("observer 1", -0.42, 0.11),)
    told = caveat(*calibrated(own, tables))
    assert "“Ann, booth” of 2026-03-09" in told and "-0.4 ± 0.1 grades" in told
    other = room.session(room.viewing({("skin", "overall"): Grade(4)}, observer="another"))
    assert calibrations.of_session(other, tables) == () == calibrated(other, tables)
    assert calibrations.spread_of(own, tables) == tables["region_spread"]
    wider = load_tables(BOOTH.replace("regions = 31", "regions = 31\nspread = 0.72"))
    assert (calibrations.spread_of(own, wider), calibrations.spread_of(other, wider)) == (0.72, 1.0)
    told = caveat(*calibrated(own, wider))
    assert "(31 regions), and the regions of a print spread by 0.7 grades. Where a single region" in told
    assert wider.digest != tables.digest


@pytest.mark.parametrize(
    ("line", "by", "wrong"),
    [
        ("made = 2026-03-09", 'made = "spring"', "made: expected a date"),
        ("lean = -0.42", "lean = -7", "lean: expected"),
        ("regions = 31", "regions = 31\nspread = 9", "spread: expected"),
        ("regions = 31", "regions = 31\nmood = 3", "mood: unknown key"),
        ("# end", BOOTH.replace("Ann, booth", "again"), "a calibration already"),
    ],
)
def test_a_mistake_is_named_by_its_key(line: str, by: str, wrong: str) -> None:
    with pytest.raises(SheetProblem, match=wrong):
        load_tables((BOOTH + "# end\n").replace(line, by))
