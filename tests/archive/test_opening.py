"""Opening: what is an archive and what is not, and that nothing which is refused is touched."""

import contextlib
import os
import re
import shutil
import sqlite3
import subprocess
import sys
import threading
from functools import cache

import pytest

from evaluation.archive import documents, place, probing, recognise, schema, session_list, sessions, sqlite
from evaluation.archive.connection import open_archive
from evaluation.archive.recognise import VERSION
from evaluation.entry import Draft
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
        assert session_list.count(archive) == 1


def test_creating_leaves_nothing_else_behind(tmp_path):
    open_archive(tmp_path / "prints.db", create=True).close()
    assert [item.name for item in tmp_path.iterdir()] == ["prints.db"]


def test_creating_in_a_folder_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(ArchiveProblem, match="No archive was made"):
        open_archive(tmp_path / "nowhere" / "prints.db", create=True)


def test_a_log_that_another_program_takes_away_meanwhile_is_no_read_only_place(tmp_path, monkeypatch):
    path = tmp_path / "prints.db"
    path.touch()
    for beside in (sqlite.log_of(path), sqlite.index_of(path)):
        beside.touch()
    look = os.access

    def gone_by_now(asked, mode):
        if asked != path and asked != tmp_path:
            asked.unlink()
        return look(asked, mode)

    monkeypatch.setattr(os, "access", gone_by_now)
    assert place.writable(path)


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
        assert session_list.count(archive) == 0


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


LATER = """
import sqlite3, sys
newer = sqlite3.connect(sys.argv[1], isolation_level=None)
newer.execute("PRAGMA wal_autocheckpoint = 0")
newer.execute("PRAGMA user_version = 99")
print("done", flush=True)
sys.stdin.read()
"""


@contextlib.contextmanager
def a_newer_drydown(path):
    """A program of its own that says in the log what version the archive is, and is killed at the end."""
    open_archive(path, create=True).close()
    words = [sys.executable, "-c", LATER, str(path)]
    with subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as newer:
        assert newer.stdout.readline() == "done\n"
        yield
        newer.kill()


@pytest.fixture(params=["its program at work", "its index beside it", "copied without its index"])
def newer_in_the_log(request, tmp_path):
    """An archive whose log alone knows that a newer drydown was at work."""
    path = tmp_path / "prints.db"
    with a_newer_drydown(path):
        if request.param == "its program at work":
            yield path
            return
    if request.param == "copied without its index":
        sqlite.index_of(path).unlink()
    yield path


@pytest.mark.skipif(sys.platform == "win32", reason="there is no kill -9")
def test_a_newer_version_that_only_the_log_knows_of_is_refused_and_the_log_left(newer_in_the_log):
    before = whole_folder(newer_in_the_log.parent)
    assert {"prints.db", "prints.db-wal"} <= set(before)
    assert before["prints.db"][60:64] == VERSION.to_bytes(4, "big")
    for way in ({}, {"create": True}):
        with pytest.raises(ArchiveProblem, match=r"version 99, .* It was not touched"):
            open_archive(newer_in_the_log, **way)
    assert whole_folder(newer_in_the_log.parent) == before


@pytest.mark.skipif(sys.platform == "win32", reason="there is no kill -9")
def test_a_log_that_was_only_begun_holds_nothing(tmp_path):
    """SQLite waits ten seconds for such a log when it may not write the index anew."""
    path = tmp_path / "prints.db"
    with a_newer_drydown(path):
        pass
    os.truncate(sqlite.log_of(path), 32)
    with open_archive(path, read_only=True) as look:
        assert session_list.count(look) == 0
    with open_archive(path) as archive:
        assert archive.row("PRAGMA user_version") == (VERSION,)


def test_a_damaged_archive_is_told_in_a_sentence(tmp_path):
    path = tmp_path / "prints.db"
    open_archive(path, create=True).close()
    content = bytearray(path.read_bytes())
    content[100:2000] = b"\xa5" * 1900
    path.write_bytes(content)
    with pytest.raises(ArchiveProblem, match="damaged file"):
        open_archive(path)


def test_an_archive_whose_log_is_being_moved_into_it_is_still_known(tmp_path):
    """Page by page, the first one first: by then it counts pages that the file does not have yet."""
    path = tmp_path / "prints.db"
    open_archive(path, create=True).close()
    os.truncate(path, 4096)
    recognise.require_archive(path)


