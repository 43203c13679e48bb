"""A bundle may come from anybody, and a merge may be killed: all of it is taken, or nothing.

The long run kills 200 merges: `uv run pytest -m long tests/archive/test_hostile_bundles.py`.
"""

import contextlib
import json
import random
import sqlite3
import struct
import subprocess
import sys
import time
import zlib
from pathlib import Path

import pytest

from evaluation.archive import documents, entries, health, runs, sessions
from evaluation.archive.bundles import make, merge, sealed
from evaluation.archive.connection import open_archive
from evaluation.archive.recognise import VERSION
from evaluation.entry import Draft
from evaluation.errors import ArchiveProblem
from tests.cases import some_now

SCRIPT = Path(__file__).with_name("merging_run.py")


@pytest.fixture
def bundle(archive, session_id, viewing_id, say, now, a_run, tmp_path):
    """A sound bundle with something of everything."""
    say(Draft("condition", "paper", "Rag"))
    (run,) = runs.keep(archive, session_id, [a_run], now, source=("../../strip.txt", b"readings"))
    say(Draft("readings", str(run), "in"))
    say(Draft("remark", "skin", "\x1b[31m[red]<b>", viewing_id))
    make.make(archive, [session_id], tmp_path / "sound.bundle", now, "0.2.0")
    return tmp_path / "sound.bundle"


@pytest.fixture
def other(tmp_path):
    with open_archive(tmp_path / "other.db", create=True) as other:
        yield other


def contents(archive):
    tables = (
        "session",
        "viewing",
        "entry",
        "readings",
        "turn",
        "birth",
        "document",
        "sight",
        "elsewhere",
        "merging",
    )
    return {table: archive.rows(f"SELECT * FROM {table}") for table in tables}


def damaged(file, statement, *, seal=False):
    """Changed by hand, triggers or not; with `seal` by somebody who knows how the list of digests is made."""
    with contextlib.closing(sqlite3.connect(file, isolation_level=None)) as connection:
        made = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in made:
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute(statement)
        for _, sql in made:
            connection.execute(sql)
        if seal:
            about = sealed.about(connection)
            connection.execute("DELETE FROM bundle")
            connection.execute("DELETE FROM bundle_digest")
            sealed.close(connection, about)


