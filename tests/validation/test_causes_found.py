"""Faults of the printer model are named, sound prints name nothing: drawn when asked for.

By default `tests/judgement` holds causes, and the digests of `tests/work/rules.txt` those of the demo.
"""

from functools import cache

import numpy as np
import pytest

from tests.validation import confusion
from tests.validation.confusion import ASTRAY, DOCUMENT, WORTH, Told, share
from tests.validation.draws import CAUSES, LUSTRE, RAG, REPORTED, TABLES, TUNING, Drawn, drawn


@cache
def quick(cause: str, paper: str, strength: float) -> Drawn:
    return drawn(cause, paper, TUNING.start + 901, strength)


def test_seeds_of_the_report_are_never_those_of_tuning() -> None:
    assert not set(TUNING) & set(REPORTED)


def test_the_faults_are_those_of_the_promise() -> None:
    assert set(CAUSES) == {f"c{k:02}" for k in (*range(1, 9), 10, 12, *range(15, 19), *range(21, 25))}


@pytest.mark.long
@pytest.mark.parametrize("paper", [LUSTRE, RAG])
def test_a_sound_print_names_no_cause(paper: str) -> None:
    one = quick("", paper, 0.0)
    assert one.named == ()
    assert all(
        finding.instrument is None or finding.instrument.grade > 4.5 for finding in one.weighing.findings
    )


GROSS = ("c01", "c02", "c06", "c07", "c08", "c12", "c15", "c21", "c22", "c23")


@pytest.mark.long
@pytest.mark.parametrize("cause", GROSS)
def test_a_gross_fault_ranks_first_or_second(cause: str) -> None:
    one = quick(cause, LUSTRE, 0.9)
    assert one.above and one.looked_for
    assert one.found, one.named


@pytest.mark.long
def test_a_draw_is_the_same_every_time() -> None:
    seed = TUNING.start + 5
    first, again = (drawn("c06", LUSTRE, seed) for _ in range(2))
    assert first.named == again.named and first.strength == again.strength
    assert first.weighing.findings == again.weighing.findings


@pytest.mark.long
def test_the_table_tells_found_missed_and_astray(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        confusion, "spread_of", lambda paper: 2.0
    )  # which takes a hundred sheets of each paper
    rows = [
        Told("c06", "lustre", "", 0.9, True, True, True, ("c06",), ("c06",)),
        Told("c06", "lustre", "", 0.5, True, True, True, ("c07",), ("c07", "c06")),
        Told("c06", "matt", "", 0.3, True, False, False, (), ("c06",)),
        Told("c07", "matt", "", 0.1, False, False, True, ("c06",), ()),
        Told("", "matt", "", 0.0, False, False, False, (), ()),
    ]
    page = confusion.document(rows)
    assert (
        "| faults above the repeat spread, ranked first or second: 95 % | 3 | 1, 33.3 % | 3, 100.0 % |"
        in page
    )
    assert "| of these, the visible ones | 2 | 1, 50.0 % | 2, 100.0 % |" in page
    assert "| of these, measured only | 1 | 0, 0.0 % | 1, 100.0 % |" in page
    assert (
        "| weaker faults for which another cause is named: at most 2 % | 1 | 1, 100.0 % | 0, 0.0 % |" in page
    )
    assert "- c06: 1 of 3 found, 3 by own spreads. For 1 of the 2 missed no cause was named" in page


def test_causes_are_looked_for_below_a_grade_of_four() -> None:
    assert TABLES["cause_below"] == 4.0


@pytest.mark.long
def test_the_confusion_table() -> None:
    """Writes CONFUSION.md, then holds it to what is promised of the likely causes."""
    rows = confusion.drawn_all(REPORTED, confusion.DRAWS, confusion.FAINT, confusion.SOUND)
    DOCUMENT.write_text(confusion.document(rows), encoding="utf-8")
    sound = [row for row in rows if not row.cause]
    above = [row for row in rows if row.cause and row.above and not row.faint]
    weak = [row for row in rows if row.cause and not row.above]
    assert all(row.worst > 4.5 for row in sound)
    assert np.divide(*share(sound, lambda row: not row.named)) >= 0.98
    assert np.divide(*share(sound, lambda row: not row.by_own)) >= 0.98
    assert not any("c09" in (*row.named, *row.by_own) for row in sound if row.paper == "matt")
    assert np.divide(*share(above, lambda row: row.found)) >= WORTH
    assert np.divide(*share(above, lambda row: row.found_by_own)) >= WORTH
    for names in ("named", "by_own"):
        astray, of = share(weak, lambda row, names=names: bool(set(getattr(row, names)) - {row.cause}))
        assert astray <= ASTRAY * of
