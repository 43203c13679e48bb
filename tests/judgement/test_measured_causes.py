"""Causes that are measured before anyone sees them: each test of the table, alone.

A stand-in for a profile says what less of an ink looks like by straight changes of CIELAB, so that a print
with a share of them gone is known exactly; noise of reading lies over all of it.
"""

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.judgement.clues.departure import InkDeparture, departure
from evaluation.judgement.clues.facts import ProfileFacts
from evaluation.judgement.opinion import Weighing
from evaluation.judgement.tables import load_tables
from evaluation.metrics.gather import gather
from evaluation.profile.less_ink import LESS
from evaluation.readings.run import Repeats, Stated
from evaluation.session import PrintingCondition, Readiness
from evaluation.sheet.layout import Sheet
from tests.judgement.prints import PAPER, Promise, weighed

# What all of an ink gone would do to CIELAB: cyan, magenta, yellow.
GONE = np.array([[25.0, 35.0, 45.0], [45.0, -60.0, 5.0], [10.0, 5.0, -80.0]])
HARDLY = "(measurable, hardly visible)"
CALM = "no region is graded below 4: nothing to repair unless it grows"
YOUNG = Stated(condition="M1", measured_at=datetime(2026, 1, 5, 0, 25, tzinfo=UTC), backing="white")


class Inked(Promise):
    """A stand-in that knows its inks."""

    def changes(self) -> dict[str, np.ndarray]:
        """(n, 3) what all of each ink, of its middle, or of the black would change."""
        nothing = (1.0, 1.0, 1.0)
        demand = 1.0 - np.array([patch.source or nothing for patch in self.sheet.patches])
        shared = demand.min(axis=1)
        found = {"less black": (shared**3)[:, None] * [60.0, 0.0, 0.0]}
        for channel, gone in enumerate(GONE, start=1):
            own = demand[:, channel - 1]
            found[f"less of channel {channel}"] = (own * (1 - shared))[:, None] * gone
            found[f"less of channel {channel} in the middle"] = (4 * own * (1 - own))[:, None] * gone / 2
        return found

    def under(self, hypothesis: str, patches: Any) -> Any:
        change = self.changes().get(hypothesis)
        if change is None:
            return super().under(hypothesis, patches)
        return self._of(self.all() + LESS * change, patches)

    def printed(self, amount: Any = (0, 0, 0), middle: Any = (0, 0, 0), black: float = 0.0) -> np.ndarray:
        """(n, 3) the print with these shares more of each ink, of its middle, of the black."""
        changes, lab = self.changes(), self.all()
        for channel in range(3):
            lab = lab - amount[channel] * changes[f"less of channel {channel + 1}"]
            lab = lab - middle[channel] * changes[f"less of channel {channel + 1} in the middle"]
        return np.asarray(lab - black * changes["less black"])


@pytest.fixture
def weigh(room: Any, colour_4: Sheet) -> Any:
    """Weigh a print that the eye grades 4 everywhere."""

    def run(lab: np.ndarray, **more: Any) -> Weighing:
        return weighed(room, colour_4, lab, **({"expected": Inked(colour_4)} | more))

    return run


@pytest.fixture
def named(weigh: Any) -> Any:
    return lambda lab, **more: [cause.id for cause in weigh(lab, **more).causes]


@pytest.mark.parametrize(
    ("print_of", "cause"),
    [
        ({"amount": (-0.06, -0.05, -0.06)}, "c06"),
        ({"amount": (0.06, 0.05, 0.06)}, "c07"),
        ({"amount": (0.0, -0.08, 0.0)}, "c12"),
        ({"middle": (0.06, 0.05, 0.06)}, "c15"),
        ({"middle": (0.0, 0.0, 0.08)}, "c21"),
        ({"black": 0.05}, "c17"),
    ],
)
def test_what_changed_along_the_curves_of_the_inks_names_the_cause(
    named: Any, colour_4: Sheet, print_of: dict[str, Any], cause: str
) -> None:
    assert named(Inked(colour_4).printed(**print_of))[0] == cause


