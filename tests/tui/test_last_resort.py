"""An unexpected fault: one sentence, exit 1, the details in a log that is named, and nothing lost."""

import os
import subprocess
import sys
import warnings
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from textual.events import Key

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.session import Session
from evaluation.work.bench import Bench
from evaluation.work.describe import begin
from tui import last_resort
from tui.cli import main
from tui.screens.home.page import Home

BROKEN = """
import sys, tui.cli
import tui.commands.list as command
def run(args, out):
    import warnings, logging
    warnings.warn("a library's own worry")
    logging.getLogger("some.library").warning("another worry")
    raise ZeroDivisionError("a tap left running")
command.run = run
sys.exit(tui.cli.main())
"""


@pytest.fixture
def log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the log lies during a test."""
    monkeypatch.setattr(last_resort, "_usual", lambda: tmp_path / "drydown.log")
    return tmp_path / "drydown.log"


@pytest.fixture
def leaking(monkeypatch: pytest.MonkeyPatch) -> None:
    """A command that stops on an unexpected fault."""

    def run(args: Any, out: Any) -> int:
        raise ZeroDivisionError("a tap left running")

    monkeypatch.setattr("tui.commands.settings.run", run)


def test_a_command_tells_one_sentence_and_names_the_log(
    leaking: None, log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["settings"]) == 1
    said = capsys.readouterr()
    assert said.out == "" and said.err == (
        "drydown stopped on an unexpected fault; what was saved before stays. "
        f"The details are in {log}; send them to the maintainers.\n"
    )
    kept = log.read_text("utf-8")
    assert "drydown 'settings'" in kept and "ZeroDivisionError: a tap left running" in kept
    assert "test_last_resort.py" in kept, "where it happened"


def test_with_json_it_is_a_problem_like_any_other(
    leaking: None, log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["settings", "--json"]) == 1
    assert '"problem"' in capsys.readouterr().out


def test_where_no_log_can_be_written_the_sentence_says_so(
    leaking: None, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def nowhere() -> Path:
        raise PermissionError

    monkeypatch.setattr(last_resort, "_usual", nowhere)
    monkeypatch.setattr(last_resort, "_in_its_place", nowhere)
    assert main(["settings"]) == 1
    assert "No log could be written; tell the people who make drydown that it was a ZeroDivisionError." in (
        capsys.readouterr().err
    )


def test_too_little_memory_needs_no_log(
    log: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def run(args: Any, out: Any) -> int:
        raise MemoryError

    monkeypatch.setattr("tui.commands.settings.run", run)
    assert main(["settings"]) == 1
    assert capsys.readouterr().err.startswith("Found: too little memory. ") and not log.exists()


def test_the_log_begins_anew_when_it_has_grown(log: Path) -> None:
    log.write_bytes(b"x" * (2 << 20))
    last_resort.kept("one more")
    assert "one more" in log.read_text("utf-8") and log.stat().st_size < 1000
    last_resort.kept("and another \udcff")
    assert "one more" in log.read_text("utf-8") and "and another \\udcff" in log.read_text("utf-8")


def test_a_process_of_our_own_leaves_nothing_else_on_the_terminal(tmp_path: Path) -> None:
    environ = os.environ | {"XDG_STATE_HOME": str(tmp_path), "HOME": str(tmp_path)}
    ran = subprocess.run(
        [sys.executable, "-c", BROKEN, "list"], capture_output=True, text=True, env=environ, timeout=60
    )
    assert (ran.returncode, ran.stdout) == (1, "")
    assert ran.stderr.startswith("drydown stopped on an unexpected fault") and ran.stderr.count("\n") == 1
    log = Path(ran.stderr.split("The details are in ")[1].split(";")[0])
    kept = log.read_text("utf-8")
    assert all(told in kept for told in ("a library's own worry", "another worry", "a tap left running"))


async def test_the_app_ends_without_a_traceback_and_hands_it_on(
    booth: Callable[..., Any], archive: Any, session: Session, bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    def leaks(self: Home, event: Key) -> bool:
        raise ZeroDivisionError("a tap left running")

    monkeypatch.setattr(Home, "move", leaks)
    begin.say_condition(bench, session.id, "quality", "4 of 5")
    with pytest.raises(ZeroDivisionError):
        async with booth() as pilot:
            app = pilot.app
            await pilot.press("down")
    assert isinstance(app.unforeseen, ZeroDivisionError) and app.return_code == 1
    assert not app._exit_renderables, "textual's own report would fill the terminal"
    with open_archive(archive.path) as again:
        assert sessions.load(again, session.id).condition.quality == "4 of 5"


def test_the_app_in_a_terminal_leaves_one_sentence(
    tmp_path: Path, log: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The way from the app to the command line, with the part that needs a terminal left out."""
    from tui import app

    monkeypatch.setattr(app, "refuse_dumb", lambda *_, **__: None)
    monkeypatch.setattr(app.DrydownApp, "unforeseen", ZeroDivisionError("a tap left running"))
    monkeypatch.setattr(app.DrydownApp, "run", lambda self, **_: None)
    assert main(["--archive", str(tmp_path / "room.db")]) == 1
    said = capsys.readouterr().err
    assert said.startswith("drydown stopped on an unexpected fault") and said.count("\n") == 1
    assert "a tap left running" in log.read_text("utf-8")


def test_warnings_stay_errors_in_tests() -> None:
    """`main` with words of its own changes nothing about how this process hears of warnings."""
    with pytest.raises(UserWarning):
        warnings.warn("heard", stacklevel=1)
