"""Opening: what is an archive and what is not, and that nothing which is refused is touched."""

import contextlib
import os
import sqlite3
import subprocess
import sys
import threading

import pytest

from evaluation.archive import connection, documents, place, schema, sessions
from evaluation.archive.connection import open_archive
from evaluation.archive.recognise import VERSION
from evaluation.errors import ArchiveProblem


def whole_folder(folder):
    return {item.name: item.read_bytes() for item in folder.iterdir()}


def other_database(path):
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE letters (text TEXT)")
        other.execute(f"PRAGMA user_version = {VERSION}")
    other.close()


def newer_archive(path):
    open_archive(path, create=True).close()
    with sqlite3.connect(path) as later:
        later.execute(f"PRAGMA user_version = {VERSION + 3}")
    later.close()


NOT_AN_ARCHIVE = {
    "an empty file": lambda path: path.write_bytes(b""),
    "another kind of file": lambda path: path.write_bytes(b"\xff\xd8\xff\xe0" * 100),
    "another kind of file: short": lambda path: path.write_bytes(b"SQLite format 3\0"),
    "a database of another program": other_database,
    "a folder": lambda path: path.mkdir(),
    f"version {VERSION + 3}, written by a newer drydown": newer_archive,
}


@pytest.mark.parametrize("way", [{}, {"create": True}, {"read_only": True}], ids=str)
@pytest.mark.parametrize("found", NOT_AN_ARCHIVE)
def test_what_is_no_archive_of_ours_is_refused_and_stays_as_it_was(tmp_path, found, way):
    path = tmp_path / "prints.db"
    NOT_AN_ARCHIVE[found](path)
    before = {} if path.is_dir() else whole_folder(tmp_path)
    with pytest.raises(ArchiveProblem) as trouble:
        open_archive(path, **way)
    assert found.partition(":")[0] in trouble.value.found
    assert str(path) in str(trouble.value)
    assert trouble.value.remedy
    assert "\n" not in str(trouble.value)
    assert path.is_dir() or whole_folder(tmp_path) == before


def test_a_missing_archive_is_not_made_by_looking_for_it(tmp_path):
    for way in ({}, {"read_only": True}, {"create": True, "read_only": True}):
        with pytest.raises(ArchiveProblem, match="No archive is there"):
            open_archive(tmp_path / "prints.db", **way)
    assert list(tmp_path.iterdir()) == []


def test_creating_finds_what_was_created_before(tmp_path, now):
    path = tmp_path / "prints.db"
    with open_archive(path, create=True) as archive:
        digest = documents.keep(archive, "sheet", "", b"")
        sessions.create(archive, sheet_digest=digest, now=now)
    with open_archive(path, create=True) as archive:
        assert sessions.count(archive) == 1


def test_creating_leaves_nothing_else_behind(tmp_path):
    open_archive(tmp_path / "prints.db", create=True).close()
    assert [item.name for item in tmp_path.iterdir()] == ["prints.db"]


def test_creating_in_a_folder_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(ArchiveProblem, match="No archive was made"):
        open_archive(tmp_path / "nowhere" / "prints.db", create=True)


