"""Likely causes: every clue of the table exists, and a fault done on purpose is named.

The profile is played by a stand-in that promises the sheet's own mapped colours, and others under hypotheses.
"""

from dataclasses import replace
from datetime import UTC, datetime
from inspect import isfunction, signature
from typing import Any

import numpy as np
import pytest

from evaluation.judgement.causes import MODULES, clue
from evaluation.judgement.clues.facts import ProfileFacts, clues
from evaluation.judgement.opinion import Weighing
from evaluation.judgement.tables import load_tables
from evaluation.metrics.evidence import place
from evaluation.readings.run import Repeats, Stated
from evaluation.session import Cast, Grade, Readiness
from evaluation.sheet.layout import Sheet
from tests.judgement.prints import Promise, weighed


@pytest.fixture
def found(room: Any, colour_4: Sheet) -> Any:
    """Weigh a print whose media-relative colours are `lab`, and give the causes by id."""

    def run(lab: np.ndarray, *viewings: Any, **more: Any) -> list[str]:
        return [cause.id for cause in weighed(room, colour_4, lab, *viewings, **more).causes]

    return run


def test_every_clue_of_the_table_exists_and_every_clue_is_used() -> None:
    named = {one.name for row in load_tables().causes for one in (*row.evidence_for, *row.evidence_against)}
    written = {
        name
        for module in MODULES
        for name, function in vars(module).items()
        if isfunction(function)
        and not name.startswith("_")
        and function.__module__ == module.__name__
        and signature(function).return_annotation == bool | None
    }
    assert named == written
    assert all(callable(clue(name)) for name in named)


def test_there_are_thirty_causes_each_with_a_first_check() -> None:
    rows = load_tables().causes
    assert [row.id for row in rows] == [f"c{k:02d}" for k in range(1, 31)]
    assert all(row.first_check and row.cost and row.evidence_for for row in rows)


def test_a_sound_print_names_no_cause(found: Any, colour_4: Sheet) -> None:
    assert found(Promise(colour_4).all()) == []
    matt = Promise(colour_4, density=1.6)
    assert found(matt.all(), expected=matt, shadow=4) == []


@pytest.mark.parametrize(
    ("hypothesis", "cause"),
    [
        ("profile applied twice", "c01"),
        ("no profile", "c02"),
        ("encoding oprgb", "c03"),
        ("intent perceptual", "c04"),
    ],
)
def test_hypotheses_are_found_by_fitting(found: Any, colour_4: Sheet, hypothesis: str, cause: str) -> None:
    lab = Promise(colour_4).under(hypothesis, colour_4.patches)
    lab[20] = (100, 0, 0)  # the paper stays itself
    assert cause in found(lab, neutral=2, skin=2)[:2]


def test_too_little_ink_is_not_a_wrong_profile(found: Any, colour_4: Sheet) -> None:
    thin = Promise(colour_4, density=2.1).all() * [1.0, 0.88, 0.88]
    causes = found(thin, shadow=3, saturation=3)
    assert causes[0] == "c06"
    assert "c05" not in causes


def test_another_paper_than_the_profiles(found: Any, colour_4: Sheet) -> None:
    expected = Promise(colour_4, paper_lab=np.array([97.0, 0.0, 3.0]))
    weak = Promise(colour_4, density=2.0).all()
    assert found(weak, expected=expected, shadow=2)[0] == "c05"


def test_blocked_by_the_profile_or_by_the_ink(found: Any, colour_4: Sheet, room: Any) -> None:
    """Shadows that the profile itself blocks name c08; shadows that only the print blocks never do."""
    open_ = Promise(colour_4)
    blocked = open_.all()
    shadow = [k for k, patch in enumerate(colour_4.patches) if patch.region == "shadow"]
    blocked[shadow[2:9], 0] = blocked[shadow[2], 0]

    class Blocking(Promise):
        def all(self) -> np.ndarray:
            return blocked

    assert "c08" in found(blocked, expected=Blocking(colour_4), shadow=2)
    assert "c08" not in found(blocked, shadow=2)


def test_wet_ink_is_too_much_ink(found: Any, colour_4: Sheet, room: Any) -> None:
    lab = Promise(colour_4).all()
    shadow = [k for k, patch in enumerate(colour_4.patches) if patch.region == "shadow"]
    lab[shadow[1:8], 0] = lab[shadow[0], 0] - 0.3
    answers = {(region.id, "overall"): Grade(2) for region in colour_4.regions}
    viewing = room.viewing(answers, faults=(("shadow", "puddling"),))
    assert found(lab, viewing)[0] == "c07"


@pytest.mark.parametrize("name", ["gloss difference", "gloss step"])
def test_a_gloss_difference_is_evidence_as_this_sheet_names_it_and_as_earlier_ones_do(
    room: Any, colour_4: Sheet, name: str
) -> None:
    answers = {(region.id, "overall"): Grade(2) for region in colour_4.regions}
    viewing = room.viewing(answers, faults=(("shadow", name),))
    lab = Promise(colour_4).all() + np.array([1.5, 0.0, 0.0])
    stated = Stated(condition="M1", measured_at=datetime(2026, 1, 5, 0, 25, tzinfo=UTC), backing="white")
    causes = {cause.id: cause for cause in weighed(room, colour_4, lab, viewing, stated=stated).causes}
    assert "a gloss difference was named" in causes["c10"].evidence_for


