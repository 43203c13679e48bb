"""Each piece of evidence says what its clue asks: cases where the sentence would be false must answer no."""

from dataclasses import replace
from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from evaluation.judgement.clues import eye, fit, greys, readings
from evaluation.judgement.clues.facts import Clues, clues
from evaluation.judgement.clues.measures import solid_ratios
from evaluation.judgement.opinion import Finding, Opinion
from evaluation.judgement.weigh import weigh
from evaluation.metrics.gather import gather
from evaluation.readings.run import Repeats, Stated
from evaluation.session import Cast, Grade
from evaluation.sheet.layout import Sheet
from tests.judgement.prints import Promise

QUIET = Repeats(np.eye(3) * 0.1**2, 0.15, 0.3, 0.4, 60, 30)
SENT = datetime(2026, 1, 5, tzinfo=UTC)


@pytest.fixture
def facts(room: Any, colour_4: Sheet) -> Any:
    """The facts of a print with these media-relative colours, all of its regions graded."""

    def of(lab: np.ndarray | None = None, *viewings: Any, **more: Any) -> Clues:
        promise = Promise(colour_4, paper_lab=np.array([100.0, 0.0, 0.0]))
        expected = promise if more.pop("promised", True) else None
        colours = promise.all() if lab is None else lab
        rows = {p.id: tuple(row) for p, row in zip(colour_4.patches, colours.tolist(), strict=True)}
        rows = {name: rows[name] for name in more.pop("only", rows)}
        stated = more.pop(
            "stated", Stated(condition="M1", backing="white", measured_at=SENT.replace(day=8, hour=9))
        )
        taken = replace(room.taken(colour_4, rows, stated=stated), repeats=QUIET)
        condition = {"intent": "relative colorimetric", "black_point_compensation": True} | more
        seen = {(region.id, "overall"): Grade(3) for region in colour_4.regions}
        session = room.session(*(viewings or (room.viewing(seen),)), **condition)
        weighing = weigh(session, colour_4, [taken], room.tables, expected=expected)
        gathered = gather(colour_4, [taken], session.condition, room.tables.limits, predicted=expected)
        return clues(
            session, colour_4, weighing.findings, [taken], gathered, expected, SimpleNamespace(), room.tables
        )

    return of


def lab_of(sheet: Sheet) -> np.ndarray:
    return Promise(sheet).all()


def test_the_whole_scale_is_shifted_where_all_of_it_is(facts: Any, colour_4: Sheet) -> None:
    """Darks far off move the mean of the scale; its lights have not moved."""
    everywhere = lab_of(colour_4)
    everywhere[everywhere[:, 0] < 99, 0] -= 2.0
    assert fit.darker_all_over(facts(everywhere)) is True
    darks = lab_of(colour_4)
    darks[darks[:, 0] < 45, 0] -= 6.0
    assert fit.darker_all_over(facts(darks)) is False


def test_nothing_is_lighter_than_expected_where_nothing_is_expected(facts: Any, colour_4: Sheet) -> None:
    """A driver's own black and white has no aim of tone, and no profile to promise one."""
    lighter = lab_of(colour_4)
    lighter[lighter[:, 0] < 99, 0] += 3.0
    own = facts(lighter, driver_mode="driver's black and white", promised=False)
    assert own.reference is None and fit.lighter_all_over(own) is None


def test_strong_colours_are_weak_only_where_the_gamut_is_known(facts: Any, colour_4: Sheet) -> None:
    """Without a profile a strong colour of the file may lie out of any ink's reach."""
    weak = lab_of(colour_4)
    strong = np.hypot(weak[:, 1], weak[:, 2]) > 40
    weak[strong, 1:] *= 0.7
    assert solid_ratios(facts(weak)) is not None
    assert solid_ratios(facts(weak, promised=False)) is None
    assert readings.neighbours_far_apart(facts(weak, promised=False)) is False