def test_two_who_create_at_once_share_one_archive(tmp_path, now):
    path, made = tmp_path / "prints.db", []

    def begin():
        with open_archive(path, create=True) as archive:
            digest = documents.keep(archive, "sheet", "", b"")
            made.append(sessions.create(archive, sheet_digest=digest, now=now))

    threads = [threading.Thread(target=begin) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(made) == [1, 2, 3, 4]


def no_links(*_):
    raise OSError("no links here")


def test_a_file_system_without_links_will_do(tmp_path, monkeypatch):
    monkeypatch.setattr(os, "link", no_links)
    with open_archive(tmp_path / "prints.db", create=True) as archive:
        assert sessions.count(archive) == 0


@pytest.mark.parametrize("links", [True, False])
def test_a_finished_file_never_takes_the_place_of_another(tmp_path, monkeypatch, links):
    draft, place = tmp_path / "draft", tmp_path / "prints.db"
    draft.write_text("new")
    place.write_text("mine")
    if not links:
        monkeypatch.setattr(os, "link", no_links)
    assert not schema.move_to_free_place(draft, place)
    assert place.read_text() == "mine"


@pytest.mark.parametrize("name", ["with space.db", "50%20?mode=memory#x.db", "Ærø [b].db"])
def test_any_file_name_will_do(tmp_path, name):
    with open_archive(tmp_path / name, create=True) as archive:
        assert archive.path.name == name
    assert [item.name for item in tmp_path.iterdir()] == [name]


def test_a_relative_path_will_do(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    open_archive("prints.db", create=True).close()
    assert (tmp_path / "prints.db").exists()


def test_reading_only_shows_everything_and_refuses_to_write(tmp_path, now):
    path = tmp_path / "prints.db"
    with open_archive(path, create=True) as writer:
        digest = documents.keep(writer, "sheet", "a", b"map")
        sessions.create(writer, sheet_digest=digest, now=now)
        with open_archive(path, read_only=True) as look:  # while the other one is open
            assert (sessions.count(look), look.read_only, look.remark) == (1, True, "")
            with pytest.raises(ArchiveProblem, match="reading only"):
                sessions.create(look, sheet_digest=digest, now=now)
            with pytest.raises(sqlite3.OperationalError, match="readonly"):
                look.connection.execute("DELETE FROM habit")


def test_a_newer_version_that_only_the_log_knows_of_is_refused_too(tmp_path):
    path = tmp_path / "prints.db"
    with open_archive(path, create=True) as first:
        first.connection.execute("PRAGMA wal_autocheckpoint = 0")
        first.connection.execute(f"PRAGMA user_version = {VERSION + 1}")
        assert path.read_bytes()[60:64] == VERSION.to_bytes(4, "big")
        with pytest.raises(ArchiveProblem, match="newer drydown"):
            open_archive(path)


def test_a_damaged_archive_is_told_in_a_sentence(tmp_path):
    path = tmp_path / "prints.db"
    open_archive(path, create=True).close()
    content = bytearray(path.read_bytes())
    content[100:2000] = b"\xa5" * 1900
    path.write_bytes(content)
    with pytest.raises(ArchiveProblem, match="damaged file"):
        open_archive(path)


def test_an_archive_kept_busy_is_told_in_a_sentence(tmp_path, monkeypatch, now):
    path = tmp_path / "prints.db"
    monkeypatch.setattr(connection, "_BUSY_MS", 20)
    with open_archive(path, create=True) as one, open_archive(path) as other, one.transaction():
        with pytest.raises(ArchiveProblem, match="another program that keeps it busy"):
            documents.keep(other, "sheet", "", b"")
        with pytest.raises(ArchiveProblem, match="busy"):
            open_archive(path)


def test_a_look_at_an_archive_somebody_keeps_to_himself_is_refused_not_guessed(tmp_path, monkeypatch):
    path = tmp_path / "prints.db"
    open_archive(path, create=True).close()
    monkeypatch.setattr(connection, "_BUSY_MS", 20)
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as miser:
        miser.execute("PRAGMA locking_mode = EXCLUSIVE")
        miser.execute("BEGIN EXCLUSIVE")
        with pytest.raises(ArchiveProblem, match="keeps it busy"):
            open_archive(path, read_only=True)


def test_a_full_disk_is_told_in_a_sentence_and_nothing_is_half_saved(archive):
    pages = archive.row("PRAGMA page_count")[0]
    archive.connection.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(ArchiveProblem, match="a full disk"):
        documents.keep(archive, "picture", "photo.jpg", os.urandom(100_000))
    archive.connection.execute("PRAGMA max_page_count = 1000000")
    assert archive.rows("SELECT * FROM document") == []
    documents.keep(archive, "picture", "photo.jpg", b"small")


def test_an_old_sqlite_is_told_in_a_sentence(tmp_path, monkeypatch):
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 34, 1))
    with pytest.raises(ArchiveProblem, match=r"Expected: SQLite 3\.37 or later"):
        open_archive(tmp_path / "prints.db", create=True)
    assert list(tmp_path.iterdir()) == []


def test_transactions_do_not_nest_and_are_given_up_whole(archive):
    with pytest.raises(RuntimeError), archive.transaction(), archive.transaction():
        pass
    assert not archive.connection.in_transaction


def test_a_snapshot_does_not_see_what_is_written_meanwhile(archive, now):
    with open_archive(archive.path) as other, archive.snapshot():
        assert sessions.count(archive) == 0
        digest = documents.keep(other, "sheet", "", b"")
        sessions.create(other, sheet_digest=digest, now=now)
        assert sessions.count(archive) == 0
    assert sessions.count(archive) == 1


