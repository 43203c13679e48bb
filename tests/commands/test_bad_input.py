"""What is handed in wrongly: one sentence (where, expected, found, remedy), nothing stored, no traceback."""

import csv
import io
import json
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive.connection import open_archive
from evaluation.sheet.load import map_text, read_map
from evaluation.work.bench import Bench
from evaluation.work.describe import begin, sheets

Drydown = Callable[..., Any]
DATA = Path(__file__).parents[1] / "sheet" / "data"
CHART = (DATA / "chart-24.txt").read_text("utf-8")
HIDDEN = "\u200b\ufeff\u00ad\U000e0041"
HOSTILE = "[/a] [/ \x1b[31m<script>alert(1)</script> \x07 | `x` ${HOME} ‮abc" + HIDDEN


@pytest.fixture
def begun(drydown: Drydown, tmp_path: Path) -> str:
    """A session on the chart."""
    condition = tmp_path / "condition.toml"
    condition.write_text('[condition]\npaper = "chart"\nmade_for = "general"\n', "utf-8")
    ran = drydown("new", "--from", condition, "--sheet", DATA / "chart-24.toml")
    assert ran.code == 0, ran.err
    return str(ran.out.strip())


def one_sentence(ran: Any, code: int) -> str:
    """The problem as it was told: exit code, one line on the other output, no traceback, no control."""
    assert ran.code == code, (ran.code, ran.out, ran.err)
    assert "Traceback" not in ran.err and ran.err.count("\n") == 1
    assert not any(ord(char) < 32 and char != "\n" for char in ran.err)
    assert ran.err.strip().endswith((".", "”", ":")), ran.err
    return str(ran.err)


def kept(drydown: Drydown) -> tuple[int, int]:
    """Entries and readings in the archive."""
    found = drydown("check", "--json").json
    return found["entries"], found["readings"]