def test_a_far_patch_between_near_neighbours(facts: Any, colour_4: Sheet) -> None:
    rows = {patch.id: k for k, patch in enumerate(colour_4.patches)}
    one, block = lab_of(colour_4), lab_of(colour_4)
    one[rows["N08"]] += (0.0, 30.0, 0.0)
    assert readings.neighbours_far_apart(facts(one)) is True
    for name in ("N07", "N08", "N09"):
        block[rows[name]] += (0.0, 30.0, 0.0)
    assert readings.neighbours_far_apart(facts(block)) is False


@pytest.mark.parametrize(("middle", "expected"), [(0.0, True), (4.0, False)])
def test_a_cast_is_strongest_in_the_lights_where_it_is(
    facts: Any, colour_4: Sheet, middle: float, expected: bool
) -> None:
    lab = lab_of(colour_4)
    for k, patch in enumerate(colour_4.patches):
        if patch.region == "neutral" and patch.role == "field":
            L = lab[k, 0]
            lab[k, 2] += 2.0 if L > 67 else middle if L > 34 else 0.0
    assert greys.cast_of_the_highlights(facts(lab)) is expected


def test_black_and_lights_are_clean_only_where_they_were_read(facts: Any, colour_4: Sheet) -> None:
    lab = lab_of(colour_4)
    for k, patch in enumerate(colour_4.patches):
        if patch.region == "neutral" and patch.role == "field" and 34 < lab[k, 0] < 67:
            lab[k, 2] += 4.0
    assert greys.cast_in_part_ends_clean(facts(lab)) is True
    no_black = [patch.id for patch in colour_4.patches if patch.id != colour_4.black_patch]
    assert greys.cast_in_part_ends_clean(facts(lab, only=no_black)) is None
    for k, patch in enumerate(colour_4.patches):
        if patch.region == "neutral" and patch.role == "field" and 10 < lab[k, 0] < 93:
            lab[k, 2] = 4.0
    assert greys.cast_in_part_ends_clean(facts(lab)) is False, "all thirds lean"


def test_the_eyes_cast_has_the_direction_of_the_paper_for_every_observer(
    facts: Any, room: Any, colour_4: Sheet
) -> None:
    def seen(word: str, observer: str, ordinal: int) -> Any:
        answers = {
            ("neutral", "cast"): Cast((("dark", word, "clear"),)),  # type: ignore[arg-type]
            ("neutral", "overall"): Grade(3),
        }
        return room.viewing(answers, observer=observer, ordinal=ordinal)

    def asked(*words: str) -> Any:
        told = facts(None, *(seen(word, f"o{k}", k) for k, word in enumerate(words, 1)))
        return eye.eye_cast_as_paper(replace(told, paper=np.array([96.0, 0.0, 4.0])))

    assert asked("yellow") is True
    assert asked("blue", "yellow") is False


def test_it_was_dry_when_every_reading_and_look_says_so(facts: Any) -> None:
    old = SENT.replace(day=8, hour=9)
    for stated, young, dry in (
        (Stated(condition="M1", measured_at=old), False, True),
        (Stated(condition="M1", measured_at=SENT.replace(hour=2)), True, False),
        (Stated(condition="M1"), False, None),
        (Stated(condition="M1", measured_at=datetime(2025, 12, 29, 4, tzinfo=UTC)), False, None),
    ):
        told = facts(None, stated=stated)
        assert (eye.read_or_seen_young(told), eye.dry_when_read(told)) == (young, dry)


def test_readings_are_even_under_stripes_where_there_are_readings(facts: Any) -> None:
    told = facts()
    striped = Finding(
        "tints",
        "Even tints",
        "tints",
        Opinion(2.0, 0.5, 1, ""),
        None,
        "eye only",
        None,
        "",
        faults=("banding",),
    )
    unread = replace(told, findings={"tints": striped})
    assert eye.eye_sees_stripes_readings_even(unread) is False
    read = replace(striped, instrument=Opinion(4.8, 0.5, 9, ""))
    assert eye.eye_sees_stripes_readings_even(replace(told, findings={"tints": read})) is True
