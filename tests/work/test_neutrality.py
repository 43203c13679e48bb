"""The neutrality record through the gate: what is shown, which lights, which tone, modes side by side.

The demo's sessions 2 and 3 are one paper through the profile and in the driver's black and white; 5 is half
looked at, 6 not read. Prints and readings are invented.
"""

import json
import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from evaluation.errors import FileProblem, UsageProblem
from evaluation.judgement.greys_compared import beside
from evaluation.session import Grade, Pick
from evaluation.telling.neutrality import curves as neutrality_curves
from evaluation.telling.neutrality import tables as neutrality_tables
from evaluation.telling.neutrality.prints import Neutrality
from evaluation.work import log
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import begin
from evaluation.work.look import look
from evaluation.work.neutrality import lamps as neutrality_lamps
from evaluation.work.neutrality.document import document
from evaluation.work.neutrality.neutrality import neutrality, reveal
from evaluation.work.neutrality.tone import tone
from evaluation.work.weigh import weigh

THIRDS = ("light", "middle", "dark")


@pytest.fixture
def both(bench: Bench) -> Neutrality:
    return neutrality(bench, (2, 3))


# --- what is said -------------------------------------------------------------------------------------------


def test_two_modes_of_a_paper_are_ranked_and_told_apart(both: Neutrality) -> None:
    assert both.order == (3, 2)
    assert [one.name for one in both.prints] == ["through the profile", "driver's black and white"]
    (pair,) = both.beside
    assert (pair.a, pair.b) == (3, 2)
    assert {row.what: row.word for row in pair.casts} == {
        "light": "alike",
        "middle": "large",
        "dark": "large",
    }
    assert both.quote.startswith(
        "On Sallowfell Baryta 322, by the worst third of the greys, dE00: "
        "session 3 (driver's black and white) 0.8, session 2 (through the profile) 3."
    )
    assert (
        "measurably in the mid-tones and shadows, beyond the repeats of both, by enough to be seen"
        in both.quote
    )
    assert len(re.findall(r"\.(?!\d)", both.quote)) == 1, "one sentence"


def test_a_turn_is_located_and_a_neutral_print_has_none(both: Neutrality) -> None:
    turned, neutral = both.of(2).record, both.of(3).record
    assert turned is not None and turned.crossover is not None and neutral is not None
    assert (turned.crossover.light, turned.crossover.dark) == ("yellow", "blue")
    assert 28 < turned.crossover.near_l < 40
    assert neutral.crossover is None
    assert both.of(3).sentence.startswith("Session 3 is neutral from grey L* 95 to grey L* 5, and its greys ")


def test_a_driver_mode_has_no_aim_of_tone_and_its_black_is_said_to_be_its_own(both: Neutrality) -> None:
    profile, driver = both.of(2).record, both.of(3).record
    assert profile is not None and profile.evenness is not None and driver is not None and driver.evenness
    assert (profile.evenness.against, driver.evenness.against) == ("the aim", "a straight line")
    assert "The mode of session 3 has no aim of tone: evenness against a straight line of L*." in both.caveats
    assert "Black level of session 3 taken from this print: its density is not judged." in both.caveats
    assert not any("Black level of session 2" in caveat for caveat in both.caveats)


def test_every_step_has_colour_density_and_aim(both: Neutrality) -> None:
    record = both.of(2).record
    assert record is not None
    assert len(record.steps) == 21
    assert all(math.isfinite(step.density) and math.isfinite(step.aim_b) for step in record.steps)
    assert [step.L for step in record.steps] == sorted(step.L for step in record.steps)
    assert record.black is not None
    low, high = record.black.effective
    assert high < low < record.black.d_max


def test_lights_are_judged_by_the_worst_and_stress_stands_apart(both: Neutrality) -> None:
    for one in both.known:
        record = one.record
        assert record is not None
        judged = {name: row.largest for name, row in record.lights.items() if not row.stress}
        assert set(judged) == {"A", "LED-B2", "LED-B3"}
        assert record.worst_light == max(judged, key=lambda name: judged[name])
        assert {name for name, row in record.lights.items() if row.stress} == {"FL11", "LED-RGB1"}
        assert {row.condition for row in record.lights.values()} == {"M2"}


