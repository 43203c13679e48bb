"""Every entry, viewing, run and undo has (origin, sequence) from birth; copies of a file never share one."""

import contextlib
import shutil
import sqlite3

import pytest

from evaluation.archive import backup, entries, health, runs, schema
from evaluation.archive.connection import open_archive
from evaluation.entry import Draft, encoded
from evaluation.session import Grade

BIRTHS = "SELECT origin, sequence, what, number FROM birth ORDER BY origin, sequence"


@pytest.fixture
def used(archive, session_id, viewing_id, say, undo, redo, now, a_run):
    say(Draft("condition", "paper", "Rag"))
    say(Draft("answer", "skin/overall", encoded(Grade(4)), viewing_id))
    runs.keep(archive, session_id, [a_run], now)
    undo(viewing_id)
    redo(viewing_id)
    undo(viewing_id)
    return archive


def test_everything_is_born_once_in_order_and_an_undo_is_a_row_of_its_own(used):
    ((origin, _),) = used.rows("SELECT origin, place FROM origin")
    assert used.rows(BIRTHS) == [
        (origin, 1, "viewing", 1),
        (origin, 2, "entry", 1),
        (origin, 3, "entry", 2),
        (origin, 4, "readings", 1),
        (origin, 5, "turn", 1),
        (origin, 6, "turn", 2),
        (origin, 7, "turn", 3),
    ]
    assert used.rows("SELECT entry, takes_back FROM turn") == [(2, None), (2, 1), (2, None)]
    assert health.check(used).sound
    for statement in ("DELETE FROM {}", "UPDATE {0} SET {1} = {1}"):
        for table, column in (("birth", "sequence"), ("turn", "entry")):
            with pytest.raises(sqlite3.IntegrityError, match=r"never (rewritten|deleted)"):
                used.connection.execute(statement.format(table, column))


def write(path, session_id, now, summarise):
    with open_archive(path) as archive:
        entries.say(archive, session_id, [Draft("remark", "describe", "more")], now, summarise)
        return archive.rows("SELECT origin, sequence FROM birth WHERE what = 'entry' ORDER BY number")[-1]


def test_copies_that_both_go_on_give_no_name_twice(used, session_id, now, summarise, tmp_path):
    backup.backup(used, tmp_path / "kept.db")
    used.close()
    shutil.copy(used.path, tmp_path / "copy.db")
    own = write(used.path, session_id, now, summarise)
    names = [own, write(tmp_path / "copy.db", session_id, now, summarise)]
    for _ in range(2):  # a backup put back over the file it came from: the same place on the disk
        shutil.copyfile(tmp_path / "kept.db", used.path)
        names.append(write(used.path, session_id, now, summarise))
    assert len({origin for origin, _ in names}) == 4
    assert [sequence for _, sequence in names] == [8, 1, 1, 1]
    used.path.rename(tmp_path / "moved.db")
    assert write(tmp_path / "moved.db", session_id, now, summarise) == (names[-1][0], 2)
    with open_archive(tmp_path / "moved.db") as archive:
        assert health.check(archive).sound


def test_two_copies_brought_up_to_date_apart_agree_about_what_was_there(tmp_path, now, summarise):
    first = tmp_path / "a.db"
    with contextlib.closing(sqlite3.connect(first, isolation_level=None)) as old:
        schema.upgrade(old, schema.scripts()[:4])
        old.execute("INSERT INTO document VALUES (?, 'sheet', '', 0, x'')", ("a" * 64,))
        for uid in "12":
            old.execute(
                "INSERT INTO session (uid, sheet, created, touched) VALUES (?, ?, '', '')",
                (uid * 32, "a" * 64),
            )
        old.execute(
            "INSERT INTO viewing (session, ordinal, observer, kind, region_order, started) "
            "VALUES (2, 1, '', 'full', '[]', '')"
        )
        for session, undone in ((1, 0), (2, -1), (1, 1)):
            old.execute(
                "INSERT INTO entry (session, kind, subject, value, at, action, undone) "
                "VALUES (?, 'remark', 'read', '1', '', 1, ?)",
                (session, undone),
            )
    shutil.copy(first, tmp_path / "b.db")
    births = []
    for name in "ab":
        with open_archive(tmp_path / f"{name}.db") as archive:
            births.append(archive.rows(BIRTHS))
            assert not [word for word in health.check(archive).troubles if "rigin" in word or "ndo" in word]
    one, two = "1" * 32, "2" * 32
    assert (
        births[0]
        == births[1]
        == [
            (one, 1, "entry", 1),
            (one, 2, "entry", 3),
            (one, 3, "turn", 2),
            (two, 1, "viewing", 1),
            (two, 2, "entry", 2),
            (two, 3, "turn", 1),
        ]
    )


