"""An archive can be copied, looked over, and brought up to date without losing anything."""

import os
import sqlite3
import zlib

import numpy as np
import pytest

from evaluation.archive import (
    backup,
    comparisons,
    documents,
    entries,
    health,
    recognise,
    runs,
    schema,
    sessions,
    weighings,
)
from evaluation.archive.connection import open_archive
from evaluation.archive.recognise import VERSION
from evaluation.entry import Draft, encoded
from evaluation.errors import ArchiveProblem, UsageProblem
from evaluation.session import Grade


@pytest.fixture
def filled(archive, session_id, viewing_id, say, undo, now, a_run):
    say(Draft("condition", "paper", "Rag"))
    say(Draft("answer", "skin/overall", encoded(Grade(4)), viewing_id))
    (number,) = runs.keep(archive, session_id, [a_run], now, source=("strip.txt", b"text"))
    say(Draft("readings", str(number), "in"))
    undo()
    return archive


# Check -------------------------------------------------------------------------------------------------


def test_a_sound_archive_is_found_sound_and_counted(filled):
    found = health.check(filled)
    assert found.sound
    assert (found.version, found.sessions, found.entries) == (VERSION, 1, 3)
    assert (found.readings, found.documents, found.weighings) == (1, 2, 0)
    assert found.size == filled.path.stat().st_size


def test_checking_writes_nothing(filled):
    with open_archive(filled.path, read_only=True) as look:
        assert health.check(look).sound


def without_guards(archive, statement, *values):
    """Do what the archive refuses, as another program could."""
    names = [row[0] for row in archive.rows("SELECT name FROM sqlite_master WHERE type = 'trigger'")]
    guards = [row[0] for row in archive.rows("SELECT sql FROM sqlite_master WHERE type = 'trigger'")]
    archive.connection.execute("PRAGMA foreign_keys = OFF")
    for name in names:
        archive.connection.execute(f"DROP TRIGGER {name}")
    archive.connection.execute(statement, values)
    for guard in guards:
        archive.connection.execute(guard)


SOURCE_DAMAGED = "The file of readings “strip.txt” (document 982d9e3eb996) is damaged."
OTHER_TEXT = zlib.compress(b"test").hex()  # as long as "text", which was kept


def test_a_row_that_only_an_index_has_is_named(filled, monkeypatch):
    """What a torn page leaves: the list of rows comes from another page than the row."""

    def lost(archive, number):
        raise KeyError(number)

    monkeypatch.setattr(runs, "load", lost)
    assert health.check(filled).troubles == ("Readings 1 cannot be read.",)


@pytest.mark.parametrize(
    ("damage", "trouble"),
    [
        ("UPDATE document SET content = x'00' WHERE kind = 'source'", SOURCE_DAMAGED),
        (
            "UPDATE document SET content = (SELECT content FROM document WHERE kind = 'sheet')",
            SOURCE_DAMAGED,
        ),
        (f"UPDATE document SET content = x'{OTHER_TEXT}' WHERE kind = 'source'", SOURCE_DAMAGED),
        ("UPDATE document SET size = 3 WHERE kind = 'source'", "982d9e3eb996) is not as long as it was"),
        ("UPDATE entry SET value = '{}' WHERE kind = 'answer'", "Session 1 cannot be put together"),
        ("UPDATE entry SET at = 'yesterday'", "Session 1 cannot be put together"),
        ("UPDATE readings SET patches = '[[],[],[]]'", "Readings 1 do not have one row for each patch"),
        ("UPDATE readings SET stated = '{}'", "Readings 1 cannot be read"),
        (
            f"UPDATE readings SET lab = x'{np.full(6, 1e300).tobytes().hex()}'",
            "Readings 1 hold what no instrument gives",
        ),
        ("DELETE FROM viewing", "A row of entry points to a row of viewing that is not there"),
        ("CREATE TABLE letters (text TEXT)", "The tables are not as this version makes them"),
    ],
)
def test_damage_is_named(filled, damage, trouble):
    without_guards(filled, damage)
    found = health.check(filled)
    assert not found.sound
    assert any(trouble in sentence for sentence in found.troubles), found.troubles


