"""The words for how far a session is, checked row by row."""

from dataclasses import fields, replace
from datetime import UTC, datetime, timedelta

import pytest

from evaluation import progress
from evaluation.progress import Clocks, Coming
from evaluation.session import (
    READINESS,
    Answer,
    Count,
    Grade,
    PrintingCondition,
    Readiness,
    Session,
    Summary,
    Viewing,
)
from evaluation.sheet.layout import Question, Sheet, SheetRegion

PRINTED = datetime(2024, 3, 1, 12, 0, tzinfo=UTC)
SOON, LATER = PRINTED + timedelta(minutes=52), PRINTED + timedelta(days=2)

DESCRIBED = PrintingCondition(
    printer="Merrowby 24",
    paper="Rag 293",
    made_for="general",
    driver_mode="through the profile",
    quality="fine",
    printed_at=PRINTED,
)


def region(name, *, asked=True, whole=True):
    questions = (
        Question("steps", "grade", "Even?"),
        Question("overall", "grade", "As a whole?", whole_region=whole),
    )
    title = {"neutral": "Neutral greyscale", "skin": "Skin tones"}.get(name, name)
    return SheetRegion(name, None, name, title, "", None, questions if asked else (), (), (), ())


SHEET = Sheet(
    digest="0" * 64,
    title="",
    code="",
    encoding=None,
    size_mm=(1.0, 1.0),
    neutral_aim="paper",
    regions=(region("neutral"), region("skin"), region("texture", asked=False)),
    patches=(),
    paper_patch=None,
    black_patch=None,
)


def session(condition=DESCRIBED, *, ready=None, viewings=(), **more):
    readiness = {item: Readiness(mark, PRINTED) for item, mark in (ready or {}).items()}
    return Session(1, "", SHEET.digest, PRINTED, 0, condition, readiness, viewings=tuple(viewings), **more)


def viewing(*graded, ordinal=1, order=("neutral", "skin"), **more):
    answers = {(name, "overall"): Answer(Grade(4), PRINTED) for name in graded}
    return Viewing(ordinal, ordinal, "observer 1", "full", PRINTED, order, answers=answers, **more)


ALL_READY = dict.fromkeys(READINESS, "done")
HALF_READY = dict.fromkeys(list(READINESS)[:3], "done")
LOOKED = viewing("neutral", "skin")
WRITTEN = {"0" * 64: LATER}


@pytest.mark.parametrize(
    ("state", "evaluated"),
    [
        ("describing", session(PrintingCondition())),
        ("describing", session(replace(DESCRIBED, paper=""), ready=ALL_READY, viewings=[LOOKED], runs={1})),
        ("preparing", session()),
        ("preparing", session(ready=HALF_READY)),
        ("looking", session(ready=ALL_READY)),
        ("looking", session(ready=ALL_READY | {"alignment": "not done"})),
        ("looking", session(ready=HALF_READY, viewings=[viewing()])),
        ("looking", session(viewings=[viewing("skin")], runs={1})),
        ("looking", session(viewings=[LOOKED, viewing("skin", ordinal=2)], runs={1})),
        ("reading", session(viewings=[LOOKED])),
        ("reading", session(viewings=[viewing("skin"), replace(LOOKED, id=2, ordinal=2)])),
        ("weighed", session(viewings=[LOOKED], runs={1})),
        ("written up", session(viewings=[LOOKED], runs={1}, written=WRITTEN)),
        ("written up", session(viewings=[LOOKED], written=WRITTEN)),
        ("looking", session(viewings=[viewing("skin")], runs={1}, written=WRITTEN)),
    ],
)
def test_the_state_is_the_first_step_not_done(state, evaluated):
    assert progress.state(evaluated, SHEET, LATER) == state


@pytest.mark.parametrize(
    "evaluated",
    [
        session(),
        session(replace(DESCRIBED, paper="")),
        session(ready={"dry": "not done"}),
    ],
)
def test_drying_stands_in_place_of_the_state_while_its_clock_runs(evaluated):
    assert progress.state(evaluated, SHEET, SOON) == "drying"
    assert progress.state(evaluated, SHEET, PRINTED + timedelta(hours=24)) != "drying"


@pytest.mark.parametrize(
    "evaluated",
    [
        session(replace(DESCRIBED, printed_at=None)),
        session(ready={"dry": "done"}),
        session(ready={"dry": "does not apply"}),
        session(viewings=[LOOKED], written=WRITTEN),
        session(viewings=[viewing("skin")]),
        session(viewings=[LOOKED], runs={1}),
    ],
)
def test_nothing_dries_when_a_person_says_so_or_nobody_waits(evaluated):
    assert progress.state(evaluated, SHEET, SOON) != "drying"


