"""A bit that flipped on the disk is told in a sentence, and named by `check`; nothing else is raised.

The long run flips five thousand bits: `uv run pytest tests/archive/test_flipped_bits.py -m long`.
"""

import random
import sqlite3
from contextlib import closing

import pytest

from evaluation.archive import charts, documents, entries, habits, health, runs, session_list, sessions
from evaluation.archive.connection import open_archive
from evaluation.entry import Draft, encoded
from evaluation.errors import DrydownError
from evaluation.session import Grade


@pytest.fixture
def sound(archive, session_id, viewing_id, say, undo, now, a_run):
    """The bytes of an archive that holds something of everything."""
    say(Draft("condition", "paper", "Rag 310"), Draft("readiness", "dry", {"mark": "done", "detail": {}}))
    say(Draft("answer", "skin/overall", encoded(Grade(4)), viewing_id))
    say(Draft("fault", "skin/too red", {"where": "the sphere"}, viewing_id))
    (number,) = runs.keep(archive, session_id, [a_run], now, source=("strip.txt", b"SAMPLE_ID\n" * 300))
    say(Draft("readings", str(number), "in"))
    digest = documents.keep(archive, "picture", "fault.jpg", random.Random(1).randbytes(9000))
    say(Draft("attachment", "skin/", {"digest": digest, "caption": "a band"}))
    say(Draft("remark", "look", "calm"))
    undo()
    habits.remember(archive, "folder", "/prints")
    archive.close()
    return archive.path.read_bytes()


def looked_through(path, now, summarise):
    """Every verb that reads, and one that writes; the troubles that `check` names."""
    with open_archive(path) as archive:
        found = health.check(archive)
        told = [
            lambda: session_list.heads(archive),
            lambda: sessions.load(archive, 1),
            lambda: entries.history(archive, 1),
            lambda: runs.of_session(archive, 1),
            lambda: charts.heads(archive),
            lambda: habits.recall(archive, "folder"),
            lambda: entries.said_before(archive, "condition", "paper", 5),
            lambda: entries.say(archive, 1, [Draft("remark", "look", "still calm")], now, summarise),
            lambda: entries.undo(archive, 1, 1, now, summarise),
        ]
        told += [
            lambda digest=digest: documents.fetch(archive, digest)
            for (digest,) in archive.rows("SELECT digest FROM document")
        ]
        for act in told:
            try:
                act()
            except DrydownError as problem:
                assert "\n" not in problem.sentence
    return found.troubles


def survives(path, content, at, bit, now, summarise):
    damaged = bytearray(content)
    damaged[at] ^= 1 << bit
    for beside in path.parent.iterdir():
        beside.unlink()
    path.write_bytes(damaged)
    try:
        return looked_through(path, now, summarise)
    except DrydownError as problem:
        assert "\n" not in problem.sentence
        return (problem.sentence,)


def test_any_flipped_bit_ends_in_a_sentence(tmp_path, sound, now, summarise):
    dice = random.Random(13)
    path = tmp_path / "prints.db"
    for _ in range(20):
        survives(path, sound, dice.randrange(len(sound)), dice.randrange(8), now, summarise)


def test_undo_of_damage_ends_in_a_sentence(tmp_path, sound, now, summarise):
    path = tmp_path / "prints.db"
    path.write_bytes(sound.replace(b'"caption":"a band"', b'"caption"z"a band"'))
    assert any("damaged" in trouble for trouble in looked_through(path, now, summarise))
    with open_archive(path) as archive, pytest.raises(DrydownError, match="damaged"):
        entries.undo(archive, 1, None, now, summarise)


def test_nothing_is_saved_under_an_origin_that_is_none(tmp_path, sound, now, summarise):
    path = tmp_path / "prints.db"
    path.write_bytes(sound)
    with closing(sqlite3.connect(path)) as direct, direct:
        direct.execute("PRAGMA ignore_check_constraints = ON")
        direct.execute("UPDATE origin SET origin = 'R' || substr(origin, 2)")
    assert any("CHECK constraint" in trouble for trouble in looked_through(path, now, summarise))
    with open_archive(path) as archive, pytest.raises(DrydownError, match="damaged"):
        entries.say(archive, 1, [Draft("remark", "look", "still calm")], now, summarise)


@pytest.mark.long
def test_any_of_five_thousand_flipped_bits_ends_in_a_sentence(tmp_path, sound, now, summarise):
    dice = random.Random(5000)
    path = tmp_path / "prints.db"
    raised = []
    for _ in range(5000):
        at, bit = dice.randrange(len(sound)), dice.randrange(8)
        try:
            survives(path, sound, at, bit, now, summarise)
        except Exception as error:
            raised.append(f"byte {at}, bit {bit}: {error!r}")
    assert not raised, "\n".join(raised)


@pytest.mark.parametrize("kind", ["source", "picture", "sheet"])
def test_a_flipped_bit_of_a_document_is_found_and_the_document_named(tmp_path, sound, now, summarise, kind):
    path = tmp_path / "prints.db"
    with open_archive(path) as archive:
        ((digest, packed),) = archive.rows("SELECT digest, content FROM document WHERE kind = ?", (kind,))
    chunk = packed[-200:]
    start = sound.index(chunk)
    for at in (start, start + len(chunk) // 2, start + len(chunk) - 1):
        troubles = survives(path, sound, at, 0, now, summarise)
        assert any(digest[:12] in trouble and trouble.endswith("is damaged.") for trouble in troubles)