def test_the_ring_tells_under_which_light_it_was_picked(bench: Bench) -> None:
    record = neutrality(bench, (1,)).of(1).record
    assert record is not None
    assert [(ring.group, ring.light) for ring in record.rings] == [
        ("dark", ""),
        ("middle", ""),
        ("light", ""),
        ("middle", "the second light of the session"),
    ]


def test_the_same_print_twice_is_no_difference(bench: Bench) -> None:
    alone = neutrality(bench, (3, 3))
    assert [one.id for one in alone.prints] == [3] and alone.beside == () and alone.quote == ""


# --- the gate -----------------------------------------------------------------------------------------------


def test_a_print_without_readings_says_so(bench: Bench) -> None:
    found = neutrality(bench, (6,))
    assert found.known == () and found.prints[0].why == "Nothing was read in session 6 yet."
    assert not found.prints[0].hidden


def ungraded(bench: Bench) -> None:
    """Another observer begins to look at session 3: its grades, and its readings, stay out of their sight."""
    look.start(bench, 3, observer=f"observer {len(log.session(bench, 3).viewings) + 1}")


def test_a_scale_without_its_grade_stays_out_of_sight(bench: Bench) -> None:
    ungraded(bench)
    found = neutrality(bench, (2, 3))
    hidden = found.of(3)
    assert hidden.record is None and hidden.hidden
    assert "its readings stay out of sight" in hidden.why
    assert found.beside == () and found.quote == ""
    told = json.dumps(document(found)["sessions"][1])
    assert '"steps": []' in told and '"lab"' not in told and '"d_max"' not in told


def test_showing_it_is_recorded(bench: Bench) -> None:
    ungraded(bench)
    reveal(bench, 3)
    assert "mono_neutral" in log.session(bench, 3).viewings[-1].revealed
    assert neutrality(bench, (3,)).prints[0].record is not None
    ungraded(bench)
    assert neutrality(bench, (3,)).prints[0].record is None, "another observer, another gate"
    assert neutrality(bench, (3,), reveal_hidden=True).prints[0].record is not None


def test_a_ring_that_may_not_be_shown_is_told_by_nominal_values(bench: Bench) -> None:
    """Readings of a region without a grade do not reach the record, though its picks are answers given."""
    ungraded(bench)
    sheet = sheet_of(bench, log.session(bench, 3))
    scale = next(region for region in sheet.regions if region.kind == "mono_neutral")
    ring = next(region for region in sheet.regions if region.kind == "ring")
    assert scale.whole is not None
    look.answer(bench, 3, scale.id, scale.whole.id, Grade(4))
    number = int(next(patch for patch in sheet.patches if patch.region == ring.id).name)
    look.answer(bench, 3, ring.id, "pick_dark", Pick((number,)))
    record = neutrality(bench, (3,)).prints[0].record
    assert record is not None
    assert [(one.measured, one.centre) for one in record.rings] == [(False, None)]


# --- tone wanted --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "kind", "family", "reference"),
    [
        ("", "neutral", None, None),
        ("Neutral", "neutral", None, None),
        ("warm", "side", "warm", None),
        ("a little cold", "side", "cool", None),
        ("like session 3", "like", None, 3),
        ("like the readings of session 3", "like", None, 3),
        ("like 3", "like", None, 3),
        ("like session 99", "other", None, None),
        ("selenium", "other", None, None),
    ],
)
def test_what_a_tone_that_was_said_means(
    bench: Bench, said: str, kind: str, family: str | None, reference: int | None
) -> None:
    found = tone(bench, said)
    assert (found.kind, found.family, found.reference) == (kind, family, reference)
    assert bool(found.caveat) == (kind in ("side", "other"))


def test_a_print_has_the_tone_of_its_own_reference(bench: Bench) -> None:
    """Session 2 turns by more than 5 dCh; held against itself it has the tone wanted everywhere."""
    found = neutrality(bench, (2,), tone_wanted="like session 2").prints[0]
    assert found.record is not None and found.record.aim == "toned"
    assert {third.cast for third in found.record.thirds.values()} == {"none"}
    assert max(step.dch for step in found.record.steps if not step.hollow) < 0.01
    assert found.against == "the tone of session 2"


