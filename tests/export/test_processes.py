"""Archives exported by several processes at once: the same files, and Ctrl+C at any time."""

import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from evaluation.entry import Draft
from evaluation.work import log
from evaluation.work.export.export import export_all
from tests.export.tabled import changed, rows, standing


@pytest.mark.long
def test_archives_in_processes_of_their_own(finished: Path, tmp_path: Path) -> None:
    shutil.copy(finished, tmp_path / "b.db")
    changed(tmp_path / "b.db", lambda bench: log.say(bench, 1, [Draft("remark", "paper", "went on")]))
    shutil.copy(finished, tmp_path / "copy.db")
    given = [finished, tmp_path / "b.db", tmp_path / "copy.db", tmp_path / "none.db"]
    apart = export_all(given, tmp_path / "apart", processes=2)
    alone = export_all(given, tmp_path / "alone", processes=1)
    assert apart == alone and [one.problem is None for one in apart] == [True, True, False, False]
    there, here = standing(tmp_path / "apart"), standing(tmp_path / "alone")
    assert {name: content for name, (_, content) in there.items()} == {
        name: content for name, (_, content) in here.items()
    }


@pytest.mark.long
@pytest.mark.skipif(os.name == "nt", reason="Windows has no groups of processes to send Ctrl+C to")
@pytest.mark.parametrize("seconds", [0.0, 0.3, 0.7])
def test_ctrl_c_is_one_sentence_and_leaves_nothing_half_done(
    finished: Path, tmp_path: Path, seconds: float
) -> None:
    given = [finished]
    for name in ("b.db", "c.db"):
        given.append(Path(shutil.copy(finished, tmp_path / name)))
        changed(given[-1], lambda bench: log.say(bench, 1, [Draft("remark", "paper", "went on")]))
    folder = tmp_path / "tables"
    starts = "import sys; from tui.cli import main; sys.exit(main())"
    words = [sys.executable, "-c", starts, "export", folder, *given, "--as", "csv", "--processes", "2"]
    pipe = subprocess.PIPE
    running = subprocess.Popen(words, stdout=pipe, stderr=pipe, text=True, start_new_session=True)
    while not folder.exists():
        time.sleep(0.02)
    time.sleep(seconds)
    os.killpg(running.pid, signal.SIGINT)
    out, err = running.communicate()
    assert (running.returncode, out, err) == (130, "", "Stopped. Nothing was left half done.\n")
    assert not list(folder.rglob(".drydown-*"))
    assert all(one.problem is None for one in export_all(given, folder, ["csv"], processes=1))
    assert len(rows(folder, "sessions")) == 18
