"""The real command in a real terminal: a whole session, resized, killed in the middle, reopened, finished."""

import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.session import Grade

ROOT = Path(__file__).parents[2]
DRYDOWN = Path(sys.executable).with_name("drydown")
PATIENCE = 20.0  # seconds for a text to appear on a machine that is busy

pytestmark = pytest.mark.skipif(
    shutil.which("tmux") is None or not DRYDOWN.exists(), reason="needs tmux and the installed command"
)


class Terminal:
    """One pane of a tmux server of our own."""

    def __init__(self, socket: str, folder: Path) -> None:
        self.socket, self.folder = socket, folder

    def tmux(self, *words: str) -> str:
        ran = subprocess.run(["tmux", "-L", self.socket, *words], capture_output=True, text=True, timeout=30)
        return ran.stdout

    def open(self, command: str, width: int = 80, height: int = 24) -> None:
        self.socket += "i"  # a server that is just ending would refuse the next pane
        environ = "env -u NO_COLOR COLUMNS=80 LINES=24 TERM=xterm-256color COLORTERM=truecolor TZ=UTC"
        script = f"{environ} {command}; echo EXIT $?; sleep 60"
        size = ("-x", str(width), "-y", str(height))
        self.tmux(
            "-f", "/dev/null", "new-session", "-d", "-s", "booth", *size, "-c", str(self.folder), script
        )
        self.tmux("set-option", "-g", "status", "off")

    def press(self, *keys: str) -> None:
        for key in keys:
            self.tmux("send-keys", "-t", "booth", key)
            time.sleep(0.03)

    def type(self, text: str) -> None:
        self.tmux("send-keys", "-t", "booth", "-l", text)

    @property
    def text(self) -> str:
        return self.tmux("capture-pane", "-t", "booth", "-p")

    def wait(self, wanted: str) -> str:
        """The screen once it shows a text. Fails with the screen as it is when it never does."""
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            if wanted in (shown := self.text):
                return shown
            time.sleep(0.05)
        raise AssertionError(f"“{wanted}” did not appear:\n{self.text}")

    def kill(self) -> None:
        """kill -9 for the app itself, by its number."""
        pane = int(self.tmux("display-message", "-t", "booth", "-p", "#{pane_pid}"))
        children = Path(f"/proc/{pane}/task/{pane}/children").read_text("utf-8").split()
        os.kill(int(children[0]), signal.SIGKILL)

    def close(self) -> None:
        self.tmux("kill-server")


@pytest.fixture
def terminal(tmp_path: Path) -> Iterator[Terminal]:
    opened = Terminal(f"drydown-test-{os.getpid()}-{tmp_path.name[-12:]}", tmp_path)
    yield opened
    opened.close()


@pytest.mark.long
def test_a_whole_session_survives_resize_and_kill(terminal: Terminal, tmp_path: Path) -> None:
    path = tmp_path / "room.db"
    (tmp_path / "drydown").mkdir()
    (tmp_path / "drydown" / "drydown.toml").write_text("[look]\nbounce_ms = 0\n", "utf-8")
    command = f"XDG_CONFIG_HOME={tmp_path} {DRYDOWN} --archive {path}"
    terminal.open(command)
    terminal.wait("No session yet.")
    terminal.press("n")
    terminal.wait("1 Describe")
    for keys, value in ((("Home", "Enter"), "Merrowby 24"), (("Down", "Enter"), "Sallowfell Lustre 247")):
        terminal.press(*keys)
        terminal.type(value)
        terminal.press("Enter")
        terminal.wait(f": {value}.")
    terminal.press("Down", "Down", "Down", "Down", "Enter")
    terminal.type("through the profile")
    terminal.press("Enter")
    terminal.wait("Driver mode: through the profile.")
    terminal.press("Down", "Down", "Down", "1")
    terminal.wait("Made for: general.")
    terminal.press("Down", "Down", "Enter")
    terminal.type("yesterday 1310")
    terminal.press("Enter")
    terminal.wait("Printed at:")
    terminal.press("g", "g")
    terminal.wait("machine settled after moving")
    terminal.press(*"11311111111")
    terminal.wait("Colour vision known: done.")
    terminal.press("g", "g")
    terminal.wait("1 short viewing")
    terminal.press("1")
    terminal.wait("question 1 of 2, 12 more regions")

    terminal.tmux("resize-window", "-t", "booth", "-x", "120", "-y", "36")
    terminal.wait("The viewing")
    terminal.tmux("resize-window", "-t", "booth", "-x", "60", "-y", "20")
    terminal.wait("drydown needs 80 columns")
    terminal.tmux("resize-window", "-t", "booth", "-x", "80", "-y", "24")
    terminal.wait("question 1 of 2, 12 more regions")

    terminal.press("0", "4", "0", "3")
    terminal.wait("Ring-around, as a whole: 3.")
    terminal.kill()
    terminal.wait("EXIT 137")
    with open_archive(path) as archive:
        kept = sessions.load(archive, 1).viewing
        assert kept is not None
        assert kept.answers["ring", "overall"].value == Grade(3), "what was shown as saved is there"
    terminal.close()

    terminal.open(command)
    terminal.wait("Session 1, Sallowfell Lustre 247")
    terminal.press("Enter")
    terminal.wait("question 1 of 2, 10 more regions")
    for _ in range(11):
        terminal.press("0", "4")
    terminal.wait("Look is finished.")
    terminal.press("g", "5")
    terminal.wait("eye only")
    terminal.press("g", "6")
    terminal.wait("How it will begin")
    terminal.press("End", "Enter")
    terminal.press("C-u")
    terminal.type(str(tmp_path / "lustre.md"))
    terminal.press("Enter", "o")
    terminal.wait("Written")
    terminal.press("C-q")
    terminal.wait("EXIT 0")
    assert "Sallowfell Lustre 247" in (tmp_path / "lustre.md").read_text("utf-8")


def test_a_dumb_terminal_is_told_and_the_exit_code_is_2(terminal: Terminal, tmp_path: Path) -> None:
    terminal.open(f"TERM=dumb {DRYDOWN} --archive {tmp_path / 'room.db'}")
    shown = terminal.wait("EXIT 2")
    assert "TERM=dumb" in shown


@pytest.mark.long
def test_a_folder_to_watch_that_is_not_there_is_told(terminal: Terminal, tmp_path: Path) -> None:
    terminal.open(f"{DRYDOWN} --archive {tmp_path / 'room.db'} --watch {tmp_path / 'gone'}")
    shown = terminal.wait("EXIT 2")
    assert "Expected:afolder.Found:nothingofthatname." in "".join(shown.split())  # lines break in words
    assert not (tmp_path / "room.db").exists()


def test_mouse_reporting_stays_off_when_it_is_not_wanted(terminal: Terminal, tmp_path: Path) -> None:
    terminal.open(
        f"XDG_CONFIG_HOME={tmp_path} {DRYDOWN} --archive {tmp_path / 'room.db'} --no-mouse --no-animation"
    )
    terminal.wait("No session yet.")
    assert terminal.tmux("display-message", "-t", "booth", "-p", "#{mouse_any_flag}").strip() == "0"
    terminal.press("q")
    terminal.wait("EXIT 0")
