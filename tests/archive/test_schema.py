"""The tables themselves refuse what must not happen, whatever the program above them does."""

import re
import sqlite3

import pytest

from evaluation.archive import documents, runs, schema, sessions, weighings
from evaluation.archive.connection import open_archive
from evaluation.archive.recognise import APPLICATION_ID, VERSION
from evaluation.entry import Draft, encoded
from evaluation.session import Grade

DIGEST = "a" * 64


@pytest.fixture
def full(archive, session_id, viewing_id, say, now, a_run):
    """One row in every table; the grade makes the sheet stay."""
    say(Draft("condition", "paper", "Rag"))
    say(Draft("answer", "skin/overall", encoded(Grade(4)), viewing_id))
    runs.keep(archive, session_id, [a_run], now)
    settings = documents.keep(archive, "settings", "weighing.toml", b"")
    weighings.put(
        archive,
        session_id,
        settings,
        inputs=DIGEST,
        rules=1,
        revision=1,
        named=[],
        now=now,
        result="{}",
        verdicts={"general": "accepted"},
        disagree=0,
    )
    return archive


def refused(archive, statement, *values):
    with pytest.raises(sqlite3.IntegrityError) as trouble:
        archive.connection.execute(statement, values)
    return str(trouble.value)


def test_the_file_says_what_it_is(archive):
    assert archive.row("PRAGMA application_id") == (APPLICATION_ID,)
    assert archive.row("PRAGMA user_version") == (VERSION,)
    assert archive.path.read_bytes()[68:72] == b"drYD"


def test_the_version_is_the_number_of_migrations():
    assert len(schema.scripts()) == VERSION


def test_every_table_is_strict(archive):
    made = archive.rows(
        "SELECT name, sql FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
    )
    assert made
    assert [
        name for name, sql in made if not sql.rstrip().endswith(("STRICT", "STRICT, WITHOUT ROWID"))
    ] == []


def test_the_connection_keeps_every_promise(archive):
    promises = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "fullfsync": 1}
    promises |= {"recursive_triggers": 1, "busy_timeout": 20_000}
    assert {name: archive.row(f"PRAGMA {name}")[0] for name in promises} == promises
    assert archive.connection.isolation_level is None


@pytest.mark.parametrize("table", ["document", "viewing", "readings", "entry", "session"])
def test_nothing_is_ever_deleted(full, table):
    assert refused(full, f"DELETE FROM {table}").endswith("never deleted")


@pytest.mark.parametrize("table", ["document", "viewing", "readings", "entry"])
def test_nothing_is_deleted_by_being_replaced(full, table):
    columns = [row[1] for row in full.rows(f"PRAGMA table_info({table})")]
    message = refused(full, f"INSERT OR REPLACE INTO {table} ({', '.join(columns)}) SELECT * FROM {table}")
    assert "never deleted" in message


COLUMNS_KEPT = {
    "document": ("digest", "kind", "name", "size", "content"),
    "viewing": ("id", "session", "ordinal", "observer", "kind", "region_order", "started", "reference"),
    "entry": ("id", "session", "viewing", "kind", "subject", "value", "at", "after_reveal", "action"),
    "session": ("id", "uid", "created", "copied_from"),
}


@pytest.mark.parametrize(
    ("table", "column"), [(table, column) for table, columns in COLUMNS_KEPT.items() for column in columns]
)
def test_what_was_said_is_never_rewritten(full, table, column):
    assert re.search("never rewritten|keeps its", refused(full, f"UPDATE {table} SET {column} = {column}"))


def test_no_column_of_a_run_is_ever_rewritten(full):
    for _, column, *_ in full.rows("PRAGMA table_info(readings)"):
        assert "never rewritten" in refused(full, f"UPDATE readings SET {column} = {column}")


def test_a_revision_never_goes_back(full):
    assert "never goes back" in refused(full, "UPDATE session SET revision = revision - 1")


def test_the_sheet_stays_once_something_was_graded(full):
    assert "sheet is fixed" in refused(full, "UPDATE session SET sheet = sheet")


def test_what_was_seen_stays_seen(full, say, viewing_id):
    say(Draft("reveal", "skin", True, viewing_id))
    assert "CHECK" in refused(full, "UPDATE entry SET undone = 1 WHERE kind = 'reveal'")


def test_an_overtaken_entry_is_never_redone(full, say, undo):
    say(Draft("condition", "paper", "Lustre"))
    undo()
    say(Draft("condition", "paper", "Baryta"))
    assert "never redone" in refused(full, "UPDATE entry SET undone = 0 WHERE undone = -1")


ENTRY = "INSERT INTO entry (session, viewing, kind, subject, value, at, action) VALUES "


