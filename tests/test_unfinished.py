"""What a killed run left beside its output is cleared up later: one's own, when old, and nothing else."""

import os
import subprocess
import sys
import time
from importlib.resources import files
from pathlib import Path

import pytest

from evaluation import unfinished
from evaluation.archive import backup
from evaluation.archive.connection import open_archive
from evaluation.work import onto_disk
from tests.cases import some_now
from tui.cli import main

TWO_DAYS = 2 * 24 * 3600


def left(path: Path, *, ago: float = TWO_DAYS) -> Path:
    if not path.exists():
        path.write_text("half")
    os.utime(path, (time.time() - ago,) * 2)
    return path


def test_only_what_is_ours_and_old_is_cleared(tmp_path: Path) -> None:
    folder = tmp_path / ".drydown-00112233445566ff"
    folder.mkdir()
    (folder / "sheet.tif").write_text("half")
    old = [
        left(unfinished.beside(tmp_path / "prints.db")),
        left(tmp_path / ".drydown-0123456789abcdef-journal"),
        left(folder),
    ]
    kept = [
        left(unfinished.beside(tmp_path / "prints.db"), ago=3600),  # another run may be at it
        left(tmp_path / ".drydown-notes"),
        left(tmp_path / "drydown-0123456789abcdef"),
        left(tmp_path / ".drydown-0123456789abcdef.txt"),
        left(tmp_path / "prints.db"),
    ]
    link = tmp_path / ".drydown-aaaaaaaaaaaaaaaa"
    link.symlink_to(tmp_path / "prints.db")
    unfinished.clear(tmp_path)
    assert not any(path.exists() for path in old)
    assert all(path.exists() for path in (*kept, link))


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="needs the owners of POSIX")
def test_what_is_somebody_elses_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    theirs = left(unfinished.beside(tmp_path / "prints.db"))
    monkeypatch.setattr(os, "getuid", lambda: 12345)
    unfinished.clear(tmp_path)
    assert theirs.exists()


def test_a_folder_that_is_not_there_is_no_trouble(tmp_path: Path) -> None:
    unfinished.clear(tmp_path / "nowhere")


KILLED = {
    "an archive that is made": (
        "from evaluation.archive.connection import open_archive; open_archive({0} / 'new.db', create=True)",
        "evaluation.archive.schema.move_to_free_place",
    ),
    "a backup": (
        "from evaluation.archive import backup; from evaluation.archive.connection import open_archive\n"
        "backup.backup(open_archive({0} / 'prints.db'), {0} / 'copy.db')",
        "evaluation.archive.schema.move_to_free_place",
    ),
    "a file that is written": (
        "from evaluation.work import onto_disk; onto_disk.put({0} / 'page.html', b'page', 'x')",
        "os.fsync",
    ),
    "a sheet that is drawn": (
        "from evaluation.sheet import request, write\n"
        "write.write_sheet(request.SheetRequest(size_mm=(210, 297), scenes=False), {0} / 'sheet.tif')",
        "evaluation.sheet.write.write_tiff",
    ),
}


@pytest.mark.skipif(sys.platform == "win32", reason="there is no kill -9")
@pytest.mark.parametrize("what", some_now(KILLED, "a file that is written"))
def test_a_killed_run_leaves_only_what_a_later_one_clears_up(tmp_path: Path, what: str) -> None:
    with open_archive(tmp_path / "prints.db", create=True):
        pass
    before = set(tmp_path.iterdir())
    act, deadly = KILLED[what]
    module, name = deadly.rsplit(".", 1)
    script = "\n".join(
        (
            f"import os, {module}",
            "from pathlib import Path",
            f"{module}.{name} = lambda *given, **more: os.kill(os.getpid(), 9)",
            act.format(f"Path({str(tmp_path)!r})"),
        )
    )
    done = subprocess.run([sys.executable, "-c", script], check=False, cwd=files("evaluation").joinpath(".."))
    assert done.returncode == -9
    found = [path for path in tmp_path.iterdir() if path not in before and "-wal" not in path.name]
    found = [path for path in found if "-shm" not in path.name]
    assert found
    for path in found:
        left(path)
    unfinished.clear(tmp_path)
    assert not any(path.exists() for path in found)


@pytest.mark.parametrize("way", ["a command starts", "a file is written", "a backup is made"])
def test_the_next_start_clears_up(tmp_path: Path, way: str, capsys: pytest.CaptureFixture[str]) -> None:
    with open_archive(tmp_path / "prints.db", create=True) as archive:
        litter = left(unfinished.beside(tmp_path / "prints.db"))
        if way == "a command starts":
            assert main(["list", "--archive", str(tmp_path / "prints.db")]) == 0
        elif way == "a file is written":
            onto_disk.put(tmp_path / "page.html", b"page", "It was not written.")
        else:
            backup.backup(archive, tmp_path / "copy.db")
    assert not litter.exists()
