"""Two programs on one archive, the app with its workers and commands beside it, killed at any moment.

All that either of them told as saved is there, and the archive is sound. The long run kills a thousand times:
`uv run pytest tests/archive/test_two_programs.py -m long`.
"""

import random
import subprocess
import sys
import threading
import time
from contextlib import ExitStack
from pathlib import Path

import pytest

from evaluation.archive import health, sessions
from evaluation.archive.connection import open_archive
from evaluation.session import Count, PrintingCondition, Summary
from evaluation.work.bench import Bench
from evaluation.work.describe import begin

HERE = Path(__file__).parent
EVENING = 25  # kills of one archive: it grows with each
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no kill -9")


class Program:
    """One that runs until it is killed. `told` grows by each line it prints."""

    def __init__(self, script, *arguments):
        self.told = []
        words = [sys.executable, str(HERE / script), *map(str, arguments)]
        self._process = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self):
        for line in self._process.stdout:
            if line.endswith("\n"):  # a line cut off by the kill was told to nobody
                self.told.append(line.strip())

    def wait_until_ready(self):
        while not self.told and self._process.poll() is None:
            time.sleep(0.01)

    def kill(self):
        """`told` is what it had told by then."""
        assert self._process.poll() is None, self._process.stderr.read()
        self.end()
        del self.told[:1]  # that it was ready

    def end(self):
        """Nothing of it is left, also where a test fails half way."""
        self._process.kill()
        self._process.wait()
        self._reader.join()
        self._process.stdout.close()
        self._process.stderr.close()


class App(Program):
    def __init__(self, path):
        with open_archive(path) as archive:
            sheet = archive.row("SELECT sheet FROM session")[0]
            now = Bench(archive).now()
            self.session = sessions.create(archive, sheet_digest=sheet, now=now)
            viewing = sessions.start_viewing(
                archive, self.session, "1", "full", (), now, lambda session: Summary()
            )
        super().__init__("app_run.py", path, self.session, viewing.id)

    def check(self, path):
        saved = len(self.told)
        with open_archive(path) as archive:
            answers = sessions.load(archive, self.session).viewings[0].answers
        expected = {("neutral", str(number)): Count(number) for number in range(saved)}
        assert {key: answers[key].value for key in expected} == expected
        assert len(answers) in (saved, saved + 1)  # one more may have been saved and not yet told
        return saved


class Commands(Program):
    def __init__(self, path):
        super().__init__("commands_run.py", path, path.parent)

    def check(self, path):
        told = [line.split() for line in self.told]
        with open_archive(path) as archive:
            for number in (int(words[1]) for words in told if words[0] == "new"):
                assert sessions.load(archive, number).condition.paper == "Rag"
        for copy in (Path(words[1]) for words in told if words[0] == "backup"):
            with open_archive(copy) as archive:
                assert archive.rows("PRAGMA integrity_check") == [("ok",)]
            copy.unlink()
        return len(told)


def evening(path, kills, dice):
    """One archive, killed at so often; how much was told as saved, and checked to be there."""
    path.parent.mkdir()
    with open_archive(path, create=True) as archive:
        begin.begin(Bench(archive), PrintingCondition(paper="Rag"), {})
    with ExitStack() as begun:

        def start(kind):
            program = kind(path)
            begun.callback(program.end)
            return program

        running = {kind: start(kind) for kind in (App, Commands)}
        saved = 0
        for _ in range(kills):
            if dice.random() < 0.8:  # else one may be killed while it is still beginning
                for program in running.values():
                    program.wait_until_ready()
            time.sleep(dice.uniform(0, 0.2))
            victims = dice.choice(((App,), (App,), (Commands,), (App, Commands), (Commands, App)))
            saved += killed([running[kind] for kind in victims], path)
            running.update((kind, start(kind)) for kind in victims)
        saved += killed(running.values(), path)
    with open_archive(path) as archive:
        assert health.check(archive).troubles == ()
    return saved


def killed(programs, path):
    """Kill these programs, then look whether all they told is there; how much that was."""
    for program in programs:
        program.kill()
    saved = sum(program.check(path) for program in programs)
    with open_archive(path) as archive:
        assert archive.rows("PRAGMA quick_check") == [("ok",)]
    return saved


def survives(folder, kills, seed):
    dice = random.Random(seed)
    saved = 0
    for number, left in enumerate(range(kills, 0, -EVENING)):
        saved += evening(folder / str(number) / "prints.db", min(left, EVENING), dice)
    return saved


@pytest.mark.long
def test_what_two_programs_saved_survives_kill_9_of_either(tmp_path):
    assert survives(tmp_path, 12, seed=12) > 12


@pytest.mark.long
def test_what_two_programs_saved_survives_a_thousand_kills_of_either(tmp_path):
    saved = survives(tmp_path, 1000, seed=1000)
    print(f"1,000 kills; {saved} answers and commands told as done, all of them there")
    assert saved > 1000
