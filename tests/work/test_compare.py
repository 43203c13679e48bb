"""A matrix of prints: stored results first, the rest worked out and kept, nothing past the gate."""

import json
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import get_args

import pytest

from evaluation.archive import comparisons, documents
from evaluation.archive.connection import open_archive
from evaluation.errors import UsageProblem
from evaluation.judgement.matrix import ComparedSession, Matrix
from evaluation.judgement.two_prints import Word
from evaluation.session import Grade, Session
from evaluation.sheet.load import map_text, read_map
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.compare import compare, pairs
from evaluation.work.describe import begin
from evaluation.work.log import session
from evaluation.work.look import look
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from evaluation.work.weigh.inputs import inputs_of

FOUR = (1, 6, 4, 5)


@pytest.fixture
def fresh(finished: Path) -> Iterator[Bench]:
    """Nothing compared in it, session 6 not even weighed."""
    with open_archive(finished) as archive:
        yield Bench(archive)


@pytest.fixture
def bench(compared_archive: Path, tmp_path: Path) -> Iterator[Bench]:
    with open_archive(shutil.copy(compared_archive, tmp_path / "compared.db")) as archive:
        yield Bench(archive)


def words(matrix: Matrix, a: int, b: int) -> dict[str, str]:
    return {row.id: one.word for row in matrix.rows if (one := matrix.difference(row.id, a, b))}


def test_what_is_not_stored_is_named_and_not_worked_out(fresh: Bench) -> None:
    matrix = compare.at_once(fresh, FOUR)
    assert 6 in matrix.unweighed and 1 not in matrix.unweighed
    assert matrix.missing == ((1, 6), (1, 4), (1, 5))
    assert matrix.difference("skin", 1, 4) is None
    assert matrix.column(6).values == {}


@pytest.mark.long
def test_what_was_worked_out_is_there_at_once_afterwards(fresh: Bench) -> None:
    told: list[str] = []
    made = compare.worked_out(fresh, FOUR, tell=told.append)
    assert made.missing == made.unweighed == ()
    assert any(words.startswith("Weighing session 6") for words in told)
    assert "Comparing 1 and 4, 2 of 3. Esc stops; what is done is kept." in told
    assert compare.at_once(fresh, FOUR) == made


def test_every_row_has_one_of_the_words(bench: Bench) -> None:
    matrix = compare.worked_out(bench, (1, 4))
    found = words(matrix, 1, 4)
    assert found.keys() == {row.id for row in matrix.rows}
    assert set(found.values()) <= set(get_args(Word))


def test_a_matt_paper_differs_from_a_glossy_one_by_enough(bench: Bench) -> None:
    assert "large" in words(compare.worked_out(bench, (1, 4)), 1, 4).values()


def test_the_base_may_be_any_of_them_and_the_words_stay(bench: Bench) -> None:
    one, other = compare.worked_out(bench, (1, 4)), compare.worked_out(bench, (1, 4), 4)
    assert other.base == 4
    assert words(one, 1, 4) == words(other, 4, 1)
    for row in one.rows:
        there, back = one.difference(row.id, 1, 4), other.difference(row.id, 4, 1)
        assert there is not None and back is not None
        assert (back.a, back.b) == (4, 1)
        assert there.difference is None or back.difference == pytest.approx(-there.difference)


def test_a_region_without_a_grade_gives_no_number_away(bench: Bench) -> None:
    """A new viewing hides the one before: nothing of its open regions is shown or compared."""
    compare.worked_out(bench, (1, 4))
    look.start(bench, 4, kind="quick")
    look.answer(bench, 4, "skin", "overall", Grade(4))
    matrix = compare.worked_out(bench, (1, 4))
    hidden = matrix.column(4).values["neutral"]
    assert (hidden.combined, hidden.eye, hidden.instrument) == (None, None, None)
    assert hidden.agreement == "not graded yet"
    one = matrix.difference("neutral", 1, 4)
    assert one is not None
    assert (one.word, one.difference) == ("not comparable", None)
    assert one.reason == "not graded in session 4"


