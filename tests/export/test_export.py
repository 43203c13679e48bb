"""What leaves an archive and what does not; what is written again; archives that cannot be read."""

import json
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive import rounds, session_list, sessions, triangles
from evaluation.archive.connection import open_archive
from evaluation.archive.recognise import VERSION
from evaluation.entry import Draft
from evaluation.errors import DrydownError
from evaluation.export import parquet
from evaluation.export.columns import TABLES
from evaluation.sheet.layout import Sheet
from evaluation.work import log
from evaluation.work.bench import Bench, sheet_of, utc_now
from evaluation.work.export.export import export_all
from evaluation.work.look import look
from tests.export.tabled import changed, rows, standing


def test_of_a_region_without_a_grade_nothing_leaves(demo_archive: Path, tmp_path: Path) -> None:
    """Session 6 is not looked at, and of session 5 half; a new viewing closes what was open."""
    path = Path(shutil.copy(demo_archive, tmp_path / "archive.db"))

    def look_anew(bench: Bench) -> None:
        earlier = sessions.load(bench.archive, 1).viewings[0]
        log.say(bench, 1, [Draft("fault", "shadow/banding", {"where": "left"}, earlier.id)])
        viewing = look.start(bench, 1, observer="Berta")
        log.say(bench, 1, [Draft("answer", "skin/overall", {"grade": 2}, viewing.id)])

    changed(path, look_anew)
    export_all([path], tmp_path / "tables", ["csv"])
    there = {name: rows(tmp_path / "tables", name) for name in TABLES}
    with open_archive(path, read_only=True) as archive:
        for number in range(1, 7):
            session = sessions.load(archive, number)
            seen = graded(sheet_of(Bench(archive), session), session)
            for table in ("readings", "answers", "faults", "metrics"):
                found = {row["region"] for row in there[table] if row["session"] == session.uid}
                assert found <= seen | {None}, (number, table)
        first = sessions.load(archive, 1).uid
    told = [row for row in there["answers"] if row["session"] == first]
    assert {row["region"] for row in told} == {"skin"} and len({row["viewing"] for row in told}) == 3
    assert first not in {row["session"] for row in (*there["findings"], *there["verdicts"])}


def graded(sheet: Sheet, session: Any) -> set[str]:
    """Regions whose whole the newest viewing has graded, and those that ask nothing."""
    given = {} if session.viewing is None else session.viewing.answers
    return {one.id for one in sheet.regions if one.whole is None or (one.id, one.whole.id) in given}


def test_what_is_undone_removed_or_still_a_secret_stays(finished: Path, tmp_path: Path) -> None:
    def act(bench: Bench) -> None:
        log.say(bench, 2, [Draft("condition", "paper", "Rag\u202e\n=1+1")])
        log.say(bench, 2, [Draft("condition", "printer", "gone again")])
        log.undo(bench, 2)
        session_list.remove(bench.archive, 4, bench.now())
        secret: dict[str, Any] = {"observer": "Anton", "region": "skin", "now": utc_now()}
        letters = {"prints": {"A": 1, "B": 5}, "shown": [("A", "B"), ("B", "A")]}
        waits = rounds.begin(bench.archive, ask="better", **letters, **secret)
        rounds.judge(bench.archive, waits.id, 0, "left", utc_now())
        test = triangles.begin(bench.archive, prints=(1, 5), shown=((1, 5, 1), (5, 5, 1)), **secret)
        triangles.name_odd(bench.archive, test.id, 0, "middle", utc_now())

    changed(finished, act)
    export_all([finished], tmp_path / "tables")
    assert b"Rag\xef\xbf\xbd =1+1" in b"".join(
        path.read_bytes() for path in tmp_path.rglob("conditions.json")
    )
    with open_archive(finished, read_only=True) as archive:
        uid = {number: sessions.load(archive, number).uid for number in range(1, 7)}
    there = {table: rows(tmp_path / "tables", table) for table in TABLES}
    (second,) = (row for row in there["conditions"] if row["session"] == uid[2])
    assert (second["paper"], second["printer"]) == ("Rag\ufffd =1+1", "Merrowby 24")
    assert {row["session"] for row in there["sessions"]} == {uid[number] for number in (1, 2, 3, 5, 6)}
    assert not any(uid[4] in map(str, row.values()) for table in there.values() for row in table)
    assert there["side_by_side"] and not any(row["observer"] == "Anton" for row in there["side_by_side"])
    assert there["triangles"] == []
    told = {row["session"] for row in there["sessions"] if row["verdict"] is not None}
    assert told == {row["session"] for row in there["findings"]} and uid[1] in told and uid[2] not in told


