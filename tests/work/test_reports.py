"""What people query in an archive is what the program itself shows, to the last bit; and no more."""

import re
from pathlib import Path
from typing import Any

import pytest
from sqlite_utils import Database

from evaluation.session import Grade
from evaluation.work import home
from evaluation.work.bench import Bench
from evaluation.work.compare import compare
from evaluation.work.log import session
from evaluation.work.look import look
from evaluation.work.weigh import weigh
from tests.cases import some_now

DESCRIBED = (Path(__file__).parents[2] / "evaluation" / "archive" / "TABLES.md").read_text("utf-8")
EXAMPLES = re.findall(r'(?:sqlite3 -readonly|sqlite-utils query) "\$ARCHIVE" "(.*?)"', DESCRIBED, re.DOTALL)
NUMBERED = [f"example {number}" for number in range(1, len(EXAMPLES) + 1)]


def rows(bench: Bench, view: str, **where: Any) -> list[dict[str, Any]]:
    clause = " AND ".join(f"{name} = :{name}" for name in where) or "1"
    return list(Database(bench.archive.connection).query(f"SELECT * FROM {view} WHERE {clause}", where))


@pytest.mark.parametrize("number", [1, 2, 4])
def test_grades_are_those_of_the_session(bench: Bench, number: int) -> None:
    said = {
        (viewing.ordinal, viewing.observer, region, question): answer.value.value
        for viewing in session(bench, number).viewings
        for (region, question), answer in viewing.answers.items()
        if isinstance(answer.value, Grade)
    }
    found = {
        (row["viewing"], row["observer"], row["region"], row["question"]): row["grade"]
        for row in rows(bench, "report_grades", session=number)
    }
    assert found == said and found


def test_readings_are_the_runs_that_are_in(bench: Bench) -> None:
    for number in range(1, 7):
        found = {row["run"] for row in rows(bench, "report_readings", session=number)}
        assert found == session(bench, number).runs


def test_sessions_show_the_verdicts_of_the_list(bench: Bench) -> None:
    listed = {row["id"]: row["verdict"] for row in home.listed(bench) if row["verdict"] is not None}
    found = {row["session"]: row["verdict"] for row in rows(bench, "report_sessions")}
    assert listed and {number: found[number] for number in listed} == listed


@pytest.mark.parametrize("number", [1, 4])
def test_findings_are_those_of_the_weighing_unrounded(bench: Bench, number: int) -> None:
    findings = weigh.weigh(bench, number).findings
    found = rows(bench, "report_findings", session=number)
    assert [(row["region"], row["agreement"], row["viewings"]) for row in found] == [
        (one.region, one.agreement, one.viewings) for one in findings
    ]
    for name in ("eye", "instrument", "combined"):
        opinions = [getattr(one, name) for one in findings]
        assert [row[name] for row in found] == [one and one.grade for one in opinions]
        assert [row[f"{name}_spread"] for row in found] == [one and one.spread for one in opinions]


@pytest.mark.long
def test_comparisons_are_those_of_compare(bench: Bench) -> None:
    shown = compare.worked_out(bench, (1, 4))
    found = {row["region"]: row for row in rows(bench, "report_comparisons", a=1, b=4)}
    cells = {cell.region: cell for cell in shown.differences[1, 4]}
    assert found.keys() == cells.keys()
    for region, cell in cells.items():
        assert (found[region]["word"], found[region]["difference"]) == (cell.word, cell.difference)


def test_nothing_shows_before_its_grade(bench: Bench) -> None:
    """A second observer begins to look: what the first one's grades opened is closed again."""
    compare.worked_out(bench, (1, 4))
    assert rows(bench, "report_findings", session=4) and rows(bench, "report_comparisons", b=4)
    look.start(bench, 4, observer="second")
    assert rows(bench, "report_findings", session=4) == [] == rows(bench, "report_comparisons", b=4)
    assert rows(bench, "report_sessions", session=4)[0]["verdict"] is None
    weigh.weigh(bench, 4)
    assert all(row["instrument"] is None for row in rows(bench, "report_findings", session=4, region="skin"))


@pytest.mark.parametrize("query", some_now(EXAMPLES, EXAMPLES[0]), ids=NUMBERED)
def test_the_examples_of_the_readme_give_rows(bench: Bench, query: str) -> None:
    compare.worked_out(bench, (1, 4))
    assert list(Database(bench.archive.connection).query(query))


def test_every_column_is_described(bench: Bench) -> None:
    assert len(EXAMPLES) >= 3
    for view in Database(bench.archive.connection).views:
        if view.name.startswith("report_"):
            (line,) = re.findall(rf"^\| `{view.name}` \|.*$", DESCRIBED, re.MULTILINE)
            assert [column.name for column in view.columns if f"`{column.name}`" not in line] == []
