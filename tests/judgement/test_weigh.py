"""A session weighed: pairs of question and metric, sentences, caveats. Sheets and readings are made here."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import map_black, media_absolute
from evaluation.judgement import pairs
from evaluation.judgement.opinion import Finding, Weighing
from evaluation.judgement.weigh import weigh
from evaluation.readings.run import Repeats, Stated
from evaluation.session import Cast, Count, Grade, Pick, Place, Readiness, YesNo
from evaluation.sheet.aims import source_lab
from evaluation.sheet.layout import Sheet
from evaluation.sheet.load import map_text, read_map
from evaluation.telling.weighing import WORDS

PAPER = (95.1, 0.4, -5.2)  # a lustre paper with whitener; invented
Lab = dict[str, tuple[float, float, float]]
REPEATS = Repeats(np.eye(3) * 0.1**2, 0.15, 0.3, 0.4, 40, 20)


def printed(sheet: Sheet, density: float = 2.5, paper: tuple[float, float, float] = PAPER) -> Lab:
    """The sheet printed perfectly: black compensation to a black of that density, relative to paper."""
    xyz = map_black(xyz_from_lab(source_lab(sheet)), 0.0, 100 * 10**-density)
    lab = lab_from_xyz(media_absolute(xyz, xyz_from_lab(np.array(paper))))
    return {p.id: tuple(row) for p, row in zip(sheet.patches, lab.tolist(), strict=True)}  # type: ignore[misc]


@pytest.fixture
def judge(room: Any, colour_4: Sheet) -> Any:
    """Weigh viewings and readings of the sheet of four regions."""

    def run(*viewings: Any, lab: Lab | None = None, **more: Any) -> Weighing:
        condition = {"intent": "relative colorimetric", "black_point_compensation": True}
        session = room.session(*viewings, **(condition | more.pop("condition", {})))
        session = replace(session, **more.pop("session", {}))
        taken = replace(room.taken(colour_4, printed(colour_4) if lab is None else lab), repeats=REPEATS)
        takens = more.pop("takens", [taken])
        return weigh(session, colour_4, takens, room.tables, words=WORDS, **more)

    return run


def overall(sheet: Sheet, **grades: int) -> dict[tuple[str, str], Any]:
    return {(region.id, "overall"): Grade(grades.get(region.id, 5)) for region in sheet.regions}


def finding(weighing: Weighing, region: str) -> Finding:
    return next(row for row in weighing.findings if row.region == region)


def test_a_perfect_print_is_five_everywhere_on_glossy_and_matt(judge: Any, colour_4: Sheet) -> None:
    for density, paper in ((2.55, PAPER), (1.6, (96.8, 0.3, 1.2))):
        weighing = judge(lab=printed(colour_4, density, paper))
        for row in weighing.findings:
            assert row.instrument is not None
            assert row.instrument.grade == pytest.approx(5.0, abs=0.02), row


def test_a_region_with_both_is_combined_and_says_what_decided(judge: Any, room: Any, colour_4: Sheet) -> None:
    lab = printed(colour_4)
    for k in range(9, 15):  # the middle of the wedge leans to yellow
        L, a, b = lab[f"N{k:02d}"]
        lab[f"N{k:02d}"] = (L, a, b + 3.0)
    row = finding(judge(room.viewing(overall(colour_4, neutral=4)), lab=lab), "neutral")
    assert row.agreement == "agree"
    assert row.combined is not None and row.eye is not None and row.instrument is not None
    assert row.instrument.grade < row.combined.grade < row.eye.grade
    assert row.why.startswith("The greys of the mid-tones have a yellow cast, ")
    assert {metric.name for metric in row.metrics} >= {"cast_by_third", "evenness", "tone_shift", "crossover"}


def test_a_pair_apart_makes_the_region_disagree_though_the_grades_agree(
    judge: Any, room: Any, colour_4: Sheet
) -> None:
    viewing = room.viewing(overall(colour_4, shadow=4) | {("shadow", "first"): Count(9)})
    row = finding(judge(viewing), "shadow")
    pair = next(pair for pair in row.pairs if pair.question == "first")
    assert (pair.metric, pair.agree) == ("first_shadow_step", False)
    assert pair.eye < 3 < pair.instrument
    assert row.agreement == "disagree"
    assert row.combined is None
    assert "further apart than their spreads explain" in row.why
    assert "darkest figure" in row.why


def test_a_fault_that_no_metric_sees_leaves_the_eye_alone(judge: Any, room: Any, colour_4: Sheet) -> None:
    viewing = room.viewing(overall(colour_4, neutral=2), faults=(("neutral", "banding"),))
    row = finding(judge(viewing), "neutral")
    assert row.agreement == "eye only"
    assert row.combined == row.eye
    assert row.why.startswith("Readings cannot show banding, so the eye decides alone. ")
    assert row.faults == ("banding",)


def test_a_fault_that_a_metric_sees_leaves_both_to_speak(judge: Any, room: Any, colour_4: Sheet) -> None:
    viewing = room.viewing(overall(colour_4, neutral=2), faults=(("neutral", "cast"),))
    assert finding(judge(viewing), "neutral").agreement == "disagree"


def test_two_viewings_make_the_eye_surer(judge: Any, room: Any, colour_4: Sheet) -> None:
    once = finding(judge(room.viewing(overall(colour_4))), "skin").eye
    twice = finding(
        judge(room.viewing(overall(colour_4)), room.viewing(overall(colour_4), ordinal=2)), "skin"
    )
    assert once is not None and twice.eye is not None
    assert twice.viewings == 2
    assert twice.eye.spread < once.spread


def test_a_revealed_region_without_a_grade_is_the_instruments_alone(judge: Any) -> None:
    row = finding(judge(looked=frozenset({"skin"})), "skin")
    assert row.agreement == "instrument only"
    assert row.combined == row.instrument
    assert row.why == "The readings lie on their aim. Not graded by eye."


def test_regions_without_readings_are_the_eyes_alone(judge: Any, room: Any, colour_4: Sheet) -> None:
    weighing = judge(room.viewing(overall(colour_4)), takens=[])
    assert {row.agreement for row in weighing.findings} == {"eye only"}
    assert finding(weighing, "skin").why == "No fault seen. Nothing was read here."
    assert not any("Black level" in caveat for caveat in weighing.caveats)


def test_a_black_from_elsewhere_judges_a_print_with_too_little_ink(judge: Any, colour_4: Sheet) -> None:
    """Expected D 2.4, printed D 1.6: with its own black as the bar the shadows pass; with the expected one
    they are 15.3 L* off at the black (COMPUTED)."""
    thin = printed(colour_4, density=1.6)
    by_itself, by_profile = judge(lab=thin), judge(lab=thin, earlier_black=100 * 10**-2.4)
    assert any("Black level taken from this print" in caveat for caveat in by_itself.caveats)
    assert any("earlier accepted print" in caveat for caveat in by_profile.caveats)
    itself, earlier = finding(by_itself, "neutral"), finding(by_profile, "neutral")
    assert itself.instrument is not None and itself.instrument.grade > 4.9
    assert earlier.instrument is not None and earlier.instrument.grade < 4.5
    worst = next(metric for metric in earlier.metrics if metric.name == "tone_shift")
    assert worst.where == "step 1, grey L* 0"


def test_without_compensation_aims_below_the_black_are_out_of_reach(judge: Any, colour_4: Sheet) -> None:
    weighing = judge(lab=printed(colour_4, density=1.6), condition={"black_point_compensation": False})
    told = next(caveat for caveat in weighing.caveats if caveat.startswith("Out of reach"))
    assert "N01" in told and "S05" in told and "N12" not in told


def test_unmanaged_readings_never_judge_the_picture(judge: Any, room: Any, colour_4: Sheet) -> None:
    taken = room.taken(colour_4, printed(colour_4), printed_as="unmanaged")
    weighing = judge(room.viewing(overall(colour_4)), takens=[taken])
    assert {row.agreement for row in weighing.findings} == {"eye only"}
    assert any("unmanaged" in caveat for caveat in weighing.caveats)


def test_a_patch_read_again_later_counts_as_read_last(judge: Any, room: Any, colour_4: Sheet) -> None:
    wet = printed(colour_4)
    for k in range(1, 7):
        _, a, b = wet[f"S{k:02d}"]
        wet[f"S{k:02d}"] = (wet["S01"][0], a, b)
    first, second = datetime(2026, 1, 5, 1, tzinfo=UTC), datetime(2026, 1, 6, 6, tzinfo=UTC)
    early = room.taken(colour_4, wet, stated=Stated(condition="M1", measured_at=first))
    dry = room.taken(colour_4, printed(colour_4), stated=Stated(condition="M1", measured_at=second))
    alone = finding(judge(takens=[early]), "shadow").instrument
    both = finding(judge(takens=[early, dry]), "shadow").instrument
    assert alone is not None and both is not None
    assert alone.grade < 3
    assert both.grade > 4.4


def test_one_measurement_condition_judges(judge: Any, room: Any, colour_4: Sheet) -> None:
    """M1, M0, not stated, M2; M3 only for want of others."""
    blue = {name: (L, a, b - 8) for name, (L, a, b) in printed(colour_4).items()}
    runs = [
        room.taken(colour_4, blue, stated=Stated(condition="M2")),
        room.taken(colour_4, printed(colour_4), stated=Stated(condition="M1")),
    ]
    row = finding(judge(takens=runs), "neutral")
    assert row.instrument is not None and row.instrument.grade > 4.9
    assert row.instrument.count == 21


def test_a_drivers_black_and_white_has_no_aim_of_tone(judge: Any, colour_4: Sheet) -> None:
    names = {
        metric.name
        for metric in finding(judge(condition={"driver_mode": "black and white"}), "neutral").metrics
    }
    assert "tone_shift" not in names
    assert "evenness" in names


def test_perceptual_prints_are_not_graded_against_the_file_in_colour(judge: Any) -> None:
    weighing = judge(condition={"intent": "perceptual"})
    assert finding(weighing, "skin").instrument is None
    assert {metric.name for metric in finding(weighing, "saturation").metrics} == {"collapse_step"}
    assert {metric.name for metric in finding(weighing, "neutral").metrics} >= {"cast_by_third", "evenness"}


def test_a_wanted_tone_is_an_aim_and_no_fault(judge: Any, colour_4: Sheet) -> None:
    warm = {
        name: (L, a + 1.5 * (1 - L / 95.1), b + 4 * (1 - L / 95.1))
        for name, (L, a, b) in printed(colour_4).items()
    }
    wanted = {"tone_wanted": "warm"}
    blamed = finding(judge(lab=warm), "neutral")
    assert blamed.instrument is not None and blamed.instrument.grade < 4
    unknown = {metric.name for metric in finding(judge(lab=warm, condition=wanted), "neutral").metrics}
    assert "cast_by_third" not in unknown
    curve = np.array([warm[f"N{k:02d}"] for k in range(1, 22)])
    known = finding(judge(lab=warm, condition=wanted, tone=curve), "neutral")
    cast = next(metric for metric in known.metrics if metric.name == "cast_by_third")
    assert cast.value == pytest.approx(0.0, abs=0.01)


def test_what_was_not_said_travels_with_the_result(judge: Any, room: Any, colour_4: Sheet) -> None:
    now = datetime(2026, 1, 5, tzinfo=UTC)
    light = {"viewing_light": Readiness("done", now)}
    told = judge(
        room.viewing(overall(colour_4)), session={"readiness": light}, condition={"intent": None}
    ).caveats
    assert "Viewing light not measured: 2000 lx taken for what can be seen at both ends." in told
    assert "Backing of the readings not stated." in told
    assert "Rendering intent not stated: taken as relative colorimetric." in told
    assert any(caveat.startswith("Not done when judged: machine settled") for caveat in told)


def test_a_fresh_print_is_said_to_be_fresh(judge: Any, room: Any, colour_4: Sheet) -> None:
    printed_at = datetime(2026, 1, 5, tzinfo=UTC)
    stated = Stated(condition="M1", measured_at=printed_at + timedelta(minutes=25))
    taken = room.taken(colour_4, printed(colour_4), stated=stated)
    told = judge(room.viewing(overall(colour_4)), takens=[taken]).caveats
    assert "Read 25 min after printing; the wait is 24 h (unconfirmed), as a fresh print still moves." in told
    assert "The print was graded and read at different ages." in told


def stamped(room: Any, sheet: Sheet, at: datetime) -> Any:
    return room.taken(sheet, printed(sheet), stated=Stated(condition="M1", measured_at=at))


def test_readings_dated_before_printing_are_a_contradiction_and_no_age(
    judge: Any, room: Any, colour_4: Sheet
) -> None:
    """A file of a week before: one time is wrong, and nothing follows of how dry the print was."""
    taken = stamped(room, colour_4, datetime(2025, 12, 29, 4, 47, tzinfo=UTC))
    weighing = judge(room.viewing(overall(colour_4, skin=2)), takens=[taken])
    told = [caveat for caveat in weighing.caveats if "printing" in caveat]
    assert told == [
        "Read on 29 Dec 2025, 04:47 UTC, before the stated printing on 5 Jan 2026: one of the two "
        "times is wrong, so the print's age is not known."
    ]
    said = [words for cause in weighing.causes for words in (cause.text, *cause.evidence_for)]
    assert not any("dry" in words or "wait" in words for words in said)
    assert not any("dry" in words for cause in weighing.causes for words in cause.evidence_against)


def test_a_look_dated_before_printing_is_a_contradiction_too(judge: Any, room: Any, colour_4: Sheet) -> None:
    later = {"printed_at": datetime(2026, 1, 20, tzinfo=UTC)}
    told = judge(room.viewing(overall(colour_4)), takens=[], condition=later).caveats
    assert any(caveat.startswith("Looked at on 7 Jan 2026, 12:00 UTC, before the stated") for caveat in told)
    assert not any("after printing" in caveat or " ago" in caveat for caveat in told)


def test_a_file_that_states_the_day_alone_tells_a_span(judge: Any, room: Any, colour_4: Sheet) -> None:
    """Printed at 18:00, read on the same day: midnight is no time at which it was read."""
    same_day = {"printed_at": datetime(2026, 1, 5, 18, tzinfo=UTC)}
    taken = stamped(room, colour_4, datetime(2026, 1, 5, tzinfo=UTC))
    weighing = judge(takens=[taken], condition=same_day)
    assert (
        "Read 0 min to 6 h after printing, as the file gives only the day; the wait is 24 h (unconfirmed)."
        in (weighing.caveats)
    )
    assert not any("before the stated" in caveat for caveat in weighing.caveats)


def test_answers_led_by_the_readings_are_told(judge: Any, room: Any, colour_4: Sheet) -> None:
    told = judge(room.viewing(overall(colour_4), after_reveal=True)).caveats
    assert (
        "Answered after the readings were shown: Neutral greyscale, Shadow detail, Skin tones, Saturation."
        in told
    )


@pytest.mark.parametrize(
    ("metric", "region", "value", "grade"),
    [
        ("first_shadow_step", "shadow", Count(2), 5.0),  # source L* 1.6
        ("first_shadow_step", "shadow", Count(6), 2.75),  # source L* 8.0
        ("first_shadow_step", "shadow", Count(0), 1.0),
        ("first_shadow_step", "shadow", Count(99), None),
        ("collapse_step", "saturation", Place(()), 5.0),
        ("collapse_step", "saturation", Place((("red", 6),)), 5 - 1 * (3 / 7 / 12 - 0.02) / 0.06),
        ("hue_turn", "saturation", Place((("blue", None),)), 4.0),
        ("hue_turn", "saturation", Place((("blue", None), ("red", 7), ("rose", 3))), 3.0),
        ("hue_turn", "saturation", Place(tuple((n, None) for n in ("blue", "red", "rose", "sea"))), 2.0),
        ("cast_by_third", "neutral", Cast((("dark", "red", "strong"), ("light", "none", None))), 2.0),
        ("across_sheet", "skin", YesNo(True), 5.0),
        ("across_sheet", "skin", YesNo(False), 3.0),
        ("evenness", "neutral", Grade(3), 3.0),
    ],
)
def test_the_eyes_side_of_a_pair(
    room: Any, colour_4: Sheet, metric: str, region: str, value: Any, grade: float | None
) -> None:
    """Counts and places go through the metric's own anchor; the rest by words (project's own choice)."""
    aims = {p.id: (p, lab) for p, lab in zip(colour_4.patches, source_lab(colour_4), strict=True)}
    as_grade = pairs.eye_side(room.tables.anchors[metric], colour_4.region(region), aims, room.tables)
    assert as_grade(value) == (None if grade is None else pytest.approx(grade, abs=0.01))


def test_a_pick_is_its_distance_from_the_centre(room: Any) -> None:
    from evaluation.sheet.layout import Patch, SheetRegion

    ring = [("41", 0.0, 0.0), ("17", 3.0, 0.0), ("88", 0.0, 6.0)]
    aims = {
        name: (Patch(name, name, "ring", series="middle", step=k), np.array([50.0, a, b]))
        for k, (name, a, b) in enumerate(ring, 1)
    }
    region = SheetRegion("ring", None, "ring", "Ring", "", None, (), (), tuple(aims), ())
    as_grade = pairs.eye_side(room.tables.anchors["ring_offset"], region, aims, room.tables)
    assert as_grade(Pick((41,))) == 5.0
    assert as_grade(Pick((17,))) == pytest.approx(2.70, abs=0.03)  # 4.09 dE00 between 3.5 and 5.5
    assert as_grade(Pick((41, 17))) == pytest.approx(3.9, abs=0.1)  # a tie is its middle: 1.5 along a*
    assert as_grade(Pick((), "green")) == 1.0
    assert as_grade(Pick((99,))) is None


def test_each_lightness_of_the_ring_stands_against_its_own_pick(room: Any) -> None:
    """A group that is right agrees with its pick, though another group of the print is far off."""
    sheet = read_map(map_text("colour-9"), "colour-9")
    lab = printed(sheet)
    centres = {}
    for name in ("dark", "middle", "light"):
        own = [patch for patch in sheet.patches if patch.region == "ring" and patch.series == name]
        centres[name] = min(own, key=lambda patch: float(np.hypot(*lab_of(sheet, patch.id)[1:])))
    L, a, b = lab[centres["middle"].id]
    lab[centres["middle"].id] = (L, a + 7.0, b)
    picks = {
        ("ring", f"pick_{part}"): Pick((int(centres[name].name),))
        for part, name in (("dark", "dark"), ("mid", "middle"), ("light", "light"))
    }
    taken = replace(room.taken(sheet, lab), repeats=REPEATS)
    session = room.session(room.viewing({("ring", "overall"): Grade(3), **picks}))
    ring = finding(weigh(session, sheet, [taken], room.tables), "ring")
    assert {pair.question: pair.agree for pair in ring.pairs} == {
        "pick_dark": True,
        "pick_mid": False,
        "pick_light": True,
    }


def lab_of(sheet: Sheet, patch_id: str) -> np.ndarray:
    rows = {patch.id: row for row, patch in enumerate(sheet.patches)}
    return np.asarray(source_lab(sheet)[rows[patch_id]])