def test_an_archive_kept_busy_is_told_in_a_sentence_by_those_who_write(tmp_path, monkeypatch):
    path = tmp_path / "prints.db"
    with open_archive(path, create=True) as one, one.transaction():
        monkeypatch.setattr(sqlite, "_BUSY_S", 0.02)
        with open_archive(path) as other:
            with pytest.raises(ArchiveProblem, match="another program that keeps it busy"):
                documents.keep(other, "sheet", "", b"")
            assert session_list.count(other) == 0


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
        assert session_list.count(archive) == 0
        digest = documents.keep(other, "sheet", "", b"")
        sessions.create(other, sheet_digest=digest, now=now)
        assert session_list.count(archive) == 0
    assert session_list.count(archive) == 1


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
    assert place.is_local(Path(path), MOUNTS) == (not kind)
    assert (
        not place.is_local(Path(path), f"{MOUNTS}unheard /home fuse.unheard rw 0 0\n") or "home" not in path
    )


def test_a_network_place_is_refused_for_writing_only(archive, monkeypatch):
    monkeypatch.setattr(place, "network_kind", lambda path: "nfs4")
    with pytest.raises(ArchiveProblem, match=r"a network place \(nfs4\).*`drydown bundle` takes sessions"):
        open_archive(archive.path)
    with open_archive(archive.path, read_only=True) as look:
        assert session_list.count(look) == 0


@pytest.fixture
def unnamed(monkeypatch):
    """Places whose kind says nothing are tried, once in a run of the program."""
    monkeypatch.setattr(place, "is_local", lambda path: False)
    monkeypatch.setattr(probing, "trouble", cache(probing.trouble.__wrapped__))


class Share(sqlite3.Connection):
    """A place that behaves as shares do: the switch to a log is granted, and the first write fails."""

    def execute(self, statement, *values):
        if statement.startswith("CREATE"):
            raise sqlite3.OperationalError("disk I/O error")
        return super().execute(statement, *values)


@pytest.mark.parametrize(
    ("behaves", "found"),
    [
        ({}, ""),
        ({"query": "vfs=unix-dotfile"}, "keeps no write-ahead log"),  # SQLite's own for places without locks
        ({"factory": Share}, r"a write-ahead log fails \(disk I/O error\)"),
        ({"other": ["seen", "let in"]}, "keeps no program out"),
        ({"other": ["unseen", "kept out"]}, "does not see what another has written"),
        ({"other": [""]}, "another program cannot use"),
    ],
    ids=["sound", "no log", "fails at the first write", "no locks", "no shared memory", "refused"],
)
@pytest.mark.skipif(sys.platform == "win32", reason="Windows knows its drives")
def test_a_place_that_hides_what_it_is_is_tried(tmp_path, unnamed, monkeypatch, behaves, found):
    def connect(path, query, **named):
        query = "&".join(part for part in (query, behaves.get("query")) if part)
        uri = f"{path.absolute().as_uri()}?{query}"
        return sqlite3.connect(
            uri, uri=True, isolation_level=None, factory=behaves.get("factory", sqlite3.Connection)
        )

    with monkeypatch.context() as patch:
        patch.setattr(probing.sqlite, "connect", connect)
        if "other" in behaves:
            patch.setattr(probing, "other_program", lambda draft: behaves["other"])
        told = probing.trouble(tmp_path)
    assert bool(re.search(found, told)) and bool(told) == bool(found)
    assert list(tmp_path.iterdir()) == []
    if found:
        with pytest.raises(ArchiveProblem, match=f"prints.db.*{found}.*`drydown bundle` takes sessions"):
            open_archive(tmp_path / "prints.db", create=True)
    else:
        open_archive(tmp_path / "prints.db", create=True).close()
    assert [each.name for each in tmp_path.iterdir()] == ([] if found else ["prints.db"])


def test_an_archive_that_is_at_home_where_it_lies_is_not_tried_again(
    archive, session_id, say, unnamed, monkeypatch
):
    say(Draft("condition", "paper", "Rag"))
    monkeypatch.setattr(probing, "trouble", lambda folder: "a share")
    archive.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    open_archive(archive.path).close()
    elsewhere = archive.path.with_name("carried.db")
    shutil.copyfile(archive.path, elsewhere)
    with pytest.raises(ArchiveProblem, match="Found: a share"):
        open_archive(elsewhere)
    with open_archive(elsewhere, read_only=True) as look:
        assert session_list.count(look) == 1


# The way to the first frame ----------------------------------------------------------------------------


def test_a_list_of_sessions_needs_the_standard_library_only(archive):
    script = (
        "import sys; from evaluation.archive import session_list, sessions, entries; "
        "from evaluation.archive.connection import open_archive\n"
        f"with open_archive({str(archive.path)!r}) as a: session_list.heads(a)\n"
        "print([name for name in ('numpy', 'sqlite_utils', 'colour', 'click') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
