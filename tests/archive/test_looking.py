"""Looking only: everything is shown, nothing is written, not even beside the archive."""

import contextlib
import os
import sqlite3
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from evaluation.archive import documents, place, session_list, sessions, sqlite
from evaluation.archive.connection import open_archive
from evaluation.errors import ArchiveProblem

posix = pytest.mark.skipif(not hasattr(os, "geteuid"), reason="needs the permissions of POSIX")


def whole_folder(folder):
    return {item.name: item.read_bytes() for item in folder.iterdir()}


def begin(archive, now):
    digest = documents.keep(archive, "sheet", "a", b"map")
    return sessions.create(archive, sheet_digest=digest, now=now)


@pytest.fixture
def guarded():
    """A folder everybody may look into, outside the private ones of pytest."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder
        folder.chmod(0o755)


SOMEBODY = """
import os, sys
from pathlib import Path
from evaluation.archive import documents, schema, session_list, sessions
from evaluation.archive.connection import open_archive
from evaluation.archive.place import writable
from evaluation.errors import ArchiveProblem
schema.scripts()
if os.geteuid() == 0:
    os.setgid(65534); os.setuid(65534)
"""


def as_somebody(script, *arguments):
    """Run a script as somebody without the rights of root, and give what it printed."""
    done = subprocess.run(
        [sys.executable, "-c", SOMEBODY + script, *map(str, arguments)],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    return done.stdout.splitlines()


def test_reading_only_shows_everything_and_refuses_to_write(tmp_path, now):
    path = tmp_path / "prints.db"
    with open_archive(path, create=True) as writer:
        begin(writer, now)
        with open_archive(path, read_only=True) as look:  # while the other one is open
            assert (session_list.count(look), look.read_only) == (1, True)
            with pytest.raises(ArchiveProblem, match="reading only"):
                begin(look, now)
            with pytest.raises(sqlite3.OperationalError, match="readonly"):
                look.connection.execute("DELETE FROM habit")


def test_a_look_leaves_nothing_beside_the_archive(tmp_path, now):
    path = tmp_path / "prints.db"
    with open_archive(path, create=True) as archive:
        begin(archive, now)
    before = whole_folder(tmp_path)
    with open_archive(path, read_only=True) as look:
        assert session_list.count(look) == 1
        assert whole_folder(tmp_path) == before
    assert whole_folder(tmp_path) == before


def test_a_long_look_sees_what_others_save_meanwhile(tmp_path, now):
    path = tmp_path / "prints.db"
    open_archive(path, create=True).close()
    with open_archive(path, read_only=True) as look:
        assert session_list.count(look) == 0
        with open_archive(path) as writer:
            begin(writer, now)
            assert session_list.count(look) == 1  # out of the log
        assert session_list.count(look) == 1


def test_a_look_sees_what_was_saved_and_moved_into_the_file_since(tmp_path, now):
    path = tmp_path / "prints.db"
    open_archive(path, create=True).close()
    with open_archive(path, read_only=True) as look:
        assert session_list.count(look) == 0
        with open_archive(path) as writer:
            begin(writer, now)
        assert not sqlite.log_of(path).exists()
        assert session_list.count(look) == 1


def test_what_was_changed_under_a_look_is_not_guessed(tmp_path, now):
    path = tmp_path / "prints.db"
    open_archive(path, create=True).close()
    with open_archive(path, read_only=True) as look:
        with pytest.raises(ArchiveProblem, match="another program changed just now"), look.snapshot():
            assert session_list.count(look) == 0
            with open_archive(path) as writer:
                begin(writer, now)
        assert session_list.count(look) == 1


def test_a_look_at_an_archive_somebody_keeps_to_himself_is_refused_not_guessed(tmp_path):
    path = tmp_path / "prints.db"
    open_archive(path, create=True).close()
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as miser:
        miser.execute("PRAGMA locking_mode = EXCLUSIVE")
        miser.execute("INSERT INTO habit VALUES ('folder', '1')")
        with pytest.raises(ArchiveProblem, match=r"Found: the newest changes in prints\.db-wal beside it"):
            open_archive(path, read_only=True)


LOOK = """
try:
    open_archive(sys.argv[1])
except ArchiveProblem as problem:
    print(problem)
try:
    with open_archive(sys.argv[1], read_only=True) as look:
        print(session_list.count(look))
except ArchiveProblem as problem:
    print(problem)
print(writable(Path(sys.argv[1])))
"""


@posix
@pytest.mark.parametrize("unfinished", [False, True], ids=["closed well", "log left behind"])
def test_a_read_only_folder_gives_a_look_unless_the_newest_changes_lie_in_a_log(guarded, now, unfinished):
    path = guarded / "prints.db"
    with open_archive(path, create=True) as archive:
        begin(archive, now)
    if unfinished:
        sqlite.log_of(path).write_bytes(b"what another program left" * 100)
    for item in guarded.iterdir():
        item.chmod(0o444)
    guarded.chmod(0o555)
    before = whole_folder(guarded)
    refused, looked, can_write = as_somebody(LOOK, path)
    assert "Found: a read-only place" in refused and can_write == "False"
    if unfinished:
        assert "Found: the newest changes in prints.db-wal beside it. It was not opened. Copy both" in looked
    else:
        assert looked == "1"
    assert whole_folder(guarded) == before


OWN = """
path = sys.argv[1]
with open_archive(path, create=True) as archive:
    documents.keep(archive, "sheet", "a", b"map")
os.chmod(path, 0o444)
with open_archive(path, read_only=True) as look:
    print(session_list.count(look))
print(sorted(os.listdir(os.path.dirname(path))))
os.chmod(path, 0o644)
with open_archive(path) as archive:
    documents.keep(archive, "sheet", "b", b"another")
    print(archive.row("SELECT count(*) FROM document"))
"""


@posix
def test_a_look_at_a_protected_archive_does_not_lock_its_owner_out(guarded):
    guarded.chmod(0o777)
    assert as_somebody(OWN, guarded / "prints.db") == ["0", "['prints.db']", "(2,)"]


@posix
def test_a_look_of_the_superuser_is_a_look_too(guarded, now):
    """Whoever may write everywhere leaves a protected archive protected all the same."""
    path = guarded / "prints.db"
    with open_archive(path, create=True) as archive:
        begin(archive, now)
    path.chmod(0o444)
    assert not place.writable(path)
    with pytest.raises(ArchiveProblem, match="a read-only place"):
        open_archive(path)
    with open_archive(path, read_only=True) as look:
        assert session_list.count(look) == 1
    assert [item.name for item in guarded.iterdir()] == ["prints.db"]


@posix
def test_an_index_that_cannot_be_written_makes_a_look_of_it(guarded, now):
    path = guarded / "prints.db"
    with open_archive(path, create=True) as archive:
        begin(archive, now)
    guarded.chmod(0o777)
    path.chmod(0o666)
    sqlite.log_of(path).touch(0o444)
    sqlite.index_of(path).touch(0o444)
    refused, looked, can_write = as_somebody(LOOK, path)
    assert "Found: a read-only place" in refused
    assert (looked, can_write) == ("1", "False")