@pytest.mark.parametrize(
    ("draft", "lost"),
    [
        (Draft("condition", "profile_digest", "c" * 64), "The profile of session 1 (document cccccccccccc)"),
        (Draft("attachment", "skin/", {"digest": "c" * 64, "caption": ""}), "The photograph of session 1"),
        (Draft("written", "c" * 64, {"file": "a.html"}), "The appendix of session 1 (document cccccccccccc)"),
    ],
    ids=lambda given: getattr(given, "kind", None),
)
def test_a_document_that_was_said_to_be_kept_and_is_lost_is_named(filled, say, undo, draft, lost):
    say(draft)
    (trouble,) = health.check(filled).troubles
    assert trouble.startswith(lost) and trouble.endswith(" is lost.")
    undo()
    assert health.check(filled).sound


@pytest.mark.parametrize(
    ("table", "named"),
    [("weighing", "weighing of session 1"), ("comparison", "comparison of sessions 1 and 2")],
)
def test_a_damaged_result_is_named(filled, session_id, sheet_digest, now, table, named):
    other = sessions.create(filled, sheet_digest=sheet_digest, now=now)
    settings = documents.keep(filled, "settings", "weighing.toml", b"grade = 1")
    kept = {"inputs": "1" * 64, "result": '{"grade": 4}'}
    comparisons.put(filled, (session_id, other), settings, **kept)
    given = {"rules": 1, "revision": 9, "named": (), "now": now, "verdicts": {}, "disagree": 0}
    weighings.put(filled, session_id, settings, **kept, **given)
    assert health.check(filled).sound
    filled.connection.execute(f"""UPDATE {table} SET result = '{{"grade": 5}}'""")
    assert health.check(filled).troubles == (f"The kept {named} is damaged. It will be worked out again.",)


def test_a_guard_that_was_taken_away_is_noticed(filled):
    filled.connection.execute("DROP TRIGGER entry_is_kept")
    assert health.check(filled).troubles == ("The tables are not as this version makes them.",)


def test_damaged_pages_are_noticed_and_what_is_lost_with_them_named(tmp_path, now):
    path = tmp_path / "prints.db"
    with open_archive(path, create=True) as archive:
        documents.keep(archive, "source", "strip.txt", os.urandom(60_000))
        (packed,) = archive.row("SELECT content FROM document WHERE name = 'strip.txt'")
    content = bytearray(path.read_bytes())
    page = content.index(packed[30_000:30_100]) // 4096 * 4096
    content[page : page + 4096] = b"\xff" * 4096
    path.write_bytes(content)
    with open_archive(path) as archive:
        troubles = health.check(archive).troubles
        assert any(trouble.startswith("The file is damaged: ") for trouble in troubles)
        assert any("The file of readings “strip.txt”" in trouble for trouble in troubles)


# Backup ------------------------------------------------------------------------------------------------


def test_a_backup_is_the_whole_archive_in_one_file(filled, session_id, tmp_path):
    folder = tmp_path / "copies"
    folder.mkdir()
    size = backup.backup(filled, folder / "copy.db")
    assert [(item.name, item.stat().st_size) for item in folder.iterdir()] == [("copy.db", size)]
    with open_archive(folder / "copy.db") as copy:
        assert health.check(copy).sound
        assert sessions.load(copy, session_id) == sessions.load(filled, session_id)
        assert entries.history(copy, session_id) == entries.history(filled, session_id)


def test_a_backup_never_overwrites(filled, tmp_path):
    place = tmp_path / "letter.txt"
    place.write_text("mine")
    with pytest.raises(ArchiveProblem, match="Found: a file of that name"):
        backup.backup(filled, place)
    assert place.read_text() == "mine"


