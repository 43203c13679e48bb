"""The command line as a test uses it: one archive a test, and what a command printed."""

import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from evaluation.archive.connection import open_archive
from evaluation.documents.schema import schema
from evaluation.session import PrintingCondition
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe.begin import begin
from evaluation.work.paper import viewing
from tests.conftest import quick_form
from tui.cli import main


@dataclass(frozen=True)
class Ran:
    """One command that ended: its exit code and what it printed."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


Drydown = Callable[..., Ran]

STRICT = {2: "refused", 3: "refused", 4: "with remarks", 5: "accepted"}


@pytest.fixture
def drydown(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Drydown:
    """Run `drydown` with these words on an archive of the test's own, without the user's settings."""
    monkeypatch.setenv("DRYDOWN_ARCHIVE", str(tmp_path / "archive.db"))
    monkeypatch.setenv("DRYDOWN_SETTINGS", str(tmp_path / "no-weighing.toml"))

    def run(*words: object) -> Ran:
        capsys.readouterr()
        try:
            code = main([str(word) for word in words])
        except SystemExit as left:
            code = int(left.code or 0)
        said = capsys.readouterr()
        return Ran(code, said.out, said.err)

    return run


def unpromised(command: str, document: Any) -> list[str]:
    """What of a document the schema of its command does not promise; nothing where it holds."""
    return [error.message[:300] for error in Draft202012Validator(schema(command)).iter_errors(document)]


@pytest.fixture
def demo_room(drydown: Drydown, demo_archive: Path, tmp_path: Path) -> Drydown:
    """`drydown` on a copy of the demo, whose prints and readings are invented."""
    shutil.copyfile(demo_archive, tmp_path / "archive.db")
    return drydown


def decided(path: Path, file: Path) -> list[int]:
    """Add 20 prints of grades 2 to 5 to an archive, and write what a strict person says of them to the file.

    Only fives are accepted, fours are remarked on, all else is refused. Returns their sessions' numbers.
    """
    numbers, lines = [], []
    with open_archive(path) as archive:
        bench = Bench(archive, now=lambda: datetime(2026, 3, 10, 9, 30, tzinfo=UTC))
        for grade in (2, 3, 4, 5) * 5:
            made = begin(bench, PrintingCondition(made_for="general"), {})
            sheet = sheet_of(bench, made)
            viewing.record(bench, made.id, viewing.read_form(quick_form(sheet, grade), "form", sheet))
            numbers.append(made.id)
            lines.append(f"{made.id}, {STRICT[grade]}")
    file.write_text("\n".join(lines), "utf-8")
    return numbers