def test_a_reference_on_another_paper_gives_its_tone_not_its_paper(bench: Bench) -> None:
    """Session 1, neutral on a whitened lustre of b* -5, asks session 3 for no blue of its paper."""
    plain = neutrality(bench, (3,)).prints[0].record
    laid = neutrality(bench, (3,), tone_wanted="like session 1").prints[0].record
    assert plain is not None and laid is not None
    aims = [np.array([(step.aim_a, step.aim_b) for step in record.steps]) for record in (plain, laid)]
    assert np.abs(aims[0] - aims[1]).max() < 0.3


def test_warm_is_told_and_not_blamed(bench: Bench) -> None:
    found = neutrality(bench, (2, 3), tone_wanted="warm")
    assert found.order == (), "prints that are meant to be toned are not ranked by their distance from grey"
    toned = found.of(3)
    assert toned.toning is not None and toned.toning.held == "barely toned"
    assert toned.sentence.startswith("Session 3 is barely warm where warm was wanted (0.5 dCh)")
    turned = found.of(2)
    assert turned.toning is not None and turned.toning.turns, "a turn is a fault of any tone"


def test_the_tone_that_describe_says_is_the_aim(bench: Bench) -> None:
    begin.say_condition(bench, 2, "tone_wanted", "like session 3")
    found = neutrality(bench, (2,)).prints[0]
    assert found.record is not None and found.record.aim == "toned"
    assert neutrality(bench, (2,), tone_wanted="neutral").prints[0].against == "the paper's own grey"


@pytest.mark.long
def test_a_tone_wanted_is_an_aim_for_the_weighing_too(bench: Bench) -> None:
    """Session 2 turns and is blamed; asked to be like itself it has no cast. In words it is not judged."""

    def cast() -> float | None:
        finding = next(one for one in weigh.weigh(bench, 2).findings if one.kind == "mono_neutral")
        return next((one.value for one in finding.metrics if one.name == "cast_by_third"), None)

    blamed = cast()
    assert blamed is not None and blamed > 3
    begin.say_condition(bench, 2, "tone_wanted", "like session 2")
    held = cast()
    assert held is not None and held < 0.01
    begin.say_condition(bench, 2, "tone_wanted", "warm")
    assert cast() is None


def test_a_reference_that_may_not_be_shown_gives_no_aim(bench: Bench) -> None:
    ungraded(bench)
    found = neutrality(bench, (2,), tone_wanted="like session 3")
    assert found.prints[0].record is not None and found.prints[0].record.aim == "paper"
    assert any("stay out of sight. Casts are measured" in caveat for caveat in found.caveats)


# --- lights -------------------------------------------------------------------------------------------------

FLAT = "".join(f"{nm};1\n" for nm in range(380, 781, 5))


def test_a_lamp_of_ones_own_is_judged_beside_the_others(bench: Bench, tmp_path: Path) -> None:
    (tmp_path / "gallery.csv").write_text("nm;power\n" + FLAT)
    lamps = neutrality_lamps.asked(bench, [str(tmp_path / "gallery.csv")], ["d65"])
    record = neutrality(bench, (2,), lamps=lamps).prints[0].record
    assert record is not None
    assert set(record.lights) - {"A", "LED-B2", "LED-B3", "FL11", "LED-RGB1"} == {"gallery", "D65"}
    assert not record.lights["gallery"].stress


def test_lamps_lie_in_a_folder_beside_the_archive(bench: Bench) -> None:
    folder = bench.archive.path.parent / "lamps"
    folder.mkdir()
    (folder / "hall.csv").write_text(FLAT)
    (folder / "broken.csv").write_text("nothing of the kind")
    found = neutrality(bench, (2,))
    assert found.prints[0].record is not None and "hall" in found.prints[0].record.lights
    assert any("broken.csv" in caveat for caveat in found.caveats), "told, and in nobody's way"