def test_what_another_sheet_differs_by_anyhow_names_nothing(named: Any, colour_4: Sheet) -> None:
    promise = Inked(colour_4)
    assert named(promise.printed(amount=(-0.01, -0.01, -0.01))) == []
    assert named(promise.printed(middle=(0.0, 0.0, 0.01))) == []


def test_a_process_known_to_repeat_closer_is_held_to_it(room: Any, colour_4: Sheet) -> None:
    close = replace(room, tables=load_tables("[thresholds]\nsheet_mean = 0.15\nsheet_worst = 0.7\n"))
    promise = Inked(colour_4)
    shifted = promise.printed(middle=(0.0, 0.0, 0.025))
    causes = weighed(close, colour_4, shifted, expected=promise).causes
    assert [cause.id for cause in causes] == ["c21"]
    assert weighed(room, colour_4, shifted, expected=promise).causes == ()


def test_where_nothing_is_graded_low_it_is_said_that_it_hardly_shows(weigh: Any, colour_4: Sheet) -> None:
    lab = Inked(colour_4).printed(middle=(0.0, 0.0, 0.04))
    (calm, *_), (low, *_) = weigh(lab).causes, weigh(lab, neutral=2).causes
    assert calm.id == low.id == "c21"
    assert calm.text.endswith(HARDLY) and calm.evidence_against[0] == CALM
    assert HARDLY not in low.text and CALM not in low.evidence_against


def test_where_nothing_is_graded_low_only_measured_clues_name(named: Any, colour_4: Sheet) -> None:
    """The gamut's edge or the paper's limits are no news on a print that nobody faults."""
    noisy = Repeats(np.eye(3) * 0.6**2, 0.9, 1.5, 2.0, 60, 30)
    matt = Inked(colour_4, density=1.6)
    assert named(matt.all(), expected=matt, repeats=noisy) == ["c23"]


def test_readings_out_of_sight_measure_nothing(weigh: Any, colour_4: Sheet) -> None:
    noisy = Repeats(np.eye(3) * 0.6**2, 0.9, 1.5, 2.0, 60, 30)
    lab = Inked(colour_4).printed(middle=(0.0, 0.0, 0.08))
    assert weigh(lab, repeats=noisy, looked=frozenset()).causes == ()


def test_darks_lighter_than_expected_may_be_wet_while_they_are_young(named: Any, colour_4: Sheet) -> None:
    lab = Inked(colour_4).printed(black=-0.05)
    assert named(lab, stated=YOUNG)[0] == "c10"
    dry = replace(YOUNG, measured_at=datetime(2026, 1, 7, tzinfo=UTC))
    assert "c10" not in named(lab, stated=dry)
    assert "c10" in named(lab), "a file without a date does not say that it was dry"


def test_a_young_reading_alone_names_nothing(named: Any, colour_4: Sheet) -> None:
    sound = Inked(colour_4).all()
    assert named(sound, stated=YOUNG) == []
    assert named(sound, stated=YOUNG, neutral=3) == []


@pytest.mark.parametrize("with_paper", [False, True])
def test_two_readings_that_fit_each_other_are_exchanged(
    named: Any, colour_4: Sheet, with_paper: bool
) -> None:
    """Also where one of them is bare paper, which all other colours are scaled by."""
    lab = Inked(colour_4).all()
    papers = [k for k, patch in enumerate(colour_4.patches) if patch.role == "paper"]
    one, other = (papers[0] if with_paper else 40), 90
    lab[[one, other]] = lab[[other, one]]
    assert named(lab)[0] == "c22"


def test_an_outlier_that_fits_nowhere_else_is_not_exchanged(weigh: Any, colour_4: Sheet) -> None:
    lab = Inked(colour_4).all()
    lab[40] = (30.0, 90.0, 90.0)
    assert "two readings fit what is expected of each other" not in _for(weigh(lab), "c22")


def test_brightness_that_drifts_over_the_run_is_the_instruments(weigh: Any, colour_4: Sheet) -> None:
    lab = Inked(colour_4).all()
    place = np.linspace(0, 1, len(lab))[:, None]
    noisy = Repeats(np.eye(3) * 0.5**2, 0.8, 1.3, 1.8, 60, 30)
    drifting = lab + (lab + np.array([16.0, 0.0, 0.0])) / 3 * 0.04 * (place - place[20])
    later = "the later a patch was read, the brighter or the darker"
    assert later in _for(weigh(drifting, repeats=noisy), "c23")
    assert later not in _for(weigh(lab, repeats=noisy), "c23")