@pytest.mark.parametrize("needed", progress.NEEDED)
def test_describe_needs_these_fields(needed):
    empty = PrintingCondition()
    without = replace(DESCRIBED, **{needed: getattr(empty, needed)})
    assert progress.open_fields(without) == (needed,)


def test_describe_needs_no_other_field():
    assert progress.open_fields(DESCRIBED) == ()
    assert {field.name for field in fields(DESCRIBED)} >= set(progress.NEEDED)


def words(evaluated, now=LATER, **known):
    return [step.words for step in progress.steps(evaluated, SHEET, now, **known)]


@pytest.mark.parametrize(
    ("expected", "evaluated", "known"),
    [
        (["5 open", "0 of 11", "-", "none", "after Look", "after Weigh"], session(PrintingCondition()), {}),
        (["done", "4 of 11", "-", "none", "after Look", "after Weigh"], session(ready=HALF_READY), {}),
        (["done", "done", "-", "none", "after Look", "after Weigh"], session(ready=ALL_READY), {}),
        (
            ["done", "1 open", "-", "none", "after Look", "after Weigh"],
            session(ready=ALL_READY | {"alignment": "not done"}),
            {},
        ),
        (
            ["done", "2 open", "1 of 2", "in, unseen", "after Look", "after Weigh"],
            session(
                ready={k: "done" for k in READINESS if k != "alignment"} | {"dry": "not done"},
                viewings=[viewing("skin")],
                runs={1},
            ),
            {"conditions": ["M1", "M2"]},
        ),
        (
            ["done", "done", "2 of 2", "none", "ready", "ready"],
            session(ready=ALL_READY, viewings=[LOOKED]),
            {},
        ),
        (
            ["done", "done", "2 of 2", "in, M1 M2", "1 disagrees", "ready"],
            session(ready=ALL_READY, viewings=[LOOKED], runs={1, 2}),
            {"conditions": ["M1", "M2"], "disagree": 1},
        ),
        (
            ["done", "done", "2 of 2", "in", "3 disagree", "ready"],
            session(ready=ALL_READY, viewings=[LOOKED], runs={1}),
            {"disagree": 3},
        ),
        (
            ["done", "done", "2 of 2", "in", "done", "written"],
            session(ready=ALL_READY, viewings=[LOOKED], runs={1}, written=WRITTEN),
            {"disagree": 0},
        ),
    ],
)
def test_each_step_has_its_word(expected, evaluated, known):
    assert words(evaluated, **known) == expected


def test_the_steps_stand_in_their_order():
    names = [step.name for step in progress.steps(session(), SHEET, LATER)]
    assert names == ["Describe", "Prepare", "Look", "Read", "Weigh", "Write up"]


def test_a_step_is_done_or_not():
    done = session(ready=ALL_READY, viewings=[LOOKED], runs={1}, written=WRITTEN)
    assert all(step.done for step in progress.steps(done, SHEET, LATER, disagree=2))
    assert not any(step.done for step in progress.steps(session(PrintingCondition()), SHEET, LATER))


def test_a_region_counts_by_its_grade_as_a_whole():
    other = Viewing(1, 1, "", "full", PRINTED, (), answers={("skin", "steps"): Answer(Grade(4), PRINTED)})
    assert progress.looked(session(viewings=[other]), SHEET) == (0, 2)
    count = Viewing(1, 1, "", "full", PRINTED, (), answers={("skin", "overall"): Answer(Count(4), PRINTED)})
    assert progress.looked(session(viewings=[count]), SHEET) == (0, 2)
    assert progress.looked(session(viewings=[viewing("skin", "texture")]), SHEET) == (1, 2)


def test_a_region_without_a_question_for_its_whole_is_never_waited_for():
    sheet = replace(SHEET, regions=(region("skin"), region("edge", whole=False)))
    assert progress.looked(session(viewings=[viewing("skin")]), sheet) == (1, 1)


def test_the_clocks_of_prepare_turn_into_done_by_themselves():
    waiting = session(ready=dict.fromkeys(("dry", "adapted")), timers={"adaptation": PRINTED})
    assert progress.marks(waiting, PRINTED + timedelta(minutes=2))["adapted"] is None
    assert progress.marks(waiting, PRINTED + timedelta(minutes=3))["adapted"] == "done"
    assert progress.marks(waiting, PRINTED + timedelta(hours=23))["dry"] is None
    assert progress.marks(waiting, PRINTED + timedelta(hours=24))["dry"] == "done"
    refused = session(ready={"dry": "not done", "adapted": "not done"}, timers={"adaptation": PRINTED})
    assert progress.marks(refused, LATER)["dry"] == progress.marks(refused, LATER)["adapted"] == "not done"


