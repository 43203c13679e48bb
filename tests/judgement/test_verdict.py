"""Verdicts by draws. Worked examples are COMPUTED from the limits, which are the project's own choice."""

from collections.abc import Mapping
from typing import Any

import pytest

from evaluation.judgement.opinion import Finding, Opinion
from evaluation.judgement.verdict import verdict

GENERAL = (
    "neutral",
    "ring",
    "shadow",
    "highlight",
    "skin",
    "saturation",
    "gradient",
    "detail",
    "tints",
    "picture",
)


def findings(grade: float = 4.0, spread: float = 0.35, **others: float) -> tuple[Finding, ...]:
    """A general print, every region at `grade` but for some."""
    return tuple(found(kind, others.get(kind, grade), spread) for kind in GENERAL)


def found(kind: str, grade: float | None, spread: float = 0.35, **more: Any) -> Finding:
    combined = None if grade is None else Opinion(grade, spread, 1, "")
    return Finding(kind, kind.title(), kind, combined, None, "eye only", combined, "Why.", viewings=1, **more)


def judged(room: Any, rows: tuple[Finding, ...], use: str = "general", serious: tuple[str, ...] = ()) -> Any:
    return verdict(room.tables.uses[use], rows, serious, room.tables)


def test_all_fours_are_accepted(room: Any) -> None:
    result = judged(room, findings())
    assert result.verdict == "accepted"
    assert result.share > 0.8
    assert result.reasons == ()


def test_a_key_region_at_two_is_not_accepted_though_the_mean_is_fine(room: Any) -> None:
    """A weighted mean hides failures: six 5s and a 1 have a mean of 4.43 (COMPUTED)."""
    assert pytest.approx(4.43, abs=0.005) == (6 * 5 + 1) / 7
    result = judged(room, findings(5.0, skin=2.0))
    assert result.verdict == "not accepted"
    assert result.reasons[0].startswith("Skin 2.0")
    assert len(result.reasons) == 1


def test_stricter_limits_would_leave_all_fours_undecided(room: Any) -> None:
    """With 3.75 for key regions and 4 for the mean (COMPUTED)."""
    from evaluation.judgement.tables import load_tables

    strict = load_tables("[thresholds]\naccepted_key = 3.75\naccepted_mean = 4.0\n")
    assert verdict(strict.uses["general"], findings(), (), strict).verdict == "undecided"


def test_a_serious_item_left_open_keeps_it_to_remarks(room: Any) -> None:
    result = judged(room, findings(4.6), serious=("viewing light",))
    assert result.verdict == "accepted with remarks"
    assert result.reasons == ("Not done when judged: viewing light.",)


def test_a_weak_minor_region_is_a_remark(room: Any) -> None:
    result = judged(room, findings(4.6, 0.3, tints=1.6))
    assert result.verdict == "accepted with remarks"
    assert result.reasons[0].startswith("Tints 1.6")


def test_an_ungraded_key_region_is_incomplete(room: Any) -> None:
    rows = tuple(found(k, None) if k == "skin" else found(k, 4.5) for k in GENERAL)
    result = judged(room, rows)
    assert result.verdict == "incomplete"
    assert result.share is None
    assert result.reasons == ("Key regions without a grade: skin.",)


def test_less_than_four_fifths_of_the_weight_is_incomplete(room: Any) -> None:
    rows = tuple(found(k, 4.5 if k in ("neutral", "shadow", "skin", "saturation") else None) for k in GENERAL)
    result = judged(room, rows)
    assert result.verdict == "incomplete"
    assert result.reasons == ("The regions graded carry 60 % of the weight; 80 % are needed.",)


def test_four_regions_are_too_few_for_every_use(room: Any) -> None:
    rows = tuple(found(k, 5.0) for k in ("neutral", "shadow", "skin", "saturation"))
    assert {judged(room, rows, use).verdict for use in room.tables.uses} == {"incomplete"}


def test_a_key_region_in_disagreement_is_undecided(room: Any) -> None:
    eye, instrument = Opinion(2.0, 0.5, 1, ""), Opinion(3.9, 0.5, 9, "")
    parted = Finding(
        "shadow", "Shadow detail", "shadow", eye, instrument, "disagree", None, "Why.", viewings=1
    )
    rows = tuple(parted if row.kind == "shadow" else row for row in findings(4.5))
    result = judged(room, rows)
    assert result.verdict == "undecided"
    assert result.reasons == ("Shadow detail: eye and readings disagree, and it is a key region.",)
    assert result.would_decide == "Looking at shadow detail again, or reading it again, would decide it."


def test_the_region_that_would_decide_is_the_one_on_the_edge(room: Any) -> None:
    result = judged(room, findings(4.8, 0.3, skin=3.2))
    assert result.verdict == "undecided"
    assert result.would_decide == "A second look at skin would decide it."
    assert result.share < 0.8


def test_two_regions_of_a_kind_share_its_weight(room: Any) -> None:
    twice = (*findings(4.5), found("neutral", 4.5))
    assert judged(room, twice).verdict == judged(room, findings(4.5)).verdict


def test_the_same_grades_have_the_same_verdict(room: Any) -> None:
    assert judged(room, findings(3.6)) == judged(room, findings(3.6))


def test_uses_weigh_the_same_print_differently(room: Any) -> None:
    grades: Mapping[str, float] = {"skin": 2.0}
    rows = findings(4.8, 0.3, **grades)
    assert judged(room, rows, "portrait").verdict == "not accepted"
    assert judged(room, rows, "landscape").verdict == "accepted"


def test_a_print_that_is_not_dry_is_read_again_once_it_is(room: Any) -> None:
    eye, instrument = Opinion(2.0, 0.5, 1, ""), Opinion(3.9, 0.5, 9, "")
    parted = Finding(
        "shadow", "Shadow detail", "shadow", eye, instrument, "disagree", None, "Why.", viewings=1
    )
    rows = tuple(parted if row.kind == "shadow" else row for row in findings(4.5))
    result = judged(room, rows, serious=("dry",))
    assert result.would_decide == (
        "Looking at shadow detail again, or reading it again once dry, would decide it."
    )
