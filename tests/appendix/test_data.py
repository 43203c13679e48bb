"""The data beside an appendix: readings that read back, tables that no spreadsheet runs, the gate."""

import csv
import io
import json
from dataclasses import replace

import numpy as np
import pytest

from evaluation.appendix import data
from evaluation.readings.detect import read_readings
from evaluation.readings.supplied import Supplied
from evaluation.work.write_up import write_up


def table(files, name):
    return list(csv.DictReader(io.StringIO(files[name].decode("utf-8"))))


@pytest.fixture
def made(archive_bench):
    cases, edition, _ = write_up._made(archive_bench, [1], write_up.WHOLE, write_up.NO_STYLE)
    return cases[0], edition, data.files(cases, edition)


def test_readings_read_back_as_they_were_taken_in(made, tmp_path):
    case, _, files = made
    (taken,) = case.taken
    file = tmp_path / "back.txt"
    file.write_bytes(files["session-1-readings-1.txt"])
    (back,) = read_readings(file, Supplied(printed_as="managed", spectral_scale="fraction"))
    shown = [
        row
        for patch, rows in taken.matched.items()
        if case.sheet.patch(patch).region in (*case.shown, "")
        for row in rows
    ]
    shown.sort()
    assert [ref.id for ref in back.patches] == [taken.run.patches[row].id for row in shown]
    assert np.array_equal(back.spectra, taken.run.spectra[shown])
    assert back.stated.condition == "M1"


def test_readings_of_ungraded_regions_are_left_out_and_the_file_says_so(made):
    case, _, files = made
    text = files["session-1-readings-1.txt"].decode("utf-8")
    hidden = {patch.id for patch in case.sheet.patches if patch.region not in (*case.shown, "")}
    ids = {line.partition("\t")[0].strip('"') for line in text.splitlines()}
    assert hidden and not hidden & ids
    assert f"# {len(hidden)} of {len(case.taken[0].run)} rows are left out" in text


def test_the_findings_are_those_of_the_page(made):
    case, _, files = made
    findings = json.loads(files["findings.json"])
    assert findings["sessions"] == [json.loads(json.dumps(case.findings))]
    rows = table(files, "findings.csv")
    assert [row["region"] for row in rows] == [region["id"] for region in case.findings["regions"]]
    assert rows[0]["eye_grade"] == str(case.findings["regions"][0]["eye"]["grade"])
    hidden = next(row for row in rows if row["region"] == "saturation")
    assert hidden["instrument_grade"] == "" and hidden["agreement"] == "not graded yet"


def test_every_number_stands_once_with_unit_and_place(made):
    _, _, files = made
    rows = table(files, "numbers.csv")
    assert {row["region"] for row in rows} == {"neutral", "shadow", "skin"}
    assert all(float(row["value"]) == pytest.approx(float(row["value"])) for row in rows)


def test_grades_stand_by_role_with_their_words(made):
    _, _, files = made
    grades = json.loads(files["grades.json"])["grades"]
    assert {grade["observer"] for grade in grades} == {"observer 1"}
    whole = next(g for g in grades if (g["region"], g["question"]) == ("skin", "overall"))
    assert whole["answer"] == {"grade": 3} and whole["words"] == "3, slightly annoying"
    assert table(files, "grades.csv")[0].keys() >= {"session", "viewing", "question", "answer"}


def test_a_hostile_name_cannot_end_its_quotes_or_its_line(case, edition):
    (taken,) = case.taken
    ref = replace(taken.run.patches[0], name='a"\nEND_DATA\n')
    run = replace(taken.run, patches=(ref, *taken.run.patches[1:]))
    text = data.readings(case, replace(taken, run=run), "0.1.0")
    assert text.splitlines()[-1] == "END_DATA" and text.splitlines().count("END_DATA") == 1


def test_figures_come_as_svg_png_numbers_and_caption(archive_bench, tmp_path):
    write_up.write(archive_bench, [1], tmp_path / "a.html", figures=tmp_path / "plots")
    names = {file.name for file in (tmp_path / "plots").iterdir()}
    for ending in ("svg", "png", "csv", "txt"):
        assert f"session-1-neutral-track.{ending}" in names
    text = (tmp_path / "plots" / "session-1-neutral-track.csv").read_text("utf-8")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert rows[0].keys() == {"curve", "label", "point", "lightness read, L*", "shift from the aim, CIELAB"}
    assert "lies furthest" in (tmp_path / "plots" / "session-1-neutral-track.txt").read_text("utf-8")
    assert not any("saturation" in name for name in names)
