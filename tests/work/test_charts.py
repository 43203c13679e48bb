"""Profiling data: facts of it, settings side by side, the machine read again, offered and taken over."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from evaluation.archive.connection import open_archive
from evaluation.errors import UsageProblem
from evaluation.judgement.tables import load_tables
from evaluation.readings.supplied import Supplied
from evaluation.session import PrintingCondition
from evaluation.telling import charts as words
from evaluation.work.bench import Bench
from evaluation.work.charts import charts, document, kept
from evaluation.work.describe import begin
from evaluation.work.log import session, undo
from evaluation.work.take_in import read
from fixtures import cgats
from fixtures.printer.bands import Array
from fixtures.printer.machine import QUALITIES, Machine
from fixtures.printer.papers import PAPERS, Condition
from fixtures.printer.printing import unmanaged

TABLES = load_tables(None)
LUSTRE = Machine(PAPERS["Sallowfell Lustre 247"])
CONDITION = PrintingCondition(printer="Merrowby 24", paper="Sallowfell Lustre 247", quality="fine")
UNMANAGED = Supplied(printed_as="unmanaged")


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    with open_archive(tmp_path / "archive.db", create=True) as archive:
        yield Bench(archive, now=lambda: datetime(2026, 3, 9, 12, tzinfo=UTC))


def device() -> Array:
    """A cube of 7 steps, 21 greys, and six patches six times."""
    steps = np.linspace(0, 1, 7)
    cube = np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1).reshape(-1, 3)
    greys = np.repeat(np.linspace(0, 1, 21)[:, None], 3, axis=1)
    again = np.array([[0, 0, 0], [1, 1, 1], [0.4, 0.4, 0.4], [1, 0, 0], [0, 1, 0], [0, 0, 1]] * 6)
    return np.asarray(np.round(np.vstack([cube, greys, again]) * 255) / 255)


def file(
    path: Path,
    machine: Machine = LUSTRE,
    *,
    day: str = "2026-02-27",
    rows: slice = slice(None),
    conditions: tuple[Condition, ...] = ("M1", "M2"),
    seed: int = 1,
) -> Path:
    found = unmanaged(machine, device()[rows], np.random.default_rng(seed), conditions=conditions)
    path.write_text(cgats.text(found, path.stem, datetime.fromisoformat(f"{day}T09:00:00+00:00")), "utf-8")
    return path


def taken_in(bench: Bench, session_id: int, path: Path) -> None:
    read.take_in(bench, session_id, read.preview(bench, session_id, path, UNMANAGED))


def begun(bench: Bench, **said: object) -> int:
    return begin.begin(bench, replace(CONDITION, **said), {}).id  # type: ignore[arg-type]


def told(found: charts.OfSession) -> list[str]:
    return words.told([found], ())


def test_profiling_data_shows_black_greys_and_whitener_of_its_setting(bench: Bench, tmp_path: Path) -> None:
    made = begun(bench)
    taken_in(bench, made, file(tmp_path / "chart.txt"))
    facts = charts.of_session(bench, made, TABLES).chart
    assert facts is not None and facts.conditions == ("M1", "M2")
    assert facts.patches == len({tuple(row) for row in device().tolist()})
    assert facts.depth.d_max is not None and facts.depth.d_max > 2.3
    assert facts.flatness is not None and facts.flatness.readings >= 7
    assert facts.greys is not None and len(facts.greys.level) >= 21
    assert facts.whitener is not None and facts.whitener.db > 1


def test_conditions_in_files_of_their_own_are_one_chart(bench: Bench, tmp_path: Path) -> None:
    """Common practice: a program writes M1 and M2 of one reading to two files."""
    made, other = begun(bench), begun(bench)
    for condition, day in (("M1", "2026-02-27"), ("M2", "2026-02-27"), ("M2", "2026-03-05")):
        path = file(tmp_path / f"{condition} {day}.txt", day=day, conditions=(condition,))  # type: ignore[arg-type]
        if day == "2026-02-27":
            taken_in(bench, made, path)
        if (condition, day) != ("M2", "2026-02-27"):
            taken_in(bench, other, path)
    chart = charts.of_session(bench, made, TABLES).chart
    assert chart is not None and chart.whitener is not None and chart.conditions == ("M1", "M2")
    assert ("file", "M1 2026-02-27.txt and M2 2026-02-27.txt") in [
        (name, cells[0]) for name, *cells in words.rows([charts.of_session(bench, made, TABLES)])
    ]
    apart = charts.of_session(bench, other, TABLES)
    assert apart.chart is not None and apart.chart.whitener is None and apart.others == ("M2 2026-03-05.txt",)


def test_a_session_without_profiling_data_says_so(bench: Bench) -> None:
    made = begun(bench)
    found = charts.of_session(bench, made, TABLES)
    assert found.chart is None and ("file", "no profiling data") in words.rows([found])
    assert document.document([found], ())["sessions"][0]["chart"] is None


@pytest.mark.long
def test_steps_of_the_quality_setting_are_measurable_yet_hardly_visible(bench: Bench, tmp_path: Path) -> None:
    """Common practice: neighbouring quality settings differ by less than an eye tells side by side."""
    ids = []
    for quality in (3, 4, 5):
        ids.append(begun(bench, quality=QUALITIES[quality]))
        machine = replace(LUSTRE, quality=quality)
        taken_in(bench, ids[-1], file(tmp_path / f"q{quality}.txt", machine, seed=quality))
    found = [charts.of_session(bench, each, TABLES) for each in ids]
    between = charts.between(bench, found, TABLES)
    assert [(each.a, each.b) for each in between] == [(ids[0], ids[1]), (ids[0], ids[2])]
    assert [each.compared.word for each in between if each.compared] == ["measured", "measured"]
    rows = {row[0]: row[1:] for row in words.rows(found)}
    assert rows["quality"] == ("fine", "finer", "finest")
    assert all(cell.startswith("D 2.") for cell in rows["black"])


def test_patches_read_again_tell_whether_the_machine_has_moved(bench: Bench, tmp_path: Path) -> None:
    made = begun(bench)
    taken_in(bench, made, file(tmp_path / "chart.txt"))
    some = slice(0, None, 8)
    moved = replace(LUSTRE, drift={"yellow": (0.0, 0.02, 0.06, 0.02, 0.0)})
    taken_in(bench, made, file(tmp_path / "again.txt", day="2026-03-05", rows=some, seed=5))
    taken_in(bench, made, file(tmp_path / "later.txt", moved, day="2026-03-08", rows=some, seed=6))
    again = charts.of_session(bench, made, TABLES).again
    assert [each.run.source_name for each in again] == ["again.txt", "later.txt"]
    assert again[0].compared.against.mean < 0.3 < 0.5 < again[1].compared.against.mean
    assert again[1].compared.word != "alike" and not again[1].compared.within_sheets
    assert again[1].compared.against.limit is not None
    said = words.again_words(again[1])
    assert said.startswith("later.txt, 08 Mar 2026: ") and "beyond repeats" in said


def test_readings_of_another_chart_are_no_reading_again(bench: Bench, tmp_path: Path) -> None:
    made = begun(bench)
    taken_in(bench, made, file(tmp_path / "chart.txt"))
    other = unmanaged(LUSTRE, device()[1:41] * 0.983, np.random.default_rng(2))
    path = tmp_path / "other.txt"
    path.write_text(cgats.text(other, "other", datetime(2026, 3, 5, tzinfo=UTC)), "utf-8")
    taken_in(bench, made, path)
    found = charts.of_session(bench, made, TABLES)
    assert found.again == () and found.others == ("other.txt",)
    assert any(line.startswith("other.txt, session 1: not compared with chart.txt") for line in told(found))


def test_beside_a_session_stand_those_of_its_printer_and_paper_each_chart_once(
    bench: Bench, tmp_path: Path
) -> None:
    first, finer = begun(bench), begun(bench, quality="finest")
    elsewhere = begun(bench, paper="another")
    for number, each in enumerate((first, finer, elsewhere)):
        taken_in(bench, each, file(tmp_path / f"{each}.txt", seed=number))
    like = begin.begin_like(bench, first).id
    kept.take_over(bench, like, first)
    found = charts.side_by_side(bench, like, TABLES)
    assert [each.session.id for each in found] == [like, finer]


# --- offered and taken over ---


def test_a_session_of_the_same_condition_is_offered_them_and_counts_none(
    bench: Bench, tmp_path: Path
) -> None:
    first = begun(bench)
    taken_in(bench, first, file(tmp_path / "chart.txt"))
    second = begin.begin_like(bench, first)
    (offer,) = kept.offered(bench, second)
    assert (offer.session, offer.file, offer.conditions) == (first, "chart.txt", ("M1", "M2"))
    assert offer.readings == len(device()) and str(first) in offer.about
    assert not second.runs and read.taken_in(bench, second) == ()


@pytest.mark.parametrize("field", ["printer", "paper", "quality"])
def test_another_condition_is_offered_nothing(bench: Bench, tmp_path: Path, field: str) -> None:
    taken_in(bench, begun(bench), file(tmp_path / "chart.txt"))
    assert kept.offered(bench, session(bench, begun(bench, **{field: "another"}))) == ()
    assert kept.offered(bench, session(bench, begun(bench, **{field: ""}))) == ()


def test_what_was_taken_over_counts_like_what_was_read_and_undo_leaves_it_out(
    bench: Bench, tmp_path: Path
) -> None:
    first = begun(bench)
    taken_in(bench, first, file(tmp_path / "chart.txt"))
    second = begin.begin_like(bench, first).id
    after = kept.take_over(bench, second, first).session
    assert after.runs == session(bench, first).runs
    assert [len(each.run) for each in read.taken_in(bench, after)] == [len(device())] * 2
    assert charts.of_session(bench, second, TABLES).chart is not None
    assert kept.offered(bench, after) == ()
    undo(bench, second)
    assert not session(bench, second).runs and session(bench, first).runs


def test_what_the_other_session_leaves_out_stays_where_it_was_taken_over(
    bench: Bench, tmp_path: Path
) -> None:
    first = begun(bench)
    taken_in(bench, first, file(tmp_path / "chart.txt"))
    second = begin.begin_like(bench, first).id
    kept.take_over(bench, second, first)
    undo(bench, first)
    assert not read.taken_in(bench, session(bench, first))
    assert len(read.taken_in(bench, session(bench, second))) == 2
    third = begin.begin_like(bench, first)
    assert kept.offered(bench, third) == ()


def test_a_session_that_has_none_to_give_is_told_with_those_that_have(bench: Bench, tmp_path: Path) -> None:
    first, other = begun(bench), begun(bench, quality="finest")
    taken_in(bench, first, file(tmp_path / "chart.txt"))
    second = begin.begin_like(bench, first).id
    with pytest.raises(UsageProblem, match=f"Offered are: session {first}"):
        kept.take_over(bench, second, other)
    with pytest.raises(UsageProblem, match="Read the file itself in"):
        kept.take_over(bench, other, first)
