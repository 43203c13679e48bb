"""The queries of ENGINES.md, as they stand there, find in many archives what was put into them."""

import ast
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive.connection import open_archive
from evaluation.entry import Draft
from evaluation.work.bench import Bench
from evaluation.work.export.export import export_all
from evaluation.work.log import say
from tests.cases import some_now
from tests.export.many import LOTS, OBSERVERS, PAPERS, build, pattern

HOUSE = Path(__file__).parents[2]
_ENGINES = (HOUSE / "evaluation" / "export" / "ENGINES.md").read_text("utf-8")
QUERIES = [
    re.sub(r"^--.*\n", "", one.strip(), flags=re.MULTILINE)
    for one in re.findall(r"```sql\n(.*?)```", _ENGINES, re.DOTALL)[0].split(";\n")
    if one.strip()
]
# Which tables; then how each engine gets them.
_NAMED, *_SETUP = ast.parse(re.findall(r"```python\n(.*?)```", _ENGINES, re.DOTALL)[0]).body
DUCKDB, POLARS, SPARK = (compile(ast.Module([_NAMED, one], []), "ENGINES.md", "exec") for one in _SETUP)


@pytest.fixture(scope="module", params=[4, pytest.param(24, marks=pytest.mark.long)])
def folder(
    request: pytest.FixtureRequest, demo_archive: Path, tmp_path_factory: pytest.TempPathFactory
) -> Path:
    """Sessions of two years, in two archives that both have all of them."""
    room = tmp_path_factory.mktemp("rooms") / f"{request.param} sessions"
    room.mkdir()
    build(room / "room.db", pattern(demo_archive), 3, count=request.param, patches=24)
    shutil.copy(room / "room.db", room / "other.db")
    with open_archive(room / "other.db") as archive:
        say(Bench(archive), 1, [Draft("remark", "paper", "went on, and is an archive by itself now")])
    done = export_all([room / "room.db", room / "other.db"], room / "tables", ["parquet"], processes=1)
    assert all(one.problem is None for one in done) and len({one.origin for one in done}) == 2
    return room


def by_duckdb() -> list[list[tuple[Any, ...]]]:
    duckdb = pytest.importorskip("duckdb", reason="the extra `parquet` is not installed")
    with duckdb.connect() as engine:
        exec(DUCKDB, {"duckdb": engine})
        return [engine.sql(query).fetchall() for query in QUERIES]


def by_polars() -> list[list[tuple[Any, ...]]]:
    polars = pytest.importorskip("polars", reason="polars is not installed")
    exec(POLARS, names := {"polars": polars})
    return [names["context"].execute(query).collect().rows() for query in QUERIES]


def by_spark() -> list[list[tuple[Any, ...]]]:
    sql = pytest.importorskip("pyspark.sql", reason="pyspark is not installed, for it wants Java")
    here = sql.SparkSession.builder.master("local[1]").config("spark.ui.enabled", "false")
    with here.getOrCreate() as spark:
        exec(SPARK, {"spark": spark})
        return [list(map(tuple, spark.sql(query).collect())) for query in QUERIES]


@pytest.mark.parametrize("engine", some_now([by_duckdb, by_polars, by_spark], by_duckdb))
def test_what_was_put_in_is_found(
    folder: Path, engine: Callable[[], list[list[tuple[Any, ...]]]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder)  # the paths are those of ENGINES.md
    papers, observers, lots = engine()
    many = int(folder.name.split()[0])
    assert sum(row[2] for row in lots) == many  # each session once
    if many < 24:  # too few to show what was put in
        assert papers and observers and {row[0] for row in papers} <= PAPERS.keys()
        return
    assert sum(row[1] for row in papers) == many
    assert {row[0] for row in papers} == PAPERS.keys()
    for paper, _, _, worst, a_year in papers:
        assert a_year == pytest.approx(PAPERS[paper][1], abs=0.1) and worst > PAPERS[paper][0] - 0.2
    assert [row[0] for row in observers] == sorted(OBSERVERS, key=OBSERVERS.__getitem__)
    for observer, _, leans, error in observers:
        assert abs(leans - OBSERVERS[observer]) < 4 * error < 0.4
    assert {row[0] for row in lots} == LOTS.keys()
    for lot, _, _, mean, a_year in lots:
        assert a_year == pytest.approx(LOTS[lot][1], abs=0.03) and mean == pytest.approx(
            LOTS[lot][0], abs=0.15
        )