HUGE = struct.pack("<6d", 1e300, *[0] * 5).hex()
BOMB = zlib.compress(bytes(1 << 22), 9).hex()
CHANGED = {
    "entry": ("UPDATE entry SET value = '\"Silk\"' WHERE subject = 'paper'", "changed since"),
    "viewing": ("UPDATE viewing SET observer = 'Cleo'", "changed since"),
    "readings": ("UPDATE readings SET lab = zeroblob(48)", "changed since"),
    "session": ("UPDATE session SET created = '2020-01-01T00:00:00.000+00:00'", "changed since"),
    "lost": ("DELETE FROM entry WHERE kind = 'remark'", "changed since"),
    "document": ("UPDATE document SET content = x'00'", "document .* changed since"),
    "list": ("UPDATE bundle_digest SET digest = replace(digest, 'a', 'b')", "list of digests"),
    "origin": (f"UPDATE bundle SET origin = '{'0' * 32}'", "list of digests"),
    "tables": ("CREATE VIEW more AS SELECT 1", "tables that are not"),
    "a trigger": (
        "CREATE TRIGGER mine AFTER INSERT ON session BEGIN DELETE FROM entry; END",
        r"damaged|tables that are not",
    ),
    "no bundle": ("DELETE FROM bundle", "an archive"),
    "without names": ("UPDATE bundle SET with_names = 0", "without names"),
    "newer": (f"PRAGMA user_version = {VERSION + 1}", "newer drydown"),
    "older": (f"PRAGMA user_version = {VERSION - 1}", "as that version made"),
}
# By somebody who makes a list that agrees.
FORGED = {
    "a grade of 9": "UPDATE entry SET kind = 'answer', subject = 'skin/overall', value = '{\"grade\": 9}' "
    "WHERE kind = 'remark'",
    "a width of words": "UPDATE entry SET subject = 'sheet_width_mm' WHERE subject = 'paper'",
    "a mark that is none": "UPDATE entry SET kind = 'readiness', value = '{\"mark\": \"perhaps\"}' "
    "WHERE subject = 'paper'",
    "a photograph of no name": "UPDATE entry SET kind = 'attachment', value = '{\"digest\": {}}' "
    "WHERE kind = 'remark'",
    "a fact of one word": "UPDATE entry SET subject = 'fact/noise' WHERE subject = 'paper'",
    "nested": f"UPDATE entry SET value = '{'[' * 900}{']' * 900}', subject = 'printed_at' "
    "WHERE subject = 'paper'",
    "no time": "UPDATE entry SET at = 'yesterday'",
    "a bomb": f"UPDATE document SET content = x'{BOMB}', size = 10 WHERE kind = 'source'",
    "another digest": f"UPDATE document SET content = x'{zlib.compress(b'other').hex()}', size = 5",
    "nameless": "DELETE FROM birth WHERE sequence = 2",
    "no run": "UPDATE entry SET subject = '99' WHERE kind = 'readings'",
    "a uid that is none": "UPDATE session SET uid = '../../../../../../../../etc/pass'",
    "no session": "UPDATE viewing SET session = 7",
    "no patches": "UPDATE readings SET patches = '[[1]]'",
    "a reading of 1e300": f"UPDATE readings SET lab = x'{HUGE}'",
    "a list for a light": "UPDATE readings SET stated = json_set(stated, '$.illuminant', json('[1]'))",
    "no wavelengths": "UPDATE readings SET wavelengths = x'', spectra = x''",
}


UNSEALED = ("nameless", "no run")  # no list can be made of these, either


@pytest.mark.parametrize("case", some_now(CHANGED, *list(CHANGED)[::4]))
def test_a_bundle_that_was_changed_is_refused_whole(bundle, other, now, summarise, case):
    statement, found = CHANGED[case]
    damaged(bundle, statement)
    refused(bundle, other, now, summarise, found)


@pytest.mark.parametrize("case", some_now(FORGED, *list(FORGED)[::4]))
def test_nor_is_one_taken_whose_digests_agree_with_nonsense(bundle, other, now, summarise, case):
    damaged(bundle, FORGED[case], seal=case not in UNSEALED)
    refused(bundle, other, now, summarise, "Nothing was merged")


def refused(bundle, other, now, summarise, found):
    before = contents(other)
    with pytest.raises(ArchiveProblem, match=found) as trouble:
        merge.merge(other, [bundle], now, summarise)
    assert "\n" not in str(trouble.value) and "sound.bundle" in str(trouble.value)
    assert contents(other) == before
    assert not [each.name for each in other.path.parent.iterdir() if "before-merge" in each.name]


def test_a_sound_bundle_beside_a_damaged_one_brings_nothing(bundle, archive, other, now, summarise, tmp_path):
    make.make(archive, [1], tmp_path / "cut.bundle", now, "0.2.0")
    (tmp_path / "cut.bundle").write_bytes((tmp_path / "cut.bundle").read_bytes()[:-5000])
    before = contents(other)
    with pytest.raises(ArchiveProblem, match=r"cut\.bundle"):
        merge.merge(other, [bundle, tmp_path / "cut.bundle"], now, summarise)
    assert contents(other) == before
    assert not merge.merge(archive, [bundle], now, summarise).anything  # one's own
    assert merge.merge(other, [bundle, bundle], now, summarise).sessions[0].new
    assert health.check(other).sound
    with pytest.raises(ArchiveProblem, match="Expected: a bundle"):
        merge.merge(other, [archive.path], now, summarise)