def test_a_drift_too_small_to_be_graded_is_measured(named: Any, colour_4: Sheet) -> None:
    lab = Inked(colour_4).all()
    place = np.linspace(0, 1, len(lab))[:, None]
    drifting = lab + (lab + np.array([16.0, 0.0, 0.0])) / 3 * 0.025 * (place - place[20])
    assert named(drifting) == ["c23"]


def _for(weighing: Weighing, cause_id: str) -> tuple[str, ...]:
    return next((cause.evidence_for for cause in weighing.causes if cause.id == cause_id), ())


def test_light_lost_on_paper_and_not_in_the_darks_is_the_backing(named: Any, colour_4: Sheet) -> None:
    lost = 0.05
    bright = xyz_from_lab(Inked(colour_4).all())[:, 1:2] / 100
    seen = xyz_from_lab(Inked(colour_4).all()) * (1 - lost * bright) / (1 - lost)
    darker = lab_from_xyz(xyz_from_lab(PAPER) * (1 - lost))
    assert named(lab_from_xyz(seen), paper=darker)[0] == "c24"


def test_light_gained_on_paper_and_not_in_the_darks_is_the_profiles_backing(
    named: Any, colour_4: Sheet
) -> None:
    """Whether or not anybody stated what lay under its chart."""
    gained = 0.05
    bright = xyz_from_lab(Inked(colour_4).all())[:, 1:2] / 100
    seen = xyz_from_lab(Inked(colour_4).all()) * (1 + gained * bright) / (1 + gained)
    lighter = lab_from_xyz(xyz_from_lab(PAPER) * (1 + gained))
    assert named(lab_from_xyz(seen), paper=lighter)[0] == "c17"


def test_a_darker_paper_is_no_backing(named: Any, colour_4: Sheet) -> None:
    darker = lab_from_xyz(xyz_from_lab(PAPER) * 0.95)
    assert named(Inked(colour_4).all(), paper=darker) == []


def test_profiling_data_read_otherwise_counts_where_the_paper_is_off(named: Any, colour_4: Sheet) -> None:
    facts = ProfileFacts(condition="M1", backing="black")
    sound = Inked(colour_4).all()
    assert named(sound, profile=facts, paper=PAPER + np.array([2.0, 0.0, 0.0]))[0] == "c17"
    assert named(sound, profile=facts) == []


def test_a_misfit_counts_where_the_print_is_as_uneven(named: Any, colour_4: Sheet) -> None:
    facts = ProfileFacts(fit_median=0.9, fit_p95=2.5)
    lab = Inked(colour_4).all()
    uneven = lab + np.random.default_rng(4).standard_normal(lab.shape) * 0.7
    uneven[20] = lab[20]
    assert named(uneven, profile=facts)[0] == "c16"
    assert named(lab, profile=facts) == []
    assert "c16" not in named(uneven, profile=ProfileFacts(fit_median=0.3, fit_p95=0.8))


def test_shadows_darker_as_expected_are_the_profiles(weigh: Any, colour_4: Sheet) -> None:
    shadow = [k for k, patch in enumerate(colour_4.patches) if patch.region == "shadow"]

    class Blocking(Inked):
        def all(self) -> np.ndarray:
            lab = super().all()
            lab[shadow[2:8], 0] -= 2.0
            return lab

    weighing = weigh(Blocking(colour_4).all(), expected=Blocking(colour_4))
    assert any("darker than the aim, as the profile expects" in said for said in _for(weighing, "c08"))


def test_paper_of_another_colour_is_another_profiles(weigh: Any, colour_4: Sheet) -> None:
    weighing = weigh(
        Inked(colour_4).printed(amount=(-0.2, -0.2, -0.2)), paper=PAPER + np.array([0.0, 0.0, 5.0]), neutral=2
    )
    assert weighing.causes[0].id == "c05"
    assert "the paper is of another colour than the profile's" in _for(weighing, "c05")