def test_a_stored_weighing_passes_the_gate_again_on_its_way_out(bench: Bench) -> None:
    """Whatever is kept, a region that is closed now says nothing."""
    weighing = weigh.weigh(bench, 1)
    said = session(bench, 1)
    subject = ComparedSession(said, sheet_of(bench, said), weighing.inputs, weighing, frozenset({"skin"}))
    found = pairs.findings(subject)
    assert found["skin"] in weighing.findings and found["skin"].eye is not None
    assert found["neutral"].eye is found["neutral"].instrument is found["neutral"].combined is None
    assert found["neutral"].metrics == () and found["neutral"].agreement == "not graded yet"


@pytest.mark.long
def test_where_eye_and_readings_disagree_there_is_no_number(bench: Bench) -> None:
    look.answer(bench, 6, "skin", "overall", Grade(1))
    matrix = compare.worked_out(bench, (1, 6))
    value = matrix.column(6).values["skin"]
    assert value.agreement == "disagree"
    assert (value.combined, value.eye, value.instrument) == (None, None, None)
    one = matrix.difference("skin", 1, 6)
    assert one is not None and one.reason == "eye and readings disagree in session 6"


@pytest.mark.long
def test_stopping_keeps_what_was_done(fresh: Bench) -> None:
    told: list[str] = []
    with pytest.raises(compare.Stop, match="kept"):
        compare.worked_out(
            fresh,
            FOUR,
            tell=told.append,
            stopped=lambda: any(words.startswith("Comparing 1 and 4") for words in told),
        )
    matrix = compare.at_once(fresh, FOUR)
    assert matrix.unweighed == ()
    assert matrix.missing == ((1, 5),)


def test_what_is_said_later_makes_a_comparison_stale(bench: Bench) -> None:
    compare.worked_out(bench, (1, 6, 4))
    look.answer(bench, 6, "skin", "overall", Grade(3))
    matrix = compare.at_once(bench, (1, 6, 4))
    assert matrix.unweighed == (6,)
    assert matrix.missing == ((1, 6),)


def test_another_set_of_tables_has_comparisons_of_its_own(bench: Bench) -> None:
    compare.worked_out(bench, (1, 4))
    other = replace(bench, settings_text="[thresholds]\ngrade_apart = 2.0\n")
    assert compare.at_once(other, (1, 4)).missing == ((1, 4),)


@pytest.mark.long
def test_every_pair_is_compared_when_groups_are_wanted(fresh: Bench) -> None:
    matrix = compare.worked_out(fresh, (1, 6, 4), every_pair=True)
    assert matrix.differences.keys() == {(1, 6), (1, 4), (4, 6)}


@pytest.mark.long
def test_an_archive_that_can_only_be_looked_at_is_compared_and_left_alone(finished: Path) -> None:
    before = finished.read_bytes()
    with open_archive(finished, read_only=True) as archive:
        matrix = compare.worked_out(Bench(archive), (1, 4))
        assert matrix.missing == ()
    assert finished.read_bytes() == before


@pytest.mark.parametrize("ids", [(1,), (1, 1), tuple(range(1, 40))])
def test_two_to_thirty_different_sessions(bench: Bench, ids: tuple[int, ...]) -> None:
    with pytest.raises(UsageProblem, match="2 to 30 different sessions"):
        compare.at_once(bench, ids)


def test_a_base_is_one_of_them(bench: Bench) -> None:
    with pytest.raises(UsageProblem, match="a base among the sessions"):
        compare.at_once(bench, (1, 4), 5)


def test_mono_and_colour_sheets_have_their_rows_side_by_side(bench: Bench) -> None:
    matrix = compare.worked_out(bench, (1, 3))
    assert {"skin", "mono_tone"} <= {row.id for row in matrix.rows}
    one = matrix.difference("ring", 1, 3)
    assert one is not None and one.reason == "another sheet"
    numbers = {row.id: row.number for row in matrix.rows}
    assert numbers["neutral"] is None and numbers["mono_neutral"] is None, "each is region 1 of its sheet"
    weights = matrix.weights["general"]  # neither sheet shows the program's pictures: they are not missed
    assert "neutral" in weights and not {"scenes", "gloss", "structure"} & weights.keys()
    alike = {row.id: row.number for row in compare.at_once(bench, (1, 4)).rows}
    assert alike["neutral"] == 1 and alike["shadow"] == 2