def test_two_that_disagree_about_one_name_are_refused(bundle, other, now, summarise):
    merge.merge(other, [bundle], now, summarise)
    damaged(bundle, "UPDATE entry SET value = '\"Silk\"' WHERE subject = 'paper'", seal=True)
    refused_again = contents(other)
    with pytest.raises(ArchiveProblem, match="other content under the name"):
        merge.merge(other, [bundle], now, summarise)
    assert contents(other) == refused_again


def test_no_name_is_left_in_a_bundle_without_names(archive, session_id, now, summarise, a_run, tmp_path):
    for name in ("Ottilie Brandtner", "Zoë Márquez"):
        viewing = sessions.start_viewing(archive, session_id, name, "full", ["skin"], now, summarise)
        said = [
            Draft("remark", "skin", f"Seen by {name}, and Ottilie agrees.", viewing.id),
            Draft("fault", "skin/banding", {"where": f"as {name.upper()} says"}, viewing.id),
        ]
        entries.say(archive, session_id, said, now, summarise)
    run = type(a_run)(**{**{f: getattr(a_run, f) for f in a_run.__slots__}, "source_name": "brandtner.txt"})
    (number,) = runs.keep(
        archive, session_id, [run], now, source=("brandtner.txt", b"ORIGINATOR Ottilie Brandtner")
    )
    entries.say(archive, session_id, [Draft("readings", str(number), "in")], now, summarise)
    page = documents.keep(archive, "appendix", "brandtner.md", b"By Ottilie Brandtner")
    entries.say(archive, session_id, [Draft("written", page, {"file": "brandtner.md"})], now, summarise)
    file = tmp_path / "nameless.bundle"
    make.make(archive, [session_id], file, now, "0.2.0", names=False)
    with open_archive(file, read_only=True) as found:
        packed = [content for (content,) in found.rows("SELECT content FROM document")]
        session = sessions.load(found, 1)
        assert health.check(found).sound, health.check(found).troubles
    everything = b"".join([file.read_bytes(), *map(zlib.decompress, packed)]).lower()
    for word in ("ottilie", "brandtner", "zoë", "márquez"):
        escaped = json.dumps(word).strip('"').encode()
        assert word.encode() not in everything and escaped not in everything
    assert [each.observer for each in session.viewings] == ["observer 1", "observer 2"]
    assert session.viewings[0].remarks["skin"] == "Seen by observer 1, and observer 1 agrees."
    assert session.viewings[1].faults[0].where == "as observer 2 says"


def killed(bundle, folder, rounds, seed):
    """Merge and die at a moment of its own; what is there afterwards is all of it or nothing."""
    dice, whole = random.Random(seed), 0
    for number in range(rounds):
        path = folder / f"kill-{number}.db"
        open_archive(path, create=True).close()
        words = [sys.executable, SCRIPT, str(path), str(bundle)]
        with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as run:
            assert run.stdout.readline() == "ready\n"
            time.sleep(dice.uniform(0, 0.4))
            run.kill()
            told = run.stdout.read()
        with open_archive(path) as archive:
            counts = [len(rows) for table, rows in contents(archive).items() if table != "turn"]
            assert counts in ([0] * 9, [1, 1, 3, 1, 5, 2, 0, 1, 1]), counts
            assert counts[0] or not told
            assert health.check(archive).sound
            whole += counts[0]
    return whole


@pytest.mark.long
@pytest.mark.skipif(sys.platform == "win32", reason="there is no kill -9")
def test_a_merge_that_is_killed_leaves_all_or_nothing(bundle, tmp_path):
    killed(bundle, tmp_path, rounds=3, seed=1)


@pytest.mark.long
@pytest.mark.skipif(sys.platform == "win32", reason="there is no kill -9")
def test_two_hundred_killed_merges_leave_all_or_nothing(bundle, tmp_path):
    assert 0 < killed(bundle, tmp_path, rounds=200, seed=200) < 200