def test_a_fresh_print(found: Any, colour_4: Sheet) -> None:
    stated = Stated(
        condition="M1", measured_at=datetime(2026, 1, 5, 0, 25, tzinfo=UTC), backing="white", instrument="x"
    )
    lab = Promise(colour_4).all() + np.array([1.5, 0.0, 0.0])
    lab[20] = (100, 0, 0)
    assert "c10" in found(lab, stated=stated, shadow=3)[:2]


def test_noise_of_reading(found: Any, colour_4: Sheet) -> None:
    noisy = Repeats(np.eye(3) * 0.6**2, 0.9, 1.5, 2.0, 60, 30)
    assert found(Promise(colour_4).all(), repeats=noisy, neutral=3)[0] == "c23"


def test_a_grey_that_shifts_only_under_the_second_light(found: Any, colour_4: Sheet, room: Any) -> None:
    answers: dict[tuple[str, str], Any] = {(region.id, "overall"): Grade(5) for region in colour_4.regions}
    answers["neutral", "overall"] = Grade(3)
    answers["neutral", "cast"] = Cast((("dark", "none", None), ("middle", "none", None)))
    answers["neutral", "second_light"] = Cast((("dark", "none", None), ("middle", "green", "clear")))
    assert found(Promise(colour_4).all(), room.viewing(answers))[0] == "c19"


def test_a_scaled_sheet(found: Any, colour_4: Sheet) -> None:
    lab = Promise(colour_4).all()
    from datetime import UTC, datetime

    off = {"flat": Readiness("done", datetime(2026, 1, 6, tzinfo=UTC), {"mm": 98.9})}
    assert found(lab, readiness=off, neutral=3)[0] == "c25"


def test_a_profile_that_fits_badly(found: Any, colour_4: Sheet) -> None:
    facts = ProfileFacts(fit_median=1.4, fit_p95=4.2)
    assert found(Promise(colour_4).all(), profile=facts, skin=3)[0] == "c16"


def test_circumstance_alone_never_names_a_cause(found: Any, colour_4: Sheet) -> None:
    """An open nozzle check, alignment or driver mode supports a suspicion that something else has raised."""
    from datetime import UTC, datetime

    opened = {
        item: Readiness("not done", datetime(2026, 1, 6, tzinfo=UTC))
        for item in ("nozzle_check", "alignment", "adapted")
    }
    lab = Promise(colour_4).all()
    assert found(lab, readiness=opened, condition={"driver_mode": ""}, skin=3) == []


def test_at_most_three_are_told_the_heaviest_first_as_phrases(room: Any, colour_4: Sheet) -> None:
    lab = Promise(colour_4, density=1.3).all() * [1, 0.7, 0.7]
    answers = {(region.id, "overall"): Grade(1) for region in colour_4.regions}
    faults = tuple(("shadow", name) for name in ("banding", "puddling", "mottle", "misregistration"))
    weighing = weighed(room, colour_4, lab, room.viewing(answers, faults=faults))
    assert 1 <= len(weighing.causes) <= 3
    weights = [cause.weight for cause in weighing.causes]
    assert weights == sorted(weights, reverse=True) and min(weights) >= 2
    assert not any(cause.text.endswith(".") for cause in weighing.causes)  # follows a colon
    assert all(cause.evidence_for and cause.first_check for cause in weighing.causes)


def test_regions_out_of_sight_give_no_clue(room: Any, colour_4: Sheet) -> None:
    """Their readings must not speak through a cause: neither a weak black nor blocked shadows."""
    lab = Promise(colour_4, density=1.6).all()
    shadow = [k for k, patch in enumerate(colour_4.patches) if patch.region == "shadow"]
    lab[shadow[1:8], 0] = lab[shadow[0], 0] - np.arange(7)  # each step darker than the one before
    answers = {("skin", "overall"): Grade(2)}
    hidden = weighed(room, colour_4, lab, room.viewing(answers), looked=frozenset({"skin"}))
    assert not any("black" in said or "shadow" in said for said in sayings(hidden))
    answers |= {("shadow", "overall"): Grade(2)}
    shown = weighed(room, colour_4, lab, room.viewing(answers), looked=frozenset({"skin", "shadow"}))
    assert any("shadow" in said for said in sayings(shown))


def sayings(weighing: Weighing) -> list[str]:
    return [say for cause in weighing.causes for say in (*cause.evidence_for, *cause.evidence_against)]


