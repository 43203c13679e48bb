"""A data table without title, source, mark, how it was obtained and units does not load."""

from pathlib import Path

import pytest

import evaluation
from evaluation.errors import FileProblem
from evaluation.published.passport import (
    MARKS,
    Passport,
    load_table,
    load_toml,
    read_table,
    read_toml,
)

HOUSE = Path(evaluation.__file__).parent
# Maps are drawings of sheets, not tables; they say where they come from in their own words.
TABLES = sorted(
    path for kind in ("*.csv", "*.toml") for path in HOUSE.rglob(kind) if path.parent.name != "maps"
)
CHECKS = sorted(Path(__file__).parent.glob("*.csv")) + sorted(Path(__file__).parent.glob("*.toml"))

CSV = """\
# title: Two greys
# source: an invented example,
#   told on two lines
# mark: own
# obtained: typed
# units: nm, reflectance factor
nm,light,dark
400,0.5,0.1
410,0.6,
"""
TOML = """\
[passport]
title = "Limits"
source = "an invented example"
mark = "MEMORY"
obtained = "recalled"
units = "dE00"

[limits]
mean = 2.5
"""


@pytest.mark.parametrize("path", TABLES + CHECKS, ids=lambda path: path.name)
def test_every_data_table_carries_its_passport(path):
    text = path.read_text(encoding="utf-8")
    passport = (
        read_table(text, path.name).passport if path.suffix == ".csv" else read_toml(text, path.name)[0]
    )
    assert passport.mark in MARKS
    assert len(passport.source) > 10


def test_the_walk_finds_tables():
    assert {"observer-1931.csv", "illuminants.csv"} <= {path.name for path in TABLES}


def test_a_table_gives_its_columns_as_text_and_as_numbers():
    table = read_table(CSV, "greys.csv")
    assert table.passport == Passport(
        title="Two greys",
        source="an invented example, told on two lines",
        mark="own",
        obtained="typed",
        units="nm, reflectance factor",
    )
    assert table.columns == ("nm", "light", "dark")
    assert table.column("light") == ("0.5", "0.6")
    assert table.numbers("nm") == (400.0, 410.0)


def test_an_empty_cell_is_not_a_number_and_not_0():
    first, second = read_table(CSV, "greys.csv").numbers("dark")
    assert first == 0.1
    assert second != second  # nan


def test_an_unknown_column_is_a_key_error():
    with pytest.raises(KeyError):
        read_table(CSV, "greys.csv").column("medium")


@pytest.mark.parametrize("key", ["title", "source", "mark", "obtained", "units"])
def test_a_table_that_leaves_one_thing_unsaid_does_not_load(key):
    lines = [line for line in CSV.splitlines() if not line.startswith((f"# {key}:", "#   "))]
    with pytest.raises(
        FileProblem, match=rf"greys\.csv\. Expected: a passport that states its {key}\. Found: none"
    ):
        read_table("\n".join(lines), "greys.csv")
    lines = [line for line in TOML.splitlines() if not line.startswith(f"{key} =")]
    with pytest.raises(FileProblem, match=f"states its {key}"):
        read_toml("\n".join(lines), "limits.toml")


def test_an_empty_statement_is_no_statement():
    with pytest.raises(FileProblem, match="states its source"):
        read_toml(TOML.replace("an invented example", " "), "limits.toml")


def test_a_mark_of_ones_own_making_does_not_load():
    with pytest.raises(FileProblem, match="Expected: a mark, one of READ, COMPUTED, MEMORY, own"):
        read_table(CSV.replace("mark: own", "mark: sure"), "greys.csv")


def test_a_row_of_another_length_does_not_load():
    with pytest.raises(FileProblem, match=r"3 cells in each row\. Found: 2 in the row 420,0\.7"):
        read_table(CSV + "420,0.7\n", "greys.csv")


def test_a_passport_without_rows_does_not_load():
    with pytest.raises(FileProblem, match=r"Expected: .* rows"):
        read_table(CSV.split("400")[0], "greys.csv")


def test_toml_gives_its_data_without_the_passport():
    passport, data = read_toml(TOML, "limits.toml")
    assert passport.mark == "MEMORY"
    assert data == {"limits": {"mean": 2.5}}


@pytest.mark.parametrize(
    ("text", "says"), [("[passport", "Expected: TOML"), ("passport = 3", "as a table. Found: 3")]
)
def test_broken_toml_is_one_sentence(text, says):
    with pytest.raises(FileProblem, match=says):
        read_toml(text, "limits.toml")


def test_a_missing_file_is_one_sentence_and_names_itself():
    with pytest.raises(FileProblem, match=r"evaluation\.published, lost\.csv\. Expected: a data file"):
        load_table("evaluation.published", "lost.csv")
    with pytest.raises(FileProblem, match=r"lost\.toml"):
        load_toml("evaluation.published", "lost.toml")
    with pytest.raises(FileProblem, match="nowhere"):
        load_table("evaluation.nowhere", "lost.csv")