def test_a_stress_light_that_the_user_names_is_judged(bench: Bench) -> None:
    lamps = neutrality_lamps.asked(bench, names=["FL11"])
    record = neutrality(bench, (2,), lamps=lamps).prints[0].record
    assert record is not None and not record.lights["FL11"].stress
    assert record.worst_light == "FL11"


def test_the_second_light_that_prepare_names_is_looked_at(bench: Bench) -> None:
    session = log.session(bench, 2)
    detail = dict(session.readiness["viewing_light"].detail)

    def with_second(name: str) -> neutrality_lamps.Lamps:
        light = replace(session.readiness["viewing_light"], detail={**detail, "second": name})
        changed = replace(session, readiness={**session.readiness, "viewing_light": light})
        return neutrality_lamps.of_session(changed, neutrality_lamps.Lamps())

    assert set(with_second("led b5").lights) == {"LED-B5"}
    assert set(with_second("fl 8").lights) == {"FL8"}, "known by name, and not kept here"
    assert with_second("hall").lights == {}
    assert "“hall”, is not known here" in with_second("hall").caveats[0]


def test_a_lamp_that_cannot_be_read_is_a_problem(bench: Bench) -> None:
    with pytest.raises(FileProblem, match=r"missing\.csv\. Found: nothing of that name"):
        neutrality_lamps.asked(bench, ["missing.csv"])
    with pytest.raises(UsageProblem, match="Perhaps “LED-B3” is meant"):
        neutrality_lamps.asked(bench, names=["led-c3"])
    with pytest.raises(UsageProblem, match="--light A is the light of that name"):
        neutrality_lamps.asked(bench, ["a"])


def test_a_light_that_only_colour_science_holds_is_judged_by_its_name(bench: Bench) -> None:
    record = (
        neutrality(bench, (2,), lamps=neutrality_lamps.asked(bench, names=["fl2", "D55"])).prints[0].record
    )
    assert record is not None and {"FL2", "D55"} <= set(record.lights)
    assert record.lights["D55"].condition != record.lights["FL2"].condition, "with ultraviolet, and without"


def test_too_many_sessions_and_none_are_refused(bench: Bench) -> None:
    for ids in ((), tuple(range(1, 40))):
        with pytest.raises(UsageProblem, match="1 to 30 sessions"):
            neutrality(bench, ids)


# --- in numbers ---------------------------------------------------------------------------------------------


def test_every_curve_has_its_numbers(both: Neutrality) -> None:
    for one in both.known:
        curves = neutrality_curves.of_print(both, one.id)
        assert len(curves) == 6
        for curve in curves:
            assert len(curve.rows) == 21 and {len(row) for row in curve.rows} == {len(curve.heads)}
            assert all(line.points for line in curve.lines)
    assert neutrality_curves.marks(both) == {2: "2", 3: "3"}


def test_tables_hold_everything_as_text(both: Neutrality) -> None:
    tables = {table.title: table for table in neutrality_tables.of_print(both.of(2))}
    assert len(tables["Steps, black to paper"].rows) == 21
    assert [row[0] for row in tables["Cast by thirds"].rows] == list(THIRDS)
    assert all(len({len(row) for row in (table.heads, *table.rows)}) == 1 for table in tables.values())
    assert not any("nan" in cell for table in tables.values() for row in table.rows for cell in row)


def test_the_document_is_plain_json(both: Neutrality) -> None:
    text = json.dumps(document(both), allow_nan=False)
    one = json.loads(text)["sessions"][0]
    assert set(one["thirds"]) == set(THIRDS)
    assert {"id", "steps", "thirds", "crossover", "black", "lights", "worst_light"} <= set(one)
    assert set(one["lights"]) == {"A", "LED-B2", "LED-B3", "FL11", "LED-RGB1"}


def test_readings_under_another_condition_are_not_compared(bench: Bench) -> None:
    found = neutrality(bench, (2, 3))
    one, other = found.of(2).record, found.of(3).record
    assert one is not None and other is not None
    tables = weigh.tables(bench)
    assert beside(one, replace(other, condition="M0"), tables).reason == "M1 against M0"
    assert beside(one, replace(other, instrument="another"), tables).reason == "read with another instrument"
    assert beside(one, replace(other, condition=None), tables).reason == "measurement condition not stated"