@pytest.mark.parametrize(
    "row",
    [
        "(9, NULL, 'condition', 'paper', '1', '', 1)",  # no such session
        "(1, 9, 'answer', 'skin/q', '1', '', 1)",  # no such viewing
        "(2, 1, 'answer', 'skin/q', '1', '', 1)",  # a viewing of another session
        "(1, NULL, 'opinion', 'paper', '1', '', 1)",  # no such kind
        "(1, NULL, 'answer', 'skin/q', '1', '', 1)",  # an answer outside a viewing
        "(1, NULL, 'fault', 'skin/cast', '1', '', 1)",
        "(1, NULL, 'again', 'skin', 'true', '', 1)",
        "(1, 1, 'condition', 'paper', '1', '', 1)",  # a condition inside one: it would be lost
        "(1, 1, 'readings', '1', '\"in\"', '', 1)",
        "(1, NULL, 'condition', 'paper', 'Rag', '', 1)",  # not JSON
        "(1, NULL, 'condition', NULL, '1', '', 1)",
        "(1, NULL, 'condition', 'paper', '1', '', 0)",  # actions are counted from 1
    ],
)
def test_entries_that_make_no_sense_are_refused(full, sheet_digest, now, row):
    sessions.create(full, sheet_digest=sheet_digest, now=now)
    refused(full, ENTRY + row)


def test_an_answer_was_given_after_the_reveal_or_before_it(full):
    refused(
        full,
        "INSERT INTO entry (session, kind, subject, value, at, action, after_reveal) "
        "VALUES (1, 'remark', 'describe', '1', '', 1, 2)",
    )


@pytest.mark.parametrize("undone", [-2, "'yes'"])
def test_undone_is_a_place_in_the_order_of_undoing(full, undone):
    refused(full, f"UPDATE entry SET undone = {undone}")


@pytest.mark.parametrize(
    "statement",
    [
        "INSERT INTO document VALUES ('abc', 'sheet', '', 0, x'')",
        f"INSERT INTO document VALUES ('{'G' * 64}', 'sheet', '', 0, x'')",
        f"INSERT INTO document VALUES ('{DIGEST}', 'letter', '', 0, x'')",
        f"INSERT INTO document VALUES ('{DIGEST}', 'sheet', '', -1, x'')",
        f"INSERT INTO document VALUES ('{DIGEST}', 'sheet', '', 0, 'text')",
        f"INSERT INTO session (uid, sheet, created, touched) VALUES ('{'u' * 32}', '{DIGEST}', '', '')",
        "INSERT INTO session (uid, sheet, created, touched) SELECT uid, sheet, created, '' FROM session",
        "INSERT INTO session (uid, sheet, created, touched) SELECT 'short', sheet, created, '' FROM session",
        "INSERT INTO viewing (session, ordinal, observer, kind, region_order, started) "
        "SELECT session, ordinal, observer, kind, region_order, started FROM viewing",
        "INSERT INTO viewing (session, ordinal, observer, kind, region_order, started) "
        "VALUES (1, 2, '', 'long', '[]', '')",
        "INSERT INTO viewing (session, ordinal, observer, kind, region_order, started) "
        "VALUES (1, 2, '', 'full', 'skin', '')",
        "INSERT INTO viewing (session, ordinal, observer, kind, region_order, started) "
        "VALUES (1, 0, '', 'full', '[]', '')",
        "UPDATE weighing SET disagree = -1",
        "UPDATE verdict SET verdict = 'splendid'",
        "UPDATE weighing SET result = 'text'",
        "INSERT INTO habit VALUES ('folder', 'text')",
    ],
)
def test_rows_that_make_no_sense_are_refused(full, statement):
    refused(full, statement)


@pytest.mark.parametrize(
    "change",
    [
        {"lab": b"\0" * 25},
        {"xyz": b"\0" * 8},
        {"device": b"\0" * 7},
        {"wavelengths": None, "spectra": b"\0" * 8},
        {"spectra": b"\0" * 8},
        {"spectra": None, "lab": None, "xyz": None},
        {"count": 0},
        {"count": 0, "lab": None, "xyz": None, "spectra": b"", "device": None},
        {"wavelengths": b"\0" * 7, "spectra": None},
        {"stated": "text"},
        {"patches": "text"},
        {"condition": "M9"},
        {"printed_as": "somehow"},
        {"rounding": -1.0},
        {"source": DIGEST},
        {"session": 9},
        {"remarks": "text"},
    ],
)
def test_runs_whose_arrays_do_not_fit_are_refused(full, change):
    columns = [row[1] for row in full.rows("PRAGMA table_info(readings)") if row[1] != "id"]
    row = dict(zip(columns, full.row(f"SELECT {', '.join(columns)} FROM readings"), strict=True)) | change
    marks = ", ".join("?" * len(columns))
    refused(full, f"INSERT INTO readings ({', '.join(columns)}) VALUES ({marks})", *row.values())


def test_verdicts_go_with_their_weighing(full):
    full.connection.execute("DELETE FROM weighing")
    assert full.rows("SELECT * FROM verdict") == []


def test_lists_are_read_through_an_index(archive):
    plan = archive.rows(
        "EXPLAIN QUERY PLAN SELECT id FROM entry WHERE session = 1 AND kind = 'readings' AND subject = '1'"
    )
    assert "USING COVERING INDEX entry_of_session" in plan[0][3]


def test_a_script_is_applied_whole_or_not_at_all(tmp_path):
    broken = "CREATE TABLE one (x INTEGER) STRICT;\nCREATE TABLE one (x INTEGER) STRICT;\n"
    with open_archive(tmp_path / "prints.db", create=True) as archive:
        with pytest.raises(sqlite3.OperationalError):
            schema.upgrade(archive.connection, (*schema.scripts(), broken))
        assert archive.row("PRAGMA user_version") == (VERSION,)
        assert archive.row("SELECT 1 FROM sqlite_master WHERE name = 'one'") is None