def test_the_same_fields_on_another_size_of_paper_are_one_sheet() -> None:
    sheet = read_map(map_text("colour-9"), "colour-9")
    smaller = replace(sheet, size_mm=(210.0, 297.0), code="AAAA-AAAA", digest="0" * 64)
    fewer = replace(sheet, patches=sheet.patches[:-1])
    assert pairs.fields_digest(smaller) == pairs.fields_digest(sheet)
    assert pairs.fields_digest(fewer) != pairs.fields_digest(sheet)


def test_three_copies_tell_the_spread_from_sheet_to_sheet(bench: Bench) -> None:
    """Copies are sessions of one printing condition; with fewer of them the default is taken, and said."""
    assert "of 1, 6" not in compare.at_once(bench, (1, 6)).caveats[0]
    copies = [1, *(begin.begin_like(bench, 1).id for _ in range(2))]
    matrix = compare.at_once(bench, [*copies, 4])
    assert "Spread from sheet to sheet of 4 not known: mean 0.5, worst 1.5" in matrix.caveats[0]
    assert compare.at_once(bench, copies).caveats == ()


def test_a_comparison_rests_on_the_copies_that_tell_its_spread(bench: Bench) -> None:
    rests_on = inputs_of(bench, weigh.tables(bench))

    def inputs() -> str:
        said = [session(bench, one) for one in ids]
        subjects = [ComparedSession(one, sheet_of(bench, one), rests_on(one)) for one in said]
        return pairs.inputs_of_pairs(subjects, weigh.tables(bench))((1, 4))

    ids = [1, 4]
    alone = inputs()
    ids.append(6)
    assert inputs() == alone, "another print on the table is none of its inputs"
    ids += [begin.begin_like(bench, 1).id for _ in range(2)]
    assert inputs() != alone


def test_prints_read_under_several_conditions_are_compared_under_a_shared_one(
    bench: Bench, finished: Path
) -> None:
    """The demo's readings hold M1 and M2; a print with M2 alone is compared under M2."""
    taken = read.taken_in(bench, session(bench, 6))
    m1 = next(part.run.id for part in taken if part.run.stated.condition == "M1")
    assert m1 is not None
    read.leave_out(bench, 6, m1)
    one = compare.worked_out(bench, (1, 6)).difference("skin", 1, 6)
    assert one is not None and "M1" not in one.reason


@pytest.mark.parametrize(
    ("detail", "light"),
    [
        ({}, ""),
        ({"class": "P1"}, "P1"),
        ({"lux": 2040.0, "kelvin": 5050.0}, "P1"),
        ({"lux": 480.0}, "P2"),
        ({"class": "P2", "kelvin": 4100.0}, "P2, 4000 K"),
        ({"kelvin": 3000.0}, "3000 K"),
    ],
)
def test_near_lights_are_one_light(bench: Bench, detail: dict[str, str | float], light: str) -> None:
    """Levels of ISO 3664: P1 2000 lx, P2 500 lx, each within its tolerance."""
    said = session(bench, 1)
    ready = replace(said.readiness["viewing_light"], detail=detail)
    with_light: Session = replace(said, readiness={**said.readiness, "viewing_light": ready})
    assert pairs.light(with_light) == light


def test_a_kept_comparison_is_what_was_worked_out(fresh: Bench) -> None:
    compare.worked_out(fresh, (1, 4))
    settings = weigh.tables(fresh).digest
    assert documents.fetch(fresh.archive, settings)
    rows = fresh.archive.rows("SELECT inputs, result FROM comparison")
    assert len(rows) == 1
    kept = comparisons.get(fresh.archive, (1, 4), settings, lambda pair: rows[0][0])
    assert {row["region"] for row in json.loads(kept[1, 4])} >= {"neutral", "skin"}
