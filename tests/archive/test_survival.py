"""What was shown as saved is there: after kill -9 at any moment, and with two programs at work.

The long run kills a thousand times: `uv run pytest tests/archive/test_survival.py -m long`.
"""

import random
import subprocess
import sys
import time
from contextlib import ExitStack
from pathlib import Path

import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.session import Count

SCRIPT = Path(__file__).with_name("grading_run.py")


def grading(archive, session_id, viewing_id, name, count):
    arguments = [archive.path, session_id, viewing_id, name, count]
    return subprocess.Popen([sys.executable, SCRIPT, *map(str, arguments)], stdout=subprocess.PIPE, text=True)


def killed(archive, session_id, viewing_id, name, after):
    """Grade for `after` seconds, die, and tell how many answers had been acknowledged."""
    with grading(archive, session_id, viewing_id, name, 1_000_000) as run:
        assert run.stdout.readline() == "ready\n"
        time.sleep(after)
        run.kill()
        return sum(line.endswith("\n") for line in run.stdout)


def survives(archive, now, summarise, rounds, seed):
    """Every round dies at a moment of its own; one archive goes through all of them."""
    dice = random.Random(seed)
    (sheet,) = archive.row("SELECT digest FROM document")
    acknowledged = 0
    for number in range(rounds):
        # A session each, so that a round does not grow slower than the one before.
        session_id = sessions.create(archive, sheet_digest=sheet, now=now)
        viewing = sessions.start_viewing(archive, session_id, "1", "full", (), now, summarise)
        archive.close()  # the dying program is the last one at the file, so recovery is tried as well
        saved = killed(archive, session_id, viewing.id, f"round{number}", dice.uniform(0, 0.08))
        archive = open_archive(archive.path)
        answers = sessions.load(archive, session_id).viewings[0].answers
        expected = {(f"round{number}", str(n)): Count(n) for n in range(saved)}
        assert {key: answers[key].value for key in expected} == expected
        assert len(answers) in (saved, saved + 1)  # one more may have been saved and not yet shown
        assert archive.rows("PRAGMA quick_check") == [("ok",)]
        acknowledged += saved
    assert archive.rows("PRAGMA integrity_check") == [("ok",)]
    archive.close()
    return acknowledged


@pytest.mark.skipif(sys.platform == "win32", reason="there is no kill -9")
def test_every_acknowledged_answer_survives_kill_9(archive, sheet_digest, now, summarise):
    assert survives(archive, now, summarise, rounds=4, seed=8) > 4


@pytest.mark.long
@pytest.mark.skipif(sys.platform == "win32", reason="there is no kill -9")
def test_every_acknowledged_answer_survives_a_thousand_kills(archive, sheet_digest, now, summarise):
    assert survives(archive, now, summarise, rounds=1000, seed=1000) > 1000


def test_two_programs_answer_in_one_session(archive, session_id, viewing_id, load):
    with ExitStack() as both:
        runs = [
            both.enter_context(grading(archive, session_id, viewing_id, name, 150))
            for name in ("left", "right")
        ]
        told = [len(run.stdout.readlines()) for run in runs]
    assert [(run.returncode, lines) for run, lines in zip(runs, told, strict=True)] == [(0, 151)] * 2
    answers = load().viewing.answers
    assert set(answers) == {(name, str(number)) for name in ("left", "right") for number in range(150)}
    assert archive.row("SELECT count(*), count(DISTINCT action) FROM entry") == (300, 300)
    assert load().revision == 301