@pytest.mark.parametrize("name", ["prints.db", "prints.db-wal", "prints.db-shm", "prints.db-journal"])
def test_a_backup_never_takes_a_name_of_the_archive_s_own(filled, tmp_path, name):
    """SQLite would take a file of the last of these names for a change it has to undo."""
    before = sorted(item.name for item in tmp_path.iterdir())
    with pytest.raises(UsageProblem, match="Found: the archive itself"):
        backup.backup(filled, tmp_path / name)
    assert sorted(item.name for item in tmp_path.iterdir()) == before


def test_a_backup_to_nowhere_is_told_in_a_sentence(filled, tmp_path):
    with pytest.raises(ArchiveProblem, match="No copy was made"):
        backup.backup(filled, tmp_path / "nowhere" / "copy.db")


def test_a_backup_of_an_archive_that_can_only_be_read(filled, tmp_path):
    with open_archive(filled.path, read_only=True) as look:
        backup.backup(look, tmp_path / "copy.db")
    assert (tmp_path / "copy.db").exists()


# Up to date --------------------------------------------------------------------------------------------

NEXT = "ALTER TABLE habit ADD COLUMN since TEXT;\nUPDATE habit SET since = '2024';\n"


def next_version(monkeypatch, script=NEXT):
    """As if this drydown knew one migration more."""
    wanted = (*schema.scripts(), script)
    monkeypatch.setattr(schema, "scripts", lambda: wanted)
    monkeypatch.setattr(recognise, "VERSION", len(wanted))


def test_an_older_archive_is_backed_up_and_brought_up_to_date(filled, session_id, tmp_path, monkeypatch):
    before = sessions.load(filled, session_id)
    filled.close()
    next_version(monkeypatch)
    with open_archive(filled.path) as archive:
        assert archive.row("PRAGMA user_version") == (VERSION + 1,)
        assert archive.row("PRAGMA foreign_keys") == (1,)
        assert sessions.load(archive, session_id) == before
        assert health.check(archive).sound
    monkeypatch.undo()
    with open_archive(tmp_path / f"prints.version-{VERSION}.db") as copy:
        assert sessions.load(copy, session_id) == before


def test_a_backup_from_an_earlier_attempt_is_left_alone(filled, tmp_path, monkeypatch):
    filled.close()
    (tmp_path / f"prints.version-{VERSION}.db").write_text("mine")
    next_version(monkeypatch)
    open_archive(filled.path).close()
    assert (tmp_path / f"prints.version-{VERSION}.db").read_text() == "mine"
    assert (tmp_path / f"prints.version-{VERSION}.2.db").exists()


@pytest.mark.parametrize(
    "script",
    [
        "ALTER TABLE habit ADD COLUMN since TEXT;\nALTER TABLE letters ADD COLUMN since TEXT;\n",
        "INSERT INTO verdict VALUES (1, 'x', 'general', 'accepted');\n",
    ],
    ids=["a statement fails", "a row points nowhere"],
)
def test_a_migration_that_does_not_fit_leaves_the_archive_as_it_was(filled, tmp_path, monkeypatch, script):
    filled.close()
    next_version(monkeypatch, script)
    with pytest.raises(ArchiveProblem, match=rf"is as it was\. A copy is in prints\.version-{VERSION}\.db"):
        open_archive(filled.path)
    monkeypatch.undo()
    with open_archive(filled.path) as archive:
        assert health.check(archive).sound


def test_an_older_archive_is_not_changed_by_a_look(filled, tmp_path, monkeypatch):
    filled.close()
    next_version(monkeypatch)
    before = filled.path.read_bytes()
    with pytest.raises(ArchiveProblem, match="brought up to date first"):
        open_archive(filled.path, read_only=True)
    assert filled.path.read_bytes() == before


def test_a_migration_done_by_another_program_meanwhile_is_not_done_twice(filled, monkeypatch):
    next_version(monkeypatch)
    with sqlite3.connect(filled.path, isolation_level=None) as other:
        schema.upgrade(other, schema.scripts())
        schema.upgrade(other, schema.scripts())
    other.close()
    assert filled.row("PRAGMA user_version") == (VERSION + 1,)
