"""Sentences of findings are made of every viewing, every pair and every patch that stands beside them."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluation.judgement import voices
from evaluation.judgement.opinion import Finding, Weighing
from evaluation.judgement.tables import load_tables
from evaluation.judgement.weigh import weigh
from evaluation.readings.run import Repeats
from evaluation.session import Cast, Count, Grade, Place, Session, YesNo
from evaluation.sheet.layout import Sheet
from evaluation.sheet.load import map_text, read_map
from evaluation.telling import grades
from evaluation.telling.weighing import WORDS
from tests.judgement.prints import Promise

REPEATS = Repeats(np.eye(3) * 0.1**2, 0.15, 0.3, 0.4, 40, 20)


class Small(Promise):
    """A profile whose gamut ends at C* 40: every stronger aim lies outside, and is printed at C* 40."""

    def all(self) -> np.ndarray:
        lab = super().all()
        chroma = np.hypot(lab[:, 1], lab[:, 2])
        return lab * np.column_stack([np.ones(len(lab)), *[np.minimum(1, 40 / np.maximum(chroma, 1))] * 2])

    def inside(self, aim: np.ndarray) -> Any:
        return np.hypot(aim[:, 1], aim[:, 2]) <= 40


@pytest.fixture
def judged(room: Any, colour_4: Sheet) -> Any:
    """Weigh viewings and a print that is exactly what its profile expects, or other readings by patch id."""

    def run(
        *viewings: Any, promise: Any = None, promised: bool = True, lab: Any = None, **more: Any
    ) -> Weighing:
        promise = promise or Promise(colour_4, paper_lab=np.array([100.0, 0.0, 0.0]))
        rows = {patch.id: tuple(row) for patch, row in zip(colour_4.patches, promise.all(), strict=True)}
        taken = replace(room.taken(colour_4, rows if lab is None else lab(rows)), repeats=REPEATS)
        condition = {"intent": "relative colorimetric", "black_point_compensation": True}
        session = room.session(*viewings, **(condition | more.pop("condition", {})))
        return weigh(
            session, colour_4, more.pop("takens", [taken]), room.tables,
            expected=promise if promised else None, words=WORDS, **more,
        )  # fmt: skip

    return run


def of(weighing: Weighing, region: str) -> Finding:
    return next(row for row in weighing.findings if row.region == region)


def all_five(sheet: Sheet, **grades: int) -> dict[tuple[str, str], Any]:
    return {(region.id, "overall"): Grade(grades.get(region.id, 5)) for region in sheet.regions}


def test_no_fault_is_said_where_every_viewing_said_so(judged: Any, room: Any, colour_4: Sheet) -> None:
    once = of(judged(room.viewing(all_five(colour_4))), "skin")
    assert once.why == "No fault seen. The readings lie on their aim."
    twice = judged(room.viewing(all_five(colour_4)), room.viewing(all_five(colour_4), ordinal=2))
    assert of(twice, "skin").why.startswith("No fault seen in 2 viewings. ")
    both = judged(
        room.viewing(all_five(colour_4)), room.viewing(all_five(colour_4), ordinal=2, observer="another")
    )
    assert of(both, "skin").why.startswith("No fault seen by 2 observers. ")


@pytest.mark.parametrize(
    "lower",
    [
        {("skin", "hue"): Cast((("deep", "red", "just"),))},
        {("skin", "strength"): Grade(4)},
        {("skin", "texture"): Grade(3)},  # no reading stands beside this question
    ],
)
def test_one_answer_below_five_is_no_region_without_fault(
    judged: Any, room: Any, colour_4: Sheet, lower: Any
) -> None:
    why = of(judged(room.viewing(all_five(colour_4) | lower)), "skin").why
    assert "No fault seen" not in why
    assert "the lowest answer is " in why


def test_a_fault_that_was_named_is_no_region_without_fault(judged: Any, room: Any, colour_4: Sheet) -> None:
    row = of(judged(room.viewing(all_five(colour_4), faults=(("skin", "blotchy"),))), "skin")
    assert "No fault" not in row.why


def test_viewings_that_differ_are_told_grade_by_grade(judged: Any, room: Any, colour_4: Sheet) -> None:
    first, second = room.viewing(all_five(colour_4)), room.viewing(all_five(colour_4, skin=4), ordinal=2)
    assert of(judged(first, second), "skin").why.startswith("Graded 5 and 4 in 2 viewings. ")


def test_a_viewing_that_does_not_count_is_told_beside(judged: Any, room: Any, colour_4: Sheet) -> None:
    led = room.viewing(all_five(colour_4, skin=2), ordinal=2, after_reveal=True)
    why = of(judged(room.viewing(all_five(colour_4)), led), "skin").why
    assert why.startswith("Graded 5, and 2 in a viewing that does not count. ")


def test_two_observers_who_differ_are_never_one_voice(judged: Any, room: Any, colour_4: Sheet) -> None:
    """4 and 3 are not 3.5: nobody said that."""
    one = room.viewing(all_five(colour_4, skin=3), observer="A. N. Other")
    other = room.viewing(all_five(colour_4, skin=2), observer="Somebody", ordinal=2)
    row = of(judged(one, other), "skin")
    assert row.agreement == "disagree"
    assert row.why.startswith(
        "Eye 3 by observer 1 and 2 by observer 2, readings 5.0: further apart than their spreads explain. "
    )
    assert "2.5" not in row.why and "Other" not in row.why


def test_an_answer_that_disagrees_is_told_by_observer(judged: Any, room: Any, colour_4: Sheet) -> None:
    one = room.viewing(all_five(colour_4, skin=4) | {("skin", "strength"): Grade(3)})
    other = room.viewing(
        all_five(colour_4, skin=4) | {("skin", "strength"): Grade(1)}, observer="another", ordinal=2
    )
    row = of(judged(one, other), "skin")
    assert row.agreement == "disagree"
    assert "right strength?” Eye 3 by observer 1 and 1 by observer 2, readings 5.0: further" in row.why


def test_patches_outside_the_gamut_are_counted_out_loud(judged: Any, room: Any, colour_4: Sheet) -> None:
    promise = Small(colour_4, paper_lab=np.array([100.0, 0.0, 0.0]))
    row = of(judged(room.viewing(all_five(colour_4, saturation=4)), promise=promise), "saturation")
    aims = Promise(colour_4).all()
    own = [k for k, patch in enumerate(colour_4.patches) if patch.region == "saturation"]
    outside = int((np.hypot(aims[own, 1], aims[own, 2]) > 40).sum())
    assert 0 < outside < len(own)
    assert (
        f"{len(own) - outside} of {len(own)} patches count; {outside} lie outside the gamut, by up to"
        in row.why
    )
    assert "nothing" not in row.why.lower()


def test_what_was_not_read_is_counted_out_loud(judged: Any, room: Any, colour_4: Sheet) -> None:
    """Half a scale read is no scale without fault."""

    def half(rows: dict[str, Any]) -> dict[str, Any]:
        return {
            name: lab for name, lab in rows.items() if not (name.startswith("N") and int(name[1:]) % 2 == 0)
        }

    why = of(judged(room.viewing(all_five(colour_4)), lab=half), "neutral").why
    assert why.endswith("11 of 21 patches count; 10 were not read.")


def test_readings_that_cannot_be_used_are_not_called_missing(judged: Any, room: Any, colour_4: Sheet) -> None:
    unmanaged = replace(
        room.taken(colour_4, {"N01": (5.0, 0, 0), "N05": (30.0, 0, 0)}, printed_as="unmanaged")
    )
    seen = judged(room.viewing(all_five(colour_4)), takens=[unmanaged])
    assert of(seen, "neutral").why == "No fault seen. It was read, but no reading can be used."
    assert of(seen, "skin").why == "No fault seen. Nothing was read here."


def test_readings_without_a_grade_are_not_called_missing(judged: Any, room: Any, colour_4: Sheet) -> None:
    """A perceptual print without what its profile expects: skin was read, and nothing of it can be graded."""
    seen = room.viewing(all_five(colour_4))
    row = of(judged(seen, condition={"intent": "perceptual"}, promised=False), "skin")
    assert row.instrument is None
    assert row.why == "No fault seen. 24 of 24 patches were read; none of their metrics is graded here."


def test_a_region_that_only_the_newest_viewing_has_not_graded_is_not_called_unseen(
    judged: Any, room: Any, colour_4: Sheet
) -> None:
    first = room.viewing(all_five(colour_4, skin=2))
    second = room.viewing({("neutral", "overall"): Grade(5)}, ordinal=2)
    weighing = judged(first, second, looked=frozenset({"neutral"}))
    assert of(weighing, "skin").why == "Viewing 2 has not graded it yet; its readings stay out of sight."
    bare = judged(first, second, looked=frozenset({"neutral"}), takens=[])
    assert of(bare, "skin").why == "Viewing 2 has not graded it yet, and nothing was read."


def test_answers_without_a_grade_are_not_called_no_look(judged: Any, room: Any, colour_4: Sheet) -> None:
    begun = room.viewing({("skin", "texture"): Grade(2)})
    assert of(judged(begun, looked=frozenset()), "skin").why.startswith("Not graded yet; ")


def test_a_number_that_is_not_graded_is_told_where_it_is_off(judged: Any, room: Any) -> None:
    """A crossover has a question of its own and no part in the grade."""
    sheet = read_map(map_text("mono-7"), "mono-7")
    promise = Promise(sheet, paper_lab=np.array([100.0, 0.0, 0.0]))
    rows = {patch.id: row.copy() for patch, row in zip(sheet.patches, promise.all(), strict=True)}
    neutral = next(region for region in sheet.regions if region.kind == "mono_neutral")
    for k, name in enumerate(neutral.patch_ids):
        rows[name][2] += 1.5 if k < 10 else -1.5
    taken = replace(room.taken(sheet, {name: tuple(lab) for name, lab in rows.items()}), repeats=REPEATS)
    session = room.session(room.viewing({(neutral.id, "overall"): Grade(4)}))
    row = of(weigh(session, sheet, [taken], room.tables, expected=promise, words=WORDS), neutral.id)
    turn = next(metric for metric in row.metrics if metric.name == "crossover")
    assert turn.value > 2
    assert (
        f"Not in the grade: the cast changes along the scale, {turn.where}: {turn.value:.1f} dCh." in row.why
    )


GRADES = st.integers(1, 5)


@given(st.lists(st.tuples(st.sampled_from("abcd"), GRADES, GRADES), min_size=1, max_size=5))
def test_words_of_the_eye_hold_for_every_viewing(said: list[tuple[str, int, int]]) -> None:
    """Whoever looked, and however often: "no fault" means all fives, and each extreme grade is named."""
    sheet = read_map(map_text("colour-4"), "colour-4")
    region = sheet.region("skin")
    session = viewed(said)
    told = grades.told(voices.voices(session, region, {}, load_tables()))
    lowest = min(min(whole, texture) for _, whole, texture in said)
    assert told.startswith("No fault seen") == (lowest == 5)
    if len(said) == 1 and lowest < 5 and said[0][2] >= said[0][1]:
        assert told == "", "the one grade stands beside it"
    if lowest < 5 and (len(said) > 1 or said[0][2] < said[0][1]):
        for extreme in (min, max):
            assert str(extreme(whole for _, whole, _ in said)) in told
        assert str(lowest) in told


def viewed(said: list[tuple[str, int, int]]) -> Session:
    from tests.judgement.conftest import NOW, Room

    made = Room(None)  # type: ignore[arg-type]  # no table is asked
    viewings = [
        made.viewing(
            {("skin", "overall"): Grade(whole), ("skin", "texture"): Grade(texture)}, observer=who, ordinal=k
        )
        for k, (who, whole, texture) in enumerate(said, 1)
    ]
    assert NOW
    return made.session(*viewings)


@pytest.mark.parametrize(
    ("value", "grade"),
    [
        (Place(()), 5.0),
        (Place((("sky", None),)), 4.0),
        (YesNo(False), 3.0),
        (Count(0), 1.0),
        (Count(7), None),
    ],
)
def test_answers_without_a_reading_beside_them(value: Any, grade: float | None) -> None:
    """Project's own choice."""
    assert voices.plainly(value, load_tables()) == grade
