"""An archive can be copied, looked over, and brought up to date without losing anything."""

import os
import sqlite3
import zlib

import pytest

from evaluation.archive import documents, entries, recognise, runs, schema, sessions, upkeep
from evaluation.archive.connection import open_archive
from evaluation.archive.recognise import VERSION
from evaluation.errors import ArchiveProblem
from evaluation.said import Draft, encoded
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
    health = upkeep.check(filled)
    assert health.sound
    assert (health.version, health.sessions, health.entries) == (VERSION, 1, 3)
    assert (health.readings, health.documents, health.weighings) == (1, 2, 0)
    assert health.size == filled.path.stat().st_size


def test_checking_writes_nothing(filled):
    with open_archive(filled.path, read_only=True) as look:
        assert upkeep.check(look).sound


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


OTHER_TEXT = zlib.compress(b"test").hex()  # as long as "text", which was kept


@pytest.mark.parametrize(
    ("damage", "trouble"),
    [
        ("UPDATE document SET content = x'00' WHERE kind = 'source'", "a damaged one found"),
        (
            "UPDATE document SET content = (SELECT content FROM document WHERE kind = 'sheet')",
            "is not what was kept",
        ),
        (f"UPDATE document SET content = x'{OTHER_TEXT}' WHERE kind = 'source'", "is not what was kept"),
        ("UPDATE entry SET value = '{}' WHERE kind = 'answer'", "Session 1 cannot be put together"),
        ("UPDATE entry SET at = 'yesterday'", "Session 1 cannot be put together"),
        ("UPDATE readings SET patches = '[[],[],[]]'", "Readings 1 do not have one row for each patch"),
        ("UPDATE readings SET stated = '{}'", "Readings 1 cannot be read"),
        ("DELETE FROM viewing", "A row of entry points to a row of viewing that is not there"),
        ("CREATE TABLE letters (text TEXT)", "The tables are not as this version makes them"),
    ],
)
def test_damage_is_named(filled, damage, trouble):
    without_guards(filled, damage)
    health = upkeep.check(filled)
    assert not health.sound
    assert any(trouble in sentence for sentence in health.troubles), health.troubles


def test_a_guard_that_was_taken_away_is_noticed(filled):
    filled.connection.execute("DROP TRIGGER entry_is_kept")
    assert upkeep.check(filled).troubles == ("The tables are not as this version makes them.",)


def test_damaged_pages_are_noticed(tmp_path, now):
    path = tmp_path / "prints.db"
    with open_archive(path, create=True) as archive:
        documents.keep(archive, "source", "", os.urandom(60_000))
    content = bytearray(path.read_bytes())
    page = len(content) - 3 * 4096
    content[page : page + 4096] = b"\xff" * 4096
    path.write_bytes(content)
    with open_archive(path) as archive:
        assert not upkeep.check(archive).sound


# Backup ------------------------------------------------------------------------------------------------


def test_a_backup_is_the_whole_archive_in_one_file(filled, session_id, tmp_path):
    folder = tmp_path / "copies"
    folder.mkdir()
    size = upkeep.backup(filled, folder / "copy.db")
    assert [(item.name, item.stat().st_size) for item in folder.iterdir()] == [("copy.db", size)]
    with open_archive(folder / "copy.db") as copy:
        assert upkeep.check(copy).sound
        assert sessions.load(copy, session_id) == sessions.load(filled, session_id)
        assert entries.history(copy, session_id) == entries.history(filled, session_id)


def test_a_backup_never_overwrites(filled, tmp_path):
    for name in ("prints.db", "letter.txt"):
        place = tmp_path / name
        if name == "letter.txt":
            place.write_text("mine")
        before = place.read_bytes()
        with pytest.raises(ArchiveProblem, match="Found: a file of that name"):
            upkeep.backup(filled, place)
        assert place.read_bytes() == before


def test_a_backup_to_nowhere_is_told_in_a_sentence(filled, tmp_path):
    with pytest.raises(ArchiveProblem, match="No copy was made"):
        upkeep.backup(filled, tmp_path / "nowhere" / "copy.db")


def test_a_backup_of_an_archive_that_can_only_be_read(filled, tmp_path):
    with open_archive(filled.path, read_only=True) as look:
        upkeep.backup(look, tmp_path / "copy.db")
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
        assert upkeep.check(archive).sound
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
    with pytest.raises(ArchiveProblem, match=rf"is as it was\. A copy lies in prints\.version-{VERSION}\.db"):
        open_archive(filled.path)
    monkeypatch.undo()
    with open_archive(filled.path) as archive:
        assert upkeep.check(archive).sound


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