@pytest.mark.parametrize(
    ("damage", "said"),
    [
        ("DELETE FROM birth WHERE sequence = 2", "Without origin and sequence: 1 entries"),
        ("DELETE FROM birth WHERE sequence = 2", "has gaps: 6 of 7 are there"),
        ("UPDATE birth SET number = 99 WHERE what = 'readings'", "still there: 1 readings"),
        ("UPDATE entry SET undone = 0", "do not say whether they count: 1"),
    ],
)
def test_check_names_what_does_not_fit(used, damage, said):
    for (name,) in used.rows("SELECT name FROM sqlite_master WHERE type = 'trigger'"):
        used.connection.execute(f"DROP TRIGGER {name}")
    used.connection.execute(damage)
    assert any(said in trouble for trouble in health.check(used).troubles)


def test_answers_of_rounds_keep_their_names_when_more_may_be_answered(tmp_path):
    """Version 10 made their table anew."""
    with contextlib.closing(sqlite3.connect(tmp_path / "old.db", isolation_level=None)) as old:
        schema.upgrade(old, schema.scripts()[:9])
        old.execute("INSERT INTO round VALUES (1, 'then', 'observer 1', 'skin', 'better', '[]', '[]')")
        for place, named in ((0, "left"), (1, "none"), (0, None)):
            old.execute(
                "INSERT INTO judgement (round, place, named, at) VALUES (1, ?, ?, 'x')", (place, named)
            )
        births = old.execute(BIRTHS).fetchall()
        schema.upgrade(old, schema.scripts())
        assert old.execute(BIRTHS).fetchall() == births and len(births) == 4
        assert old.execute("SELECT id, place, named FROM judgement").fetchall() == [
            (1, 0, "left"),
            (2, 1, "none"),
            (3, 0, None),
        ]
        assert old.execute("SELECT observer, family FROM round").fetchall() == [("observer 1", "")]
        old.execute("INSERT INTO judgement (round, place, named, at) VALUES (1, 2, 'middle', 'x')")
        assert len(old.execute(BIRTHS).fetchall()) == 5
        for statement in ("DELETE FROM judgement", "UPDATE judgement SET place = 7"):
            with pytest.raises(sqlite3.IntegrityError, match=r"never (rewritten|deleted)"):
                old.execute(statement)


def test_an_archive_of_the_tests_is_what_all_migrations_make(archive, tmp_path):
    """They copy one that was made before: `made_once` in tests/conftest.py."""
    with (
        contextlib.closing(sqlite3.connect(":memory:", isolation_level=None)) as migrated,
        open_archive(tmp_path / "another.db", create=True) as another,
    ):
        schema.upgrade(migrated, schema.scripts())
        origins, dumps = set(), []
        for one in (migrated, archive.connection, another.connection):
            (origin, family), *more = one.execute("SELECT origin, family FROM origin").fetchall()
            assert origin == family and not more
            origins.add(origin)
            place = one.execute("SELECT place FROM origin").fetchone()[0]
            dumps.append([line.replace(origin, "").replace(place or origin, "") for line in one.iterdump()])
    assert len(origins) == 3 and dumps[0] == dumps[1] == dumps[2]
