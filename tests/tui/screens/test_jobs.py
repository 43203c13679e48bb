"""What a screen says when slow work stops on an unexpected fault."""

import errno
from pathlib import Path

import pytest

from tui import last_resort
from tui.screens.base.jobs import unforeseen


def test_what_nobody_foresaw_is_told_in_words_with_what_to_pass_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(last_resort, "_usual", lambda: tmp_path / "drydown.log")
    assert str(unforeseen("weighing", ValueError("shapes differ"))) == (
        "“weighing” stopped on an unexpected fault; what was saved before stays. "
        f"The details are in {tmp_path / 'drydown.log'}; send them to the maintainers."
    )
    assert "ValueError: shapes differ" in (tmp_path / "drydown.log").read_text("utf-8")


def test_a_refusal_of_the_system_is_told_in_our_words() -> None:
    told = str(unforeseen("reading", PermissionError(errno.EACCES, "Permission denied", "/x/strip.txt")))
    assert told.startswith("/x/strip.txt. Found: no right to read it. “reading” did not finish")
    assert "Permission" not in told
