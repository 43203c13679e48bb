"""What the tables hold is what the archive holds, whichever way they are written."""

import json
from collections import Counter
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from evaluation.archive import runs, sessions
from evaluation.archive.connection import open_archive
from evaluation.export.columns import PARTITIONS, TABLES
from evaluation.export.dictionary import header
from evaluation.metrics.black import black
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.export.export import export_all
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from tests.export.tabled import rows

# The views that people query inside an archive, and columns that both have.
VIEWS = {
    "findings": ("report_findings", "region, eye, eye_spread, instrument, combined, agreement, weighed_at"),
    "answers": ("report_grades", "region, question, grade"),
    "conditions": ("report_sessions", "printer, paper, inks, quality, made_for, profile, intent"),
    "sessions": ("report_sessions", "created, state, verdict, disagree, weighed_at"),
    "runs": ("report_readings", "file, part, condition, printed_as, readings, instrument, added"),
}


def test_every_number_is_the_archives_own(tables: Path, room: Path) -> None:
    with open_archive(room, read_only=True) as archive:
        bench = Bench(archive)
        session = sessions.load(archive, 1)
        sheet, taken = sheet_of(bench, session), read.taken_in(bench, session)
        (run, *_) = runs.these(archive, session.runs)
        first = [row for row in rows(tables, "readings") if row["session"] == session.uid][: len(run)]
        assert [row["reading"] for row in first] == list(range(1, len(run) + 1))
        assert np.array_equal([row["spectrum"] for row in first], run.spectra)
        assert np.array_equal([row["device"] for row in first], run.device)
        assert [row["id"] for row in first] == [ref.id for ref in run.patches]
        gathered = weigh.gathered_of(bench, session, sheet, taken, weigh.tables(bench))
        assert gathered is not None
        facts = black(sheet, taken, gathered.pool)
        source_black = next(patch.id for patch in sheet.patches if patch.role == "black")
        read_twice = [row["density"] for row in first if row["patch"] == source_black]
        # A mean of spectra there, of densities here.
        assert facts is not None and np.mean(read_twice) == pytest.approx(facts.d_max, abs=1e-3)
        kept = weigh.weigh(bench, 1)
        shares = {
            row["use"]: row["share"] for row in rows(tables, "verdicts") if row["session"] == session.uid
        }
        assert shares == {use: one.share for use, one in kept.verdicts.items()}
        found = [row for row in rows(tables, "metrics") if row["session"] == session.uid]
        own = {(one.region, metric.name): metric.value for one in kept.findings for metric in one.metrics}
        own |= {(None, metric.name): metric.value for metric in kept.print_step}
        assert {(row["region"], row["metric"]): row["value"] for row in found} == own
        for table, (view, names) in VIEWS.items():
            columns = ", ".join(f"nullif(v.{name.strip()}, '')" for name in names.split(","))
            there = archive.rows(
                f"SELECT s.uid, {columns} FROM {view} AS v JOIN session AS s ON s.id = v.session"
            )
            here = [
                tuple(row[name.strip()] for name in f"session, {names}".split(","))
                for row in rows(tables, table)
                if table != "answers" or row["grade"] is not None
            ]
            assert Counter(here) == Counter(map(tuple, there)), table  # 4.0 is 4, True is 1
    odd = [(row["trial"], row["observer"], row["family"], row["found"]) for row in rows(tables, "triangles")]
    assert odd == [(1, "Anton", None, True), (2, "Anton", None, False)]


def test_csv_and_json_hold_the_same_and_say_what_it_is(tables: Path) -> None:
    told = json.loads((tables / "dictionary.json").read_bytes())
    assert [one["name"] for one in told["tables"]] == list(TABLES)
    assert [one["name"] for one in told["folders"]] == [one.name for one in PARTITIONS] == ["origin", "month"]
    for table in TABLES.values():
        from_json = []
        for path in sorted((tables / "json" / table.name).glob("*/*/*.json")):
            document = json.loads(path.read_bytes())
            assert document["columns"] == header(table)
            from_json += document["rows"]
        assert from_json == rows(tables, table.name) != []
        keys = [tuple(row[name] for name in table.key) for row in from_json]
        assert len(set(keys)) == len(keys), table.name
        schema = json.loads((tables / "csv" / f"{table.name}.schema.json").read_bytes())
        assert [one["name"] for one in schema["columns"]] == list(table.names)
        assert schema["primaryKey"] == list(table.key)
        assert all(column.meaning for column in table.columns)


@pytest.mark.long
def test_parquet_holds_the_same(tables: Path, room: Path, tmp_path: Path) -> None:
    duckdb = pytest.importorskip("duckdb", reason="the extra `parquet` is not installed")
    export_all([room], tmp_path, ["parquet"])
    kinds = {"text": "VARCHAR", "integer": "BIGINT", "number": "DOUBLE", "boolean": "BOOLEAN"}
    kinds |= {"moment": "TIMESTAMP", "numbers": "DOUBLE[]", "texts": "VARCHAR[]"}
    with duckdb.connect() as engine:
        for table in TABLES.values():
            files = f"read_parquet('{tmp_path}/parquet/{table.name}/*/*/*.parquet')"
            found = engine.execute(f"SELECT {', '.join(table.names)} FROM {files}")
            assert [str(one[1]) for one in found.description] == [kinds[one.type] for one in table.columns]
            here = [tuple(map(_stamped, row)) for row in found.fetchall()]
            there = [tuple(row.values()) for row in rows(tables, table.name)]
            assert sorted(map(str, here)) == sorted(map(str, there))
            for origin, month in engine.execute(f"SELECT DISTINCT origin, month FROM {files}").fetchall():
                assert len(origin) == 32 and len(month) == 7


def _stamped(cell: Any) -> Any:
    return f"{cell.isoformat(timespec='milliseconds')}+00:00" if hasattr(cell, "isoformat") else cell