def test_nothing_is_written_inside_a_snapshot(archive):
    with pytest.raises(RuntimeError, match="already open"), archive.snapshot():
        documents.keep(archive, "sheet", "", b"lost")
    documents.keep(archive, "sheet", "", b"kept")
    assert archive.row("SELECT count(*) FROM document") == (1,)


# Network places ----------------------------------------------------------------------------------------

MOUNTS = """\
/dev/sda1 / ext4 rw 0 0
server:/prints /mnt/prints nfs4 rw 0 0
//server/share /mnt/two\\040words cifs rw 0 0
/dev/sdb1 /mnt/prints/local ext4 rw 0 0
short line
"""


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has drives in place of mounts")
@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/home/me/prints.db", ""),
        ("/mnt/prints/prints.db", "nfs4"),
        ("/mnt/prints/2024/prints.db", "nfs4"),
        ("/mnt/prints-not/prints.db", ""),
        ("/mnt/prints/local/prints.db", ""),
        ("/mnt/two words/prints.db", "cifs"),
    ],
)
def test_a_network_place_is_known_by_its_mount(path, kind):
    from pathlib import Path

    assert place.network_kind(Path(path), MOUNTS) == kind


def test_a_network_place_is_refused_for_writing_only(archive, monkeypatch):
    monkeypatch.setattr(connection, "network_kind", lambda path: "nfs4")
    with pytest.raises(ArchiveProblem, match=r"a network place \(nfs4\)"):
        open_archive(archive.path)
    with open_archive(archive.path, read_only=True) as look:
        assert sessions.count(look) == 0


# A read-only place -------------------------------------------------------------------------------------

# Root may write everywhere, so as root the script becomes somebody who may not.
VISITOR = """
import os, sys
from pathlib import Path
from evaluation.archive import sessions
from evaluation.archive.place import writable
from evaluation.archive.connection import open_archive
from evaluation.errors import ArchiveProblem
if os.geteuid() == 0:
    os.setgid(65534); os.setuid(65534)
try:
    open_archive(sys.argv[1])
except ArchiveProblem as problem:
    print(problem)
try:
    with open_archive(sys.argv[1], read_only=True) as look:
        print(sessions.count(look), look.remark)
except ArchiveProblem as problem:
    print(problem)
print(writable(Path(sys.argv[1])))
"""


@pytest.fixture
def guarded():
    """A folder everybody may look into and nobody may write to, outside the private ones of pytest."""
    import tempfile
    from pathlib import Path

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        yield folder
        folder.chmod(0o755)


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="needs the permissions of POSIX")
@pytest.mark.parametrize("unfinished", [False, True], ids=["closed well", "log left behind"])
def test_a_read_only_folder_gives_a_look_unless_the_newest_changes_lie_in_a_log(guarded, now, unfinished):
    path = guarded / "prints.db"
    archive = open_archive(path, create=True)
    digest = documents.keep(archive, "sheet", "", b"")
    sessions.create(archive, sheet_digest=digest, now=now)
    archive.close()
    if unfinished:
        (guarded / "prints.db-wal").write_bytes(b"what another program left")
    for item in guarded.iterdir():
        item.chmod(0o444)
    guarded.chmod(0o555)
    before = whole_folder(guarded)
    done = subprocess.run(
        [sys.executable, "-c", VISITOR, str(path)], capture_output=True, text=True, check=True
    )
    refused, looked, can_write = done.stdout.splitlines()
    assert "Found: a read-only place" in refused and can_write == "False"
    if unfinished:
        assert "Found: the newest changes in prints.db-wal beside it. It was not opened. Copy both" in looked
    else:
        assert looked == "1 What another program saves meanwhile is not shown."
    assert whole_folder(guarded) == before


# The way to the first frame ----------------------------------------------------------------------------


def test_a_list_of_sessions_needs_the_standard_library_only(archive):
    script = (
        "import sys; from evaluation.archive import sessions, entries; "
        "from evaluation.archive.connection import open_archive\n"
        f"with open_archive({str(archive.path)!r}) as a: sessions.heads(a)\n"
        "print([name for name in ('numpy', 'sqlite_utils', 'colour', 'click') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
