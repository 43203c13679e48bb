"""Keys in bursts: written at once to a pseudo terminal, none is lost and their order is kept."""

import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Callable, Iterator
from fcntl import ioctl
from pathlib import Path

import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.session import Grade
from evaluation.work import home
from evaluation.work.bench import Bench
from evaluation.work.look import look
from tui.terminal import keys_kept

DRYDOWN = Path(sys.executable).with_name("drydown")
PATIENCE = 30.0  # seconds for a busy machine

pytestmark = pytest.mark.skipif(not DRYDOWN.exists(), reason="needs the installed command")


class Pty:
    """The real command on a pseudo terminal of 80 by 24."""

    def __init__(self, path: Path, folder: Path) -> None:
        (folder / "drydown").mkdir()
        (folder / "drydown" / "drydown.toml").write_text("[look]\nbounce_ms = 0\n", "utf-8")
        environ = {**os.environ, "XDG_CONFIG_HOME": str(folder), "TERM": "xterm-256color"}
        self.pid, self.end = pty.fork()
        if self.pid == 0:
            os.execve(DRYDOWN, [str(DRYDOWN), "--archive", str(path)], environ)
        ioctl(self.end, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.shown = b""

    def write(self, keys: str) -> None:
        os.write(self.end, keys.encode())

    def wait(self, there: Callable[[], bool]) -> bool:
        """Read what the app draws until something holds."""
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            if select.select([self.end], [], [], 0.05)[0]:
                self.shown += os.read(self.end, 65536)
            if there():
                return True
        return False

    def close(self) -> None:
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.end)


@pytest.fixture
def begun(rooms: Path, tmp_path: Path) -> Path:
    """An archive with one session, whose short viewing has begun."""
    path = tmp_path / "burst.db"
    path.write_bytes((rooms / "one.db").read_bytes())
    with open_archive(path) as archive:
        look.start(Bench(archive), 1, kind="quick")
    return path


@pytest.fixture
def terminal(begun: Path, tmp_path: Path) -> Iterator[Pty]:
    opened = Pty(begun, tmp_path)
    assert opened.wait(lambda: b"all keys" in opened.shown), opened.shown[-2000:]
    yield opened
    opened.close()


def grades(path: Path) -> list[int]:
    """The grades as they were given, oldest first."""
    with open_archive(path, read_only=True) as archive:
        viewing = sessions.load(archive, 1).viewing
    assert viewing is not None
    answers = sorted(viewing.answers.values(), key=lambda answer: answer.at)
    return [answer.value.value for answer in answers if isinstance(answer.value, Grade)]


@pytest.mark.long
def test_grades_typed_ahead_before_there_is_a_page(begun: Path, tmp_path: Path) -> None:
    """Enter opens Look; 0 says no faults, a digit grades, the next region follows: 19 keys in one write,
    while the terminal is still the shell's, which makes a new line of Enter.
    """
    wanted = [4, 3, 5, 2, 4, 3, 5, 2, 4]
    terminal = Pty(begun, tmp_path)
    terminal.write("\r" + "".join(f"0{grade}" for grade in wanted))
    assert terminal.wait(lambda: len(grades(begun)) >= len(wanted))
    terminal.close()
    assert grades(begun) == wanted


@pytest.mark.long
def test_letters_typed_ahead_for_a_line_that_is_being_opened(terminal: Pty, begun: Path) -> None:
    """r opens a line; letters are text in it and the digits behind its Enter are answers again."""
    terminal.write("\rrsoft 123 in the corner\r0403")
    assert terminal.wait(lambda: len(grades(begun)) == 2)
    assert grades(begun) == [4, 3]
    with open_archive(begun, read_only=True) as archive:
        viewing = sessions.load(archive, 1).viewing
    assert viewing is not None and list(viewing.remarks.values()) == ["soft 123 in the corner"]


def test_the_terminal_keeps_keys_while_the_app_is_being_loaded(monkeypatch: pytest.MonkeyPatch) -> None:
    """Enter stays Enter, Ctrl+Q is not taken for flow control; afterwards the terminal is as it was."""
    near, far = pty.openpty()
    with os.fdopen(far) as stdin:
        monkeypatch.setattr(sys, "stdin", stdin)
        before = termios.tcgetattr(far)
        with keys_kept():
            os.write(near, b"a\r\x11")
            assert select.select([far], [], [], PATIENCE)[0]
            assert os.read(far, 9) == b"a\r\x11"
        assert termios.tcgetattr(far) == before
    os.close(near)


@pytest.mark.long
def test_pages_opened_one_after_the_other(terminal: Pty, begun: Path) -> None:
    """g and a digit, a grade, away, back, the next grade."""
    terminal.write("g304g5g1g303ghg304")
    assert terminal.wait(lambda: len(grades(begun)) == 3)
    assert grades(begun) == [4, 3, 4]


@pytest.mark.long
def test_an_action_by_its_name(terminal: Pty, begun: Path) -> None:
    """The list of actions is asked by letters, and Enter waits for what they find."""

    def there() -> bool:
        with open_archive(begun, read_only=True) as archive:
            return home.count(Bench(archive)) == 0

    terminal.write(":remove\r")
    assert terminal.wait(there)
