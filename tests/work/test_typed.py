"""Readings typed by hand: one run, every line saved, its rounding kept, the gate before what is shown."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from evaluation.archive import runs, sessions
from evaluation.archive.connection import open_archive
from evaluation.errors import UsageProblem
from evaluation.metrics.pool import pooled
from evaluation.session import Grade, PrintingCondition
from evaluation.work import log
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import begin
from evaluation.work.look import look
from evaluation.work.take_in import files, read, typed
from evaluation.work.take_in.typed import Hand
from evaluation.work.weigh import weigh

M1 = Hand("M1", "hand-held, 45/0", "white")
NOON = datetime(2026, 11, 24, 12, tzinfo=UTC)


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    with open_archive(tmp_path / "room.db", create=True) as archive:
        bench = Bench(archive, now=lambda: NOON)
        begin.begin(bench, PrintingCondition(paper="Sallowfell Lustre 247"), {})
        yield bench


def grade(bench: Bench, region_id: str) -> None:
    if log.session(bench, 1).viewing is None:
        look.start(bench, 1, kind="quick")
    region = sheet_of(bench, log.session(bench, 1)).region(region_id)
    assert region.whole is not None
    look.answer(bench, 1, region_id, region.whole.id, Grade(4))


def patch_of(bench: Bench, region_id: str) -> str:
    patches = sheet_of(bench, log.session(bench, 1)).patches
    return next(patch.id for patch in patches if patch.region == region_id)


def test_all_that_is_typed_is_one_run_without_a_source(bench: Bench) -> None:
    first, second = (patch.id for patch in sheet_of(bench, log.session(bench, 1)).patches[:2])
    typed.put(bench, 1, first, "96.1 0.3 -1.2", M1)
    step = typed.put(bench, 1, second, "3.0 0.1 0.2", M1)
    (run,) = runs.of_session(bench.archive, 1)
    assert [ref.patch for ref in run.patches] == [first, second]
    assert run.lab is not None and run.lab.tolist() == [[96.1, 0.3, -1.2], [3.0, 0.1, 0.2]]
    assert (run.source_digest, run.source_name, run.stated.condition) == (None, "", "M1")
    assert step.session.runs == {run.id}
    (taken,) = files.taken_files(bench, step.session)
    assert (taken.name, taken.about) == ("typed by hand", "2 readings, M1, printed as a picture")


def test_undo_takes_back_a_line_at_a_time_and_redo_says_it_again(bench: Bench) -> None:
    first, second = (patch.id for patch in sheet_of(bench, log.session(bench, 1)).patches[:2])
    typed.put(bench, 1, first, "96.1 0.3 -1.2", M1)
    typed.put(bench, 1, second, "3.0 0.1 0.2", M1)
    log.undo(bench, 1)
    assert [len(run) for run in runs.of_session(bench.archive, 1)] == [1]
    log.undo(bench, 1)
    assert runs.of_session(bench.archive, 1) == ()
    log.redo(bench, 1)
    log.redo(bench, 1)
    assert [len(run) for run in runs.of_session(bench.archive, 1)] == [2]


def test_another_condition_is_another_run(bench: Bench) -> None:
    patch = sheet_of(bench, log.session(bench, 1)).patches[0].id
    typed.put(bench, 1, patch, "96.1 0.3 -1.2", M1)
    typed.put(bench, 1, patch, "96.2 0.3 0.4", Hand("M2", "hand-held, 45/0", "white"))
    assert [run.stated.condition for run in runs.of_session(bench.archive, 1)] == ["M1", "M2"]


def test_a_patch_typed_twice_was_read_twice_and_one_reading_can_go(bench: Bench) -> None:
    patch = sheet_of(bench, log.session(bench, 1)).patches[0].id
    typed.put(bench, 1, patch, "96.1 0.3 -1.2", M1)
    step = typed.put(bench, 1, patch, "96.3 0.3 -1.2", M1)
    (taken,) = read.taken_in(bench, step.session)
    assert taken.repeats.readings == 2
    assert step.words.endswith("reading 2")
    typed.take_away(bench, 1, patch, M1)
    (run,) = runs.of_session(bench.archive, 1)
    assert run.lab is not None and run.lab.tolist() == [[96.1, 0.3, -1.2]]
    typed.take_away(bench, 1, patch, M1)
    assert sessions.load(bench.archive, 1).runs == frozenset()
    with pytest.raises(UsageProblem, match="No reading"):
        typed.take_away(bench, 1, patch, M1)


@pytest.mark.parametrize(
    ("text", "values", "rounding"),
    [
        ("96.1 0.3 -1.2", (96.1, 0.3, -1.2), 0.1),
        ("96,14 0,3 -1", (96.14, 0.3, -1.0), 0.01),
        ("96.1; 0.3; -1.2", (96.1, 0.3, -1.2), 0.1),
        ("96.1, 0.3, -1.2", (96.1, 0.3, -1.2), 0.1),
        ("96 0 -1", (96.0, 0.0, -1.0), 1.0),
        ("1e1 0 0", (10.0, 0.0, 0.0), 1.0),
    ],
)
def test_digits_are_taken_as_typed(text: str, values: tuple[float, ...], rounding: float) -> None:
    assert typed.understood(text, "CIELAB", "N05") == (values, rounding)


def test_rounding_of_xyz_weighs_more_in_the_dark() -> None:
    """CIE 15: below Y/Yn = 0.008856 a* is 500 x 7.787 X/Xn, so 0.01 of X moves it by 0.4."""
    _, dark = typed.understood("0.20 0.20 0.17", "XYZ", "N01")
    _, light = typed.understood("85.12 88.34 72.10", "XYZ", "N20")
    assert dark == pytest.approx(500 * 7.787 * 0.01 / 96.422, rel=1e-3)
    assert light < 0.02


def test_rounding_enters_the_spread(bench: Bench) -> None:
    """A value rounded to d is spread by d / sqrt(12), variance of the uniform distribution (GUM 4.3.7)."""
    sheet = sheet_of(bench, log.session(bench, 1))
    for patch in (sheet.patches[0].id, next(p.id for p in sheet.patches if p.role == "paper")):
        for text in ("95 1 1", "95 1 1"):
            typed.put(bench, 1, patch, text, M1)
    session = log.session(bench, 1)
    takens = read.taken_in(bench, session)
    limits = replace(weigh.tables(bench).limits, repeats_least=1)
    found = pooled(sheet_of(bench, session), takens, limits)
    assert found is not None and takens[0].repeats.mcdm == 0.0
    assert np.allclose(np.asarray(found.covariance), np.eye(3) / 12)


@pytest.mark.parametrize(
    "text", ["", "96.1 0.3", "96.1 0.3 -1.2 4", "white", "nan 0 0", "140 0 0", "50 300 0"]
)
def test_what_is_no_colour_is_refused_and_nothing_is_kept(bench: Bench, text: str) -> None:
    patch = sheet_of(bench, log.session(bench, 1)).patches[0].id
    with pytest.raises(UsageProblem, match="Nothing was saved"):
        typed.put(bench, 1, patch, text, M1)
    assert runs.of_session(bench.archive, 1) == ()


def test_values_of_an_ungraded_region_are_not_shown_back(bench: Bench) -> None:
    neutral, shadow = patch_of(bench, "neutral"), patch_of(bench, "shadow")
    for patch in (neutral, shadow):
        typed.put(bench, 1, patch, "40.5 0.3 -1.2", M1, by_another=True)
    grade(bench, "neutral")
    rows = {row.id: row for row in typed.listed(bench, log.session(bench, 1), M1)}
    assert (rows[neutral].values, rows[neutral].shown) == ((40.5, 0.3, -1.2), True)
    assert (rows[shadow].values, rows[shadow].shown, rows[shadow].count) == (None, False, 1)


def test_who_types_a_number_has_seen_it_and_later_grades_say_so(bench: Bench) -> None:
    shadow = patch_of(bench, "shadow")
    look.start(bench, 1, kind="quick")
    typed.put(bench, 1, shadow, "40.5 0.3 -1.2", M1)
    session = log.session(bench, 1)
    assert session.viewing is not None and set(session.viewing.revealed) == {"shadow"}
    assert next(row for row in typed.listed(bench, session, M1) if row.id == shadow).shown
    grade(bench, "shadow")
    grade(bench, "neutral")
    answers = log.session(bench, 1).viewing.answers  # type: ignore[union-attr]
    late = {region: answer.after_reveal for (region, _), answer in answers.items()}
    assert late == {"shadow": True, "neutral": False}


def test_a_number_of_a_graded_region_or_typed_by_another_reveals_nothing(bench: Bench) -> None:
    grade(bench, "neutral")
    typed.put(bench, 1, patch_of(bench, "neutral"), "40.5 0.3 -1.2", M1)
    typed.put(bench, 1, patch_of(bench, "shadow"), "10.5 0.3 -1.2", M1, by_another=True)
    session = log.session(bench, 1)
    assert not session.revealed and session.viewing is not None and not session.viewing.revealed


def test_what_is_no_colour_reveals_nothing(bench: Bench) -> None:
    with pytest.raises(UsageProblem):
        typed.put(bench, 1, patch_of(bench, "shadow"), "white", M1)
    assert not log.session(bench, 1).revealed


def test_undo_takes_the_number_back_and_not_that_it_was_seen(bench: Bench) -> None:
    typed.put(bench, 1, patch_of(bench, "shadow"), "40.5 0.3 -1.2", M1)
    session = log.undo(bench, 1).session
    assert not session.runs and set(session.revealed) == {"shadow"}


def test_what_is_said_once_is_remembered(bench: Bench) -> None:
    said = typed.said(bench, Hand(), "condition", "m1")
    said = typed.said(bench, said, "instrument", "hand-held, 45/0")
    assert typed.hand(bench, log.session(bench, 1)) == said == Hand("M1", "hand-held, 45/0")
    with pytest.raises(UsageProblem, match="M0, M1, M2, M3"):
        typed.said(bench, said, "condition", "M7")
    assert typed.said(bench, said, "condition", "").condition == ""