def test_the_clocks_may_be_set():
    quick = Clocks(drying=timedelta(minutes=30), adaptation=timedelta(seconds=30))
    assert progress.state(session(), SHEET, SOON, quick) == "preparing"
    assert progress.dries_until(session(), quick) == PRINTED + timedelta(minutes=30)


def test_open_readiness_is_what_was_not_answered_or_not_done():
    half = session(ready=dict.fromkeys(READINESS, "done") | {"flat": None, "surround": "not done"})
    assert progress.open_readiness(half, LATER) == ("flat", "surround")


@pytest.mark.parametrize(
    ("expected", "evaluated"),
    [
        (Coming("Describe", "printed at"), session(replace(DESCRIBED, printed_at=None))),
        (
            Coming("Prepare", "heads aligned, this direction and quality"),
            session(ready=dict(list(ALL_READY.items())[:2])),
        ),
        (Coming("Look", "region 1 of 2: neutral greyscale"), session(ready=ALL_READY)),
        (Coming("Look", "region 2 of 2: skin tones"), session(viewings=[viewing("neutral")])),
        (
            Coming("Look", "region 1 of 2: skin tones"),
            session(viewings=[viewing("neutral", order=("skin", "neutral"))]),
        ),
        (Coming("Look", "region 1 of 2: neutral greyscale"), session(viewings=[viewing(order=("gone",))])),
        (Coming("Read", "no readings yet"), session(viewings=[LOOKED])),
        (
            Coming("Look", "again: skin tones"),
            session(viewings=[replace(LOOKED, look_again=frozenset({"skin"}))], runs={1}),
        ),
        (Coming("Write up", "not written yet"), session(viewings=[LOOKED], runs={1})),
        (None, session(viewings=[LOOKED], runs={1}, written=WRITTEN)),
        (None, session(viewings=[LOOKED], written=WRITTEN)),
    ],
)
def test_what_comes_next(expected, evaluated):
    assert progress.coming(evaluated, SHEET, LATER) == expected


@pytest.mark.parametrize(
    ("expected", "mode", "quality"),
    [
        ("profile, quality 5", "through the profile", "5 of 5"),
        ("driver's b&w, quality 3", "driver's black and white", "3"),
        ("profile, fine", "through the profile", "fine"),
        ("Quality 2", "", "Quality 2 of 5"),
        ("profile", "through the profile", ""),
        ("", "", ""),
    ],
)
def test_how_it_was_printed_in_a_few_words(expected, mode, quality):
    assert progress.printed(PrintingCondition(driver_mode=mode, quality=quality)) == expected


def test_the_summary_holds_what_a_list_shows():
    evaluated = session(viewings=[replace(viewing("skin"), look_again=frozenset({"neutral"}))])
    assert progress.summary(evaluated, SHEET) == Summary(
        printer="Merrowby 24",
        paper="Rag 293",
        printed="profile, fine",
        printed_at=PRINTED,
        made_for="general",
        state="looking",
        dries_until=None,
        regions=2,
        looked=1,
        again=1,
    )


@pytest.mark.parametrize("now", [PRINTED, SOON, PRINTED + timedelta(hours=24), LATER])
@pytest.mark.parametrize(
    "evaluated",
    [
        session(PrintingCondition()),
        session(ready={k: "done" for k in READINESS if k != "dry"}),
        session(ready=HALF_READY),
        session(viewings=[LOOKED], runs={1}),
        session(viewings=[LOOKED], runs={1}, written=WRITTEN),
    ],
)
def test_a_summary_stays_true_while_the_clock_of_drying_runs_on(evaluated, now):
    """It is written once, with no idea of the time at which a list will show it."""
    kept = progress.summary(evaluated, SHEET)
    assert progress.shown_state(kept.state, kept.dries_until, now) == progress.state(evaluated, SHEET, now)


def test_what_comes_next_in_prepare_is_what_a_person_can_answer():
    """The clock of drying answers its own line."""
    waiting = session(ready={k: "done" for k in READINESS if k not in ("dry", "surround")})
    coming = progress.coming(waiting, SHEET, SOON)
    assert coming is not None and coming.words == READINESS["surround"]
