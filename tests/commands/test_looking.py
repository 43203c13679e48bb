"""An archive that cannot be written to: commands that only read it work, the others are refused."""

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tui import place

Drydown = Callable[..., Any]
DATA = Path(__file__).parents[1] / "sheet" / "data"
GRADES = '[viewing]\nobserver = "1"\n[skin]\noverall = 4\n'


@pytest.fixture
def guarded(drydown: Drydown, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """The folder of an archive with two looked-at sessions, which nobody may write to any more."""
    folder = tmp_path / "guarded"
    folder.mkdir()
    monkeypatch.setenv("DRYDOWN_ARCHIVE", str(folder / "archive.db"))
    condition, grades = tmp_path / "condition.toml", tmp_path / "grades.toml"
    condition.write_text('[condition]\npaper = "chart"\nmade_for = "general"\n', "utf-8")
    grades.write_text(GRADES, "utf-8")
    for number in ("1", "2"):
        assert drydown("new", "--from", condition, "--sheet", DATA / "chart-24.toml").code == 0
        assert drydown("grade", number, "--from", grades).code == 0
    (folder / "archive.db").chmod(0o444)
    folder.chmod(0o555)
    if os.geteuid() == 0:  # whom no permission keeps from writing
        monkeypatch.setattr(place, "writable", lambda path: folder not in path.parents)
    yield folder
    folder.chmod(0o755)


def whole(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.iterdir()}


READING = [
    ("list",),
    ("weigh", 1),
    ("compare", 1, 2),
    ("appendix", 1, "-o", "{}/review.md"),
    ("check",),
    ("backup", "{}/copy.db"),
    ("grade", 1, "--template"),
]


@pytest.mark.parametrize("words", READING, ids=lambda words: words[0])
def test_what_only_reads_works_and_says_that_nothing_is_recorded(
    drydown: Drydown, guarded: Path, tmp_path: Path, words: tuple[object, ...]
) -> None:
    before = whole(guarded)
    ran = drydown(*(str(word).format(tmp_path) for word in words))
    assert (ran.code, bool(ran.out)) == (0, True), ran.err
    assert ran.err.startswith(f"{guarded / 'archive.db'} cannot be written to: nothing of this is recorded")
    assert ran.err.count("\n") == 1
    assert whole(guarded) == before


def test_a_copy_made_of_it_can_be_written_to(drydown: Drydown, guarded: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.db"
    assert drydown("backup", copy).code == 0
    assert drydown("new", "--like", 1, "--archive", copy).out.strip() == "3"


def test_what_would_be_recorded_is_refused(drydown: Drydown, guarded: Path, tmp_path: Path) -> None:
    before = whole(guarded)
    for words in (
        ("new", "--like", 1),
        ("grade", 1, "--from", tmp_path / "grades.toml"),
        ("read", 1, DATA / "chart-24.txt"),
        ("attach", 1, "skin", DATA / "chart-24.txt"),
    ):
        ran = drydown(*words)
        assert ran.code != 0 and ran.err.count("\n") == 1
        assert "can only be looked at" in ran.err and "Copy it" in ran.err
    assert whole(guarded) == before


@pytest.mark.long
def test_a_sheet_is_drawn_all_the_same_and_tied_by_its_map(
    drydown: Drydown, guarded: Path, tmp_path: Path
) -> None:
    out = tmp_path / "s.tif"
    ran = drydown("sheet", out, "--size", "A4", "--ppi", 150, "--no-pages", "--no-form", "--no-pictures")
    assert ran.code == 0 and out.exists()
    assert "`drydown new --sheet s.sheet.toml` ties a print of it" in ran.out