@pytest.mark.parametrize(
    ("stated", "other", "found"),
    [(6.0, 0.2, True), (6.0, 2.0, False), (0.5, 0.4, False), (0.2, 0.15, False), (0.33, 0.17, True)],
)
def test_a_hypothesis_must_fit_well_and_better(
    room: Any, colour_4: Sheet, stated: float, other: float, found: bool
) -> None:
    """The true one leaves little more than noise; one that is merely less wrong says nothing."""
    nothing = clues(room.session(), colour_4, (), (), None, None, ProfileFacts(), room.tables)
    fitted = replace(nothing, fits={"as stated": stated, "no compensation": other, "intent saturation": 9.0})
    assert clue("fits_other_intent")(fitted) is found
    assert clue("fits_no_profile")(fitted) is False
    assert clue("fits_no_profile")(nothing) is None


@pytest.mark.parametrize(
    ("stated", "other", "fits"), [(0.3, 0.4, True), (0.3, 0.15, False), (1.2, 2.0, False)]
)
def test_the_stated_intent_fits_where_it_is_close_and_none_is_closer(
    room: Any, colour_4: Sheet, stated: float, other: float, fits: bool
) -> None:
    nothing = clues(room.session(), colour_4, (), (), None, None, ProfileFacts(), room.tables)
    assert (
        clue("own_intent_fits")(replace(nothing, fits={"as stated": stated, "intent saturation": other}))
        is fits
    )


def test_a_users_weight_silences_a_cause(room: Any, colour_4: Sheet) -> None:
    quiet = replace(room, tables=load_tables("[causes]\nc23 = 0\n"))
    noisy = Repeats(np.eye(3) * 0.6**2, 0.9, 1.5, 2.0, 60, 30)
    weighing = weighed(quiet, colour_4, Promise(colour_4).all(), repeats=noisy, neutral=3)
    assert "c23" not in [cause.id for cause in weighing.causes]


def test_an_unknown_clue_is_refused() -> None:
    with pytest.raises(KeyError):
        clue("_best")


def test_even_stripes_are_named_with_their_pitch(room: Any, colour_4: Sheet) -> None:
    """A sine of 2 L* every 24 mm down the sheet: not nozzles, not heads, but stripes first."""
    lab = Promise(colour_4).all()
    for k, patch in enumerate(colour_4.patches):
        if patch.area is not None and patch.role != "paper":
            at = (patch.area.top + patch.area.height / 2) * colour_4.size_mm[1]
            lab[k, 0] -= 2.0 * (1 + np.sin(2 * np.pi * at / 24.0)) * (115 - lab[k, 0]) / 115
    weighing = weighed(room, colour_4, lab, saturation=3)
    assert weighing.causes[0].id == "c29"
    assert "every 24 mm along the longer side" in weighing.causes[0].evidence_for[0]


def test_marks_on_single_patches_are_named_by_their_patches(room: Any, colour_4: Sheet) -> None:
    """Eight patches that are darker by 3 to 10 L*, far from each other in colour, and nothing else."""
    lab = Promise(colour_4).all()
    rng = np.random.default_rng(4)
    rows = rng.choice(np.arange(25, len(lab)), 6, replace=False)
    lab[rows, 0] -= rng.uniform(6, 10, 6)
    weighing = weighed(room, colour_4, lab, skin=3)
    assert weighing.causes[0].id == "c30"
    furthest = int(rows[np.abs(lab[rows, 0] - Promise(colour_4).all()[rows, 0]).argmax()])
    assert place(colour_4.patches[furthest]) in weighing.causes[0].evidence_for[0]


def test_a_profile_that_misses_few_strong_colours_is_no_mark_however_alike_the_sheets(
    room: Any, colour_4: Sheet
) -> None:
    """Six colours off by 2.2 dE*ab, as sound profiles have them, under settings of a very steady process."""
    lab = Promise(colour_4).all()
    rows = np.random.default_rng(4).choice(np.arange(25, len(lab)), 6, replace=False)
    steady = load_tables("[thresholds]\nsheet_mean = 0.19\nsheet_worst = 0.77\nreading_sd = 0.08\n")
    for off, marked in ((2.2, False), (8.0, True)):
        moved = lab.copy()
        moved[rows, 0] -= off
        weighing = weighed(room, colour_4, moved, tables=steady, skin=3)
        assert ("c30" in [cause.id for cause in weighing.causes]) is marked


def test_what_nothing_known_explains_is_told_so(room: Any, colour_4: Sheet) -> None:
    """Every patch off its own way: no colour, no stripe, no single patch."""
    lab = Promise(colour_4).all()
    lab[1:] += np.random.default_rng(6).standard_normal((len(lab) - 1, 3)) * 1.6
    weighing = weighed(room, colour_4, lab, skin=3)
    assert [cause.id for cause in weighing.causes] == ["none"]
    assert weighing.causes[0].text == "none of the known causes explains this"


def test_a_harsh_eye_on_calm_readings_is_the_viewing(room: Any, colour_4: Sheet) -> None:
    answers = {(region.id, "overall"): Grade(3) for region in colour_4.regions}
    weighing = weighed(room, colour_4, Promise(colour_4).all(), room.viewing(answers))
    assert [cause.id for cause in weighing.causes] == ["c28"]
    assert any("grades under the readings over the whole sheet" in caveat for caveat in weighing.caveats)