READINGS: list[tuple[str, bytes, str]] = [
    ("empty", b"", "empty.txt"),
    ("binary", bytes(range(256)) * 20, "binary.txt"),
    ("picture", b"\x89PNG\r\n\x1a\n" + bytes(500), "picture.txt"),
    ("prose", b"These are not readings at all.\n" * 30, "prose.txt"),
    ("cut", CHART.encode()[: len(CHART) // 2], "cut.txt"),
    ("no end", CHART.replace("END_DATA\n", "", 1).rsplit("END_DATA", 1)[0].encode(), "no end.txt"),
    ("text in a number", CHART.replace("0.0480", "0.o480", 1).encode(), "text in a number.txt"),
    ("1e308 in a spectrum", CHART.replace("0.0480", "1e308", 1).encode(), "1e308 in a spectrum.txt"),
    ("another chart", CHART.replace("\nA", "\nQ").replace("\nB", "\nR").encode(), "another chart.txt"),
]


@pytest.mark.parametrize(("name", "content", "file"), READINGS, ids=[row[0] for row in READINGS])
def test_readings_that_cannot_be_used_are_refused(
    drydown: Drydown, begun: str, tmp_path: Path, name: str, content: bytes, file: str
) -> None:
    path = tmp_path / file
    if name == "another chart":
        rows = CHART.split("BEGIN_DATA\n", 1)
        body = "\n".join(
            f"Z{index}\tother {index}\t" + line.split("\t", 2)[2]
            for index, line in enumerate(rows[1].splitlines())
            if line.count("\t") > 3
        )
        content = (
            (rows[0] + "BEGIN_DATA\n" + body + "\nEND_DATA\n")
            .replace("NUMBER_OF_SETS 24", f"NUMBER_OF_SETS {body.count(chr(10)) + 1}")
            .encode()
        )
    path.write_bytes(content)
    before = kept(drydown)
    assert file in one_sentence(drydown("read", begun, path), 1)
    assert kept(drydown) == before


def test_a_file_that_is_not_there(drydown: Drydown, begun: str, tmp_path: Path) -> None:
    assert "nowhere.txt" in one_sentence(drydown("read", begun, tmp_path / "nowhere.txt"), 1)


def test_of_several_files_all_or_none_are_taken_in(drydown: Drydown, begun: str, tmp_path: Path) -> None:
    (tmp_path / "bad.txt").write_text("no", "utf-8")
    before = kept(drydown)
    one_sentence(drydown("read", begun, DATA / "chart-24.txt", tmp_path / "bad.txt"), 1)
    assert kept(drydown) == before


@pytest.mark.long
def test_a_black_of_no_light_is_told_and_its_json_can_be_read(drydown: Drydown, tmp_path: Path) -> None:
    """L* 0 is CIELAB, and a density of infinity; RFC 8259 has no such number."""
    sheet = read_map(map_text(sheets.COLOUR), "sheet")
    rows = "".join(
        f"{patch.id} {0 if patch.id == sheet.black_patch else 50} 0 0\n" for patch in sheet.patches
    )
    fields = "BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n"
    (tmp_path / "black.txt").write_text(f"CGATS.17\n{fields}BEGIN_DATA\n{rows}END_DATA\n")
    (tmp_path / "condition.toml").write_text('[condition]\npaper = "rag"\n')
    drydown("new", "--from", tmp_path / "condition.toml")
    assert drydown("read", 1, tmp_path / "black.txt", "--managed").code == 0
    assert "No print gives back no light at all" in drydown("weigh", 1, "--reveal").out
    told = drydown("weigh", 1, "--json").out
    assert "Infinity" not in told and "NaN" not in told and json.loads(told)["black"]["dmax"] is None


def test_half_of_the_patches_is_taken_in_and_said(drydown: Drydown, begun: str, tmp_path: Path) -> None:
    head, rows = CHART.split("BEGIN_DATA\n", 1)
    half = "\n".join(rows.splitlines()[:12])
    path = tmp_path / "half.txt"
    path.write_text(
        head.replace("NUMBER_OF_SETS 24", "NUMBER_OF_SETS 12") + f"BEGIN_DATA\n{half}\nEND_DATA\n"
    )
    ran = drydown("read", begun, path)
    assert ran.code == 0, ran.err
    assert "12 patches of the sheet are not in the file" in ran.out


@pytest.mark.parametrize("session", ["99", "0", "-1", "", "abcdef0123", "1; DROP TABLE session", "[/a]"])
def test_an_unknown_session(drydown: Drydown, begun: str, session: str) -> None:
    sentence = one_sentence(
        drydown("weigh", "--", session) if session.startswith("-") else drydown("weigh", session), 2
    )
    assert "drydown list" in sentence


CONDITIONS = [
    ("", "condition"),
    ("[condition", "Expected: TOML."),
    ("[condition]\npapr = 'x'", "condition.papr: unknown key"),
    ("[condition]\npaper = 3", "condition.paper: expected text, found 3"),
    ("[condition]\nintent = 'best'", "condition.intent: expected one of"),
    ("[condition]\nprinted_at = 'noon'", "condition.printed_at: expected a date and time"),
    ("[condition]\n[readiness]\ndry = 'yes'", "readiness.dry: expected one of"),
    ("[condition]\n[readiness]\nnozzles = 'done'", "readiness.nozzles: unknown key"),
    ("[condition]\npaper = " + "[" * 2000 + "]" * 2000, "nested in at most 32 levels"),
    ("[condition]\nsheet_width_mm = " + "9" * 4400, "whole numbers of at most 64 bits"),
    (
        "[condition]\nsheet_width_mm = nan",
        "condition.sheet_width_mm: expected a number from 10 to 5000, found nan",
    ),
    ("[condition]\npaper = 1979-05-27", "condition.paper: expected text, found 1979-05-27"),
    (
        "[condition]\n[readiness.dry]\nmark = 'done'\nhours = inf",
        "readiness.dry.hours: expected a number from",
    ),
    ("[condition]\n[readiness.dry]\nmark = 'done'\nhours = []", "readiness.dry.hours: expected a number"),
]


@pytest.mark.parametrize(("text", "told"), CONDITIONS, ids=[row[1] for row in CONDITIONS])
def test_a_condition_with_mistakes_begins_nothing(
    drydown: Drydown, begun: str, tmp_path: Path, text: str, told: str
) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(text, "utf-8")
    sentence = one_sentence(drydown("new", "--from", path), 1)
    assert told in sentence and "mine.toml" in sentence
    assert len(drydown("list", "--json").json["sessions"]) == 1


def test_a_grade_out_of_range_records_nothing(drydown: Drydown, begun: str, tmp_path: Path) -> None:
    path = tmp_path / "grades.toml"
    path.write_text("[neutral]\noverall = 4\n[skin]\noverall = 7\n", "utf-8")
    before = kept(drydown)
    sentence = one_sentence(drydown("grade", begun, "--from", path), 1)
    assert "skin.overall: expected a grade from 5 to 1, found 7" in sentence
    assert kept(drydown) == before


FAULTS = [
    ("1979-05-27T07:32:00Z", "skin.faults: expected none, or faults of"),
    ("[3.5]", "skin.faults[0]: expected none, or faults of"),
    ("[{ where = 'cheek' }]", "skin.faults[0]: expected none, or faults of"),
    ("[{ name = 'blotchy', where = 2026-01-01 }]", "skin.faults[0].where: expected text, found 2026-01-01"),
]


@pytest.mark.parametrize(("value", "told"), FAULTS, ids=[row[0] for row in FAULTS])
def test_faults_that_are_none_record_nothing(
    drydown: Drydown, begun: str, tmp_path: Path, value: str, told: str
) -> None:
    path = tmp_path / "grades.toml"
    path.write_text(f"[skin]\nfaults = {value}\n", "utf-8")
    before = kept(drydown)
    assert told in one_sentence(drydown("grade", begun, "--from", path), 1)
    assert kept(drydown) == before


def test_a_text_that_goes_on_and_on_is_not_read_whole(drydown: Drydown, tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_bytes(b"#" * (5 << 20))
    told = "Expected: a text of at most 4 MB. Found: a larger file"
    assert told in one_sentence(drydown("new", "--from", path), 1)
    assert told in one_sentence(drydown("sheet", "--check", path), 1)


def test_nothing_is_begun_from_nothing(drydown: Drydown) -> None:
    assert "--from" in one_sentence(drydown("new"), 2)


@pytest.mark.parametrize(
    "content", [b"", b"not a database at all, just text\n" * 40, b"SQLite format 3\0" + bytes(84)]
)
def test_what_is_no_archive_is_left_as_it_was(drydown: Drydown, tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "other.db"
    path.write_bytes(content)
    assert "other.db" in one_sentence(drydown("list", "--archive", path), 1)
    assert path.read_bytes() == content


def test_another_programs_database_is_left_alone(drydown: Drydown, tmp_path: Path) -> None:
    path = tmp_path / "theirs.db"
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE recipe (name TEXT)")
    connection.close()
    before = path.read_bytes()
    one_sentence(drydown("list", "--archive", path), 1)
    assert path.read_bytes() == before


def test_an_archive_of_a_newer_version_is_not_touched(drydown: Drydown, begun: str, tmp_path: Path) -> None:
    path = tmp_path / "archive.db"
    with sqlite3.connect(path) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        connection.execute("PRAGMA user_version = 99")
    connection.close()
    before = path.read_bytes()
    assert "99" in one_sentence(drydown("list"), 1)
    assert path.read_bytes() == before


def test_an_archive_that_is_not_there(drydown: Drydown) -> None:
    assert "archive.db" in one_sentence(drydown("list"), 1)


def test_hostile_text_stays_text_everywhere(drydown: Drydown, tmp_path: Path) -> None:
    condition = tmp_path / "condition.toml"
    fields = ("printer", "inks", "paper", "media_setting", "quality", "direction", "driver_mode", "drying")
    quoted = (
        HOSTILE.replace("\\", "\\\\")
        .replace('"', '\\"')
        .replace("\x1b", "\\u001b")
        .replace("\x07", "\\u0007")
    )
    condition.write_text("[condition]\n" + "".join(f'{name} = "{quoted}"\n' for name in fields), "utf-8")
    begun = drydown("new", "--from", condition, "--sheet", DATA / "chart-24.toml").out.strip()
    grades = tmp_path / "grades.toml"
    grades.write_text(
        f'[viewing]\nobserver = "{quoted}"\n[skin]\noverall = 4\nremark = "{quoted}"\n', "utf-8"
    )
    assert drydown("grade", begun, "--from", grades).code == 0
    page = tmp_path / "review.md"
    told = [drydown("list"), drydown("weigh", begun), drydown("appendix", begun, "-o", page)]
    assert [ran.code for ran in told] == [0, 0, 0]
    for text in (*(ran.out + ran.err for ran in told), page.read_text("utf-8")):
        assert not any((ord(char) < 32 and char != "\n") or char in HIDDEN for char in text)
    assert "<script>" not in page.read_text("utf-8")
    assert drydown("list", "--json").json["sessions"][0]["paper"] == HOSTILE  # JSON keeps it as it is


def test_a_reader_that_closes_the_pipe_is_no_problem(drydown: Drydown, begun: str, tmp_path: Path) -> None:
    program = [sys.executable, "-c", "import sys, tui.cli; sys.exit(tui.cli.main())"]
    writer = subprocess.Popen(
        [*program, "list", "--archive", str(tmp_path / "archive.db")],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert writer.stdout is not None and writer.stderr is not None
    writer.stdout.close()
    said = writer.stderr.read()
    writer.stderr.close()
    assert (writer.wait(), said) == (0, "")


def test_options_of_prints_side_by_side_are_not_passed_over(drydown: Drydown, tmp_path: Path) -> None:
    page = tmp_path / "page.pdf"
    for options, told in (
        (
            ("--triangles", "12", "--form", page),
            "--triangles by itself or with --right. Found: --form as well",
        ),
        (("--triangles", "12", "--template"), "Found: --template as well"),
        (("--open", "--slips", page), "Expected: --open by itself. Found: --slips as well"),
        (("--from", page, "--form", page), "Expected: --from by itself. Found: --form as well"),
        (("--right", "8"), "Expected: --triangles N with --right. Found: --right alone"),
    ):
        assert told in one_sentence(drydown("sidebyside", "1", "4", *options), 2)
    assert not page.exists()


def test_a_session_named_twice_for_an_appendix_is_told(drydown: Drydown, begun: str, tmp_path: Path) -> None:
    told = one_sentence(drydown("appendix", begun, begun, "-o", tmp_path / "review.md"), 2)
    assert f"Expected: each session once. Found: session {begun} twice. No appendix was written." in told


FORMULA = "-2+3+cmd|' /C calc'!A0"


@pytest.mark.long
def test_no_name_becomes_a_formula_in_any_csv(
    drydown: Drydown, finished_archive: Path, tmp_path: Path
) -> None:
    """Of a comparison, and of the data beside an appendix."""
    shutil.copy(finished_archive, tmp_path / "archive.db")
    with open_archive(tmp_path / "archive.db") as archive:
        begin.say_condition(Bench(archive), 1, "paper", FORMULA)
    grades = tmp_path / "grades.toml"
    grades.write_text(f'[viewing]\nobserver = "{FORMULA}"\n[skin]\noverall = 4\n', "utf-8")
    assert drydown("grade", 1, "--from", grades).code == 0
    page = tmp_path / "review.html"
    written = drydown("appendix", 1, "-o", page, "--observers", "name", "--data")
    assert written.code == 0, written.err
    compared = drydown("compare", 1, 4, "--csv")
    assert FORMULA in compared.out
    tables = [compared.out, *(path.read_text("utf-8") for path in tmp_path.rglob("*.csv"))]
    assert len(tables) > 3 and sum(FORMULA in text for text in tables) > 1
    for text in tables:
        for row in csv.reader(io.StringIO(text)):
            for value in row:
                assert not value.startswith(("=", "+", "-", "@", "\t", "\r")) or float(value) is not None