def test_without_names_nobody_is_named(finished: Path, tmp_path: Path) -> None:
    def act(bench: Bench) -> None:
        viewing = look.start(bench, 2, observer="Ottilie Ferrant", kind="quick").id
        log.say(bench, 2, [Draft("answer", "ring/overall", {"grade": 2}, viewing)])
        log.say(bench, 2, [Draft("fault", "ring/banding", {"where": "where Ottilie held it"}, viewing)])
        log.say(bench, 2, [Draft("remark", "viewing/aside", "Ferrant had no time", viewing)])
        log.say(bench, 2, [Draft("condition", "inks", "the set of ottilie")])

    changed(finished, act)
    export_all([finished], tmp_path / "named", ["csv"])
    export_all([finished], tmp_path / "tables", ["csv", "json"])
    viewings = rows(tmp_path / "named", "viewings")
    named = {(row["observer"], row["family"]) for row in viewings}
    assert (
        "Ottilie Ferrant",
        None,
    ) in named  # a name is one person everywhere, a role in a family of archives
    assert {len(family) for name, family in named if name.startswith("observer")} == {32}
    (done,) = export_all([finished], tmp_path / "tables", ["csv", "json"], names=False)  # over what has names
    text = b"".join(content for _, content in standing(tmp_path / "tables").values()).lower()
    assert b"ottilie" not in text and b"ferrant" not in text and str(tmp_path).encode() not in text
    roles = {(row["observer"], row["family"]) for row in rows(tmp_path / "tables", "viewings")}
    assert roles == {(f"observer {place}", done.origin) for place in range(1, len(named) + 1)}


@pytest.mark.long
def test_only_what_changed_is_written_again(finished: Path, tmp_path: Path) -> None:
    folder = tmp_path / "tables"
    changed(finished, lambda bench: log.say(bench, 6, [Draft("remark", "paper", "a copy by itself now")]))
    (first,) = export_all([finished], folder)
    before = standing(folder)
    (again,) = export_all([finished], folder, ["csv"])
    assert (again.written, again.unchanged) == (0, first.written) and standing(folder) == before
    changed(finished, lambda bench: log.say(bench, 6, [Draft("remark", "paper", "beside every result")]))
    export_all([finished], folder, ["csv"])  # what lies there as JSON is kept up as well
    with open_archive(finished, read_only=True) as archive:
        month = archive.rows("SELECT substr(created, 1, 7) FROM session WHERE id = 6")[0][0]
    after = standing(folder)
    touched = {name for name in before if after[name][0] != before[name][0]}
    data = {name for name in before if f"month={month}" in name}
    assert touched == data | {name for name in before if name.startswith("archives")}
    # A file that is lost, or cut short, is seen; a list from anywhere can name no other file.
    lost = sorted(data)[0]
    (folder / lost).write_bytes(b"")
    export_all([finished], folder)
    assert standing(folder)[lost][1] == after[lost][1]
    (listed,) = (folder / "archives").iterdir()
    content = json.loads(listed.read_bytes())
    content["months"]["../../.."] = {"standing": "", "files": {"csv": {"sessions": 1}}}
    listed.write_text(json.dumps(content), "utf-8")
    (anew,) = export_all([finished], folder)
    assert anew.written == first.written
    # A result that is out of date takes its files along, and so does a session that is taken off the list.
    everywhere = [Draft("condition", "inks", "another set")]
    changed(finished, lambda bench: [log.say(bench, n, everywhere) for n in range(1, 7)])
    (stale,) = export_all([finished], folder)
    assert stale.waiting == 6 and not list(folder.rglob("verdicts.csv")) and list(folder.rglob("answers.csv"))
    changed(finished, lambda bench: [session_list.remove(bench.archive, n, bench.now()) for n in range(1, 7)])
    (empty,) = export_all([finished], folder)
    assert empty.sessions == 0 and not list(folder.rglob("origin=*/*/*.*"))


