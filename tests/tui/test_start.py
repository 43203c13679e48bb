"""The way to the first frame: what is loaded, and terminals that cannot show it."""

import subprocess
import sys
from pathlib import Path

import pytest

from evaluation.errors import UsageProblem
from tui.terminal import refuse_dumb

HEAVY = ("numpy", "sqlite_utils", "colour", "scipy", "PIL", "pyvips", "matplotlib", "typst", "click")

RUN = "import sys; from tui.cli import main; sys.exit(main(sys.argv[1:]))"
FIRST_FRAME = """
import asyncio, sys
from pathlib import Path
from evaluation.archive.connection import open_archive
from evaluation.work.bench import Bench
from tui.app import DrydownApp

async def look(path):
    with open_archive(path) as archive:
        app = DrydownApp(Bench(archive), environ={"TERM": "xterm-256color"})
        app._fetch_heavy = lambda: None
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            assert "Lustre" in app.export_screenshot()
            print(*sorted(set(sys.modules) & set(sys.argv[2].split(","))))

asyncio.run(look(Path(sys.argv[1])))
"""


def test_nothing_heavy_is_loaded_before_the_first_frame_of_home(rooms: Path) -> None:
    ran = subprocess.run(
        [sys.executable, "-c", FIRST_FRAME, str(rooms / "one.db"), ",".join(HEAVY)],
        capture_output=True,
        text=True,
        timeout=60,
        cwd=Path(__file__).parents[2],
    )
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.split() == []


@pytest.mark.long
def test_the_check_itself_sees_a_heavy_module(rooms: Path) -> None:
    ran = subprocess.run(
        [sys.executable, "-c", "import numpy\n" + FIRST_FRAME, str(rooms / "one.db"), ",".join(HEAVY)],
        capture_output=True,
        text=True,
        timeout=60,
        cwd=Path(__file__).parents[2],
    )
    assert ran.stdout.split() == ["numpy"]


@pytest.mark.parametrize(
    ("environ", "terminal", "told"),
    [
        ({"TERM": "xterm-256color"}, False, "this is no terminal"),
        ({"TERM": "dumb"}, True, "TERM=dumb"),
    ],
)
def test_without_a_terminal_the_app_says_so_and_exits_2(
    environ: dict[str, str], terminal: bool, told: str
) -> None:
    with pytest.raises(UsageProblem) as problem:
        refuse_dumb(environ, terminal=terminal)
    assert told in problem.value.sentence and "drydown --help" in problem.value.sentence
    assert problem.value.exit_code == 2


def test_the_command_without_a_terminal_writes_one_sentence_and_no_escape_codes(tmp_path: Path) -> None:
    ran = subprocess.run(
        [sys.executable, "-c", RUN, "--archive", str(tmp_path / "new.db")],
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        timeout=60,
        cwd=Path(__file__).parents[2],
    )
    assert ran.returncode == 2
    assert ran.stdout == "" and "\x1b" not in ran.stderr
    assert len(ran.stderr.strip().splitlines()) == 1
    assert not (tmp_path / "new.db").exists()