def test_without_ultraviolet_a_whitened_paper_is_yellower_than_read(
    room: Any, colour_4: Sheet, weigh: Any
) -> None:
    from evaluation.judgement.causes import clue
    from evaluation.judgement.clues.facts import clues

    papers = [patch.id for patch in colour_4.patches if patch.role == "paper"]
    ends = {patch: tuple(PAPER) for patch in papers}
    under = [room.taken(colour_4, ends, stated=Stated(condition="M1"))]

    def found(whitener: float, said: str) -> bool | None:
        yellower = dict.fromkeys(papers, (PAPER[0], PAPER[1], PAPER[2] + whitener))
        both = [*under, room.taken(colour_4, yellower, stated=Stated(condition="M2"))]
        light = Readiness("done", datetime(2026, 1, 6, tzinfo=UTC), {"uv": said})
        session = replace(room.session(), readiness={"viewing_light": light})
        limits = room.tables.limits
        gathered = gather(colour_4, both, session.condition, limits)
        facts = clues(session, colour_4, (), both, gathered, None, ProfileFacts(), room.tables)
        answer: bool | None = clue("light_lacks_ultraviolet")(replace(facts, paper=PAPER))
        return answer

    assert found(4.0, "no") is True
    assert found(4.0, "yes") is False
    assert found(0.2, "no") is False


def fitted(room: Any, sheet: Sheet, lab: np.ndarray, rows: slice = slice(None)) -> InkDeparture | None:
    taken = room.taken(sheet, {p.id: tuple(row) for p, row in zip(sheet.patches, lab.tolist(), strict=True)})
    promise = Inked(sheet)
    condition = PrintingCondition(intent="relative colorimetric")
    gathered = gather(sheet, [taken], condition, room.tables.limits, predicted=promise)
    assert gathered is not None and gathered.whole.predicted is not None
    evidence = replace(gathered.whole, measured=lab[rows], predicted=promise.all()[rows],
                       patches=sheet.patches[rows])  # fmt: skip
    return departure(promise, evidence, None, load_tables())


def test_the_shares_of_the_inks_are_found(room: Any, colour_4: Sheet) -> None:
    lab = Inked(colour_4).printed(amount=(-0.03, 0.0, 0.01), middle=(0.0, 0.02, 0.0), black=0.015)
    found = fitted(room, colour_4, lab)
    assert found is not None
    assert found.amount == pytest.approx([-0.03, 0.0, 0.01], abs=1e-6)
    assert found.middle == pytest.approx([0.0, 0.02, 0.0], abs=1e-6)
    assert found.black == pytest.approx(0.015, abs=1e-6)
    assert found.explained > 0.999


def test_a_few_wrong_patches_hardly_move_the_shares(room: Any, colour_4: Sheet) -> None:
    rng = np.random.default_rng(2)
    lab = Inked(colour_4).printed(amount=(-0.03, -0.03, -0.03))
    lab = lab + 0.1 * rng.standard_normal(lab.shape)
    lab[rng.choice(len(lab), 6, replace=False)] += 40.0
    found = fitted(room, colour_4, lab)
    assert found is not None
    assert found.amount == pytest.approx([-0.03] * 3, abs=0.004)


def test_too_few_patches_tell_no_shares(room: Any, colour_4: Sheet) -> None:
    assert fitted(room, colour_4, Inked(colour_4).all(), slice(0, 20)) is None


def test_greys_alone_do_not_tell_the_inks_apart(room: Any, colour_4: Sheet) -> None:
    """Wherever all inks are asked for alike, less of one and more of another look the same."""
    greys = tuple(patch for patch in colour_4.patches if patch.source and len(set(patch.source)) == 1)
    rows = [colour_4.patches.index(patch) for patch in greys]
    promise = Inked(colour_4)
    lab = promise.printed(middle=(0.0, 0.0, 0.1))
    sheet = replace(colour_4, patches=greys)
    taken = room.taken(sheet, {p.id: tuple(lab[k]) for p, k in zip(greys, rows, strict=True)})
    gathered = gather(sheet, [taken], PrintingCondition(), room.tables.limits, predicted=promise)
    assert gathered is not None
    found = departure(promise, replace(gathered.whole, predicted=promise.all()[rows]), None, load_tables())
    assert found is None or found.errors.max() > 0.05