@pytest.mark.long
def test_one_that_cannot_be_read_holds_up_no_other(finished: Path, tmp_path: Path) -> None:
    (tmp_path / "cut.db").write_bytes(finished.read_bytes()[: finished.stat().st_size // 2])
    (tmp_path / "text.db").write_text("no archive, but long enough to be one\n" * 30, "utf-8")
    shutil.copy(finished, tmp_path / "copy.db")
    shutil.copy(finished, tmp_path / "later.db")
    changed(tmp_path / "later.db", lambda bench: log.say(bench, 1, [Draft("remark", "paper", "went on")]))
    shutil.copy(finished, tmp_path / "old.db")
    with closing(sqlite3.connect(tmp_path / "old.db", isolation_level=None)) as old:
        old.execute(f"PRAGMA user_version = {VERSION - 1}")  # opened to be written to, it would be brought up
    names = ("old.db", "cut.db", "none.db", "finished.db", "text.db", "copy.db", "later.db")
    given = [tmp_path / name for name in names]
    before = {path: path.read_bytes() for path in given if path.exists()}
    told: list[int] = []
    done = export_all(
        [*given, finished], tmp_path / "tables", ["csv"], processes=1, tell=lambda n, of, _: told.append(n)
    )
    assert [Path(one.archive).name for one in done] == [path.name for path in given] and told[-1] == 7
    problems = {Path(one.archive).name: one.problem for one in done if one.problem is not None}
    assert problems.keys() == {"old.db", "cut.db", "none.db", "text.db", "copy.db"}
    assert problems["old.db"]["found"].endswith("must be brought up to date first")
    assert problems["copy.db"]["found"] == "a copy of finished.db, in which nothing was entered since"
    assert all(DrydownError(**problem).where for problem in problems.values())
    assert {path: path.read_bytes() for path in given if path.exists()} == before
    assert not list(tmp_path.glob("*-wal"))
    assert (
        len({one.origin for one in done if one.origin}) == 2
    )  # a copy that went on is an archive of its own
    assert not list((tmp_path / "tables").rglob(".drydown-*"))


@pytest.mark.long
def test_a_file_that_was_moved_counts_once(finished: Path, tmp_path: Path) -> None:
    """A copy put back draws an origin anew; what the file at this place wrote under the old one goes."""
    folder = tmp_path / "tables"
    (first,) = export_all([finished], folder, ["csv"])
    shutil.copy(finished, tmp_path / "put-back.db")
    (tmp_path / "put-back.db").replace(finished)
    changed(finished, lambda bench: log.say(bench, 1, [Draft("remark", "paper", "went on")]))
    (again,) = export_all([finished], folder, ["csv"])
    assert again.origin != first.origin
    assert len(rows(folder, "sessions")) == 6 and first.origin not in str(standing(folder).keys())


@pytest.mark.long
def test_an_archive_that_is_open_elsewhere_is_read_beside_it(
    finished: Path, tmp_path: Path, elsewhere: Callable[[Path], Any]
) -> None:
    other = elsewhere(finished)
    (done,) = export_all([finished], tmp_path / "tables", ["csv"])
    assert done.problem is None and len(rows(tmp_path / "tables", "sessions")) == 6
    other.save()
    assert other.is_unharmed()


def test_parquet_without_duckdb_is_one_sentence(
    finished_archive: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(parquet, "find_spec", lambda name: None)
    with pytest.raises(DrydownError) as told:
        export_all([finished_archive], tmp_path / "tables", ["csv", "parquet"])
    assert "drydown[parquet]" in told.value.remedy and not (tmp_path / "tables").exists()


def test_a_folder_that_cannot_be_one_is_one_sentence(finished_archive: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine", "utf-8")
    with pytest.raises(DrydownError, match="Expected: a folder"):
        export_all([finished_archive], tmp_path / "file")
    with pytest.raises(DrydownError, match="Nothing was exported"):
        export_all([finished_archive], tmp_path / "no" / "such")
    (tmp_path / "tables").mkdir()
    (tmp_path / "tables" / "json").write_text("in the way", "utf-8")
    (done,) = export_all([finished_archive], tmp_path / "tables")
    assert done.problem is not None and done.problem["what"] == "It was not exported."
    assert (tmp_path / "file").read_text("utf-8") == "mine"


@pytest.mark.parametrize(
    "hostile",
    [
        "UPDATE session SET created = '../../../out'",
        "UPDATE origin SET origin = '../../../../../../outside'",
        "UPDATE readings SET added = 'never'",
        "DELETE FROM birth WHERE what = 'viewing'",
        "UPDATE viewing SET started = 'when'",
        "UPDATE round SET started = 'when'",
        "DELETE FROM birth WHERE what = 'round'",
    ],
)
def test_a_hostile_archive_is_one_sentence_and_writes_nowhere_else(
    finished_archive: Path, tmp_path: Path, hostile: str
) -> None:
    path = Path(shutil.copy(finished_archive, tmp_path / "archive.db"))
    with closing(sqlite3.connect(path, isolation_level=None)) as archive:
        archive.execute("PRAGMA ignore_check_constraints = ON")
        for (name,) in archive.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            archive.execute(f"DROP TRIGGER {name}")
        archive.execute(hostile)
        archive.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    before = {each for each in tmp_path.rglob("*") if each.parent == tmp_path}
    (done,) = export_all([path], tmp_path / "tables", ["csv"])
    assert done.problem is not None and done.problem["found"] == "damaged rows", done
    assert {each for each in tmp_path.rglob("*") if each.parent == tmp_path} == before | {tmp_path / "tables"}
    assert (
        not list((tmp_path / "tables").glob("csv/*/*")) and not (tmp_path / "tables" / "unfinished").exists()
    )
