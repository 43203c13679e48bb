"""What the system says about a file stands in our sentences as what was found, with a remedy that fits."""

import errno
import os
import sqlite3
from pathlib import Path

import pytest

from evaluation.errors import FileProblem
from evaluation.system_words import Trouble, unread, unwritten

ROOT = Path(__file__).parents[1]


def of_reading(path: Path) -> Trouble:
    with pytest.raises((OSError, ValueError)) as raised:
        path.read_bytes()
    return unread(raised.value)


def of_writing(path: Path) -> Trouble:
    with pytest.raises((OSError, ValueError)) as raised:
        path.write_bytes(b"x")
    return unwritten(raised.value)


def test_what_cannot_be_read_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    (tmp_path / "round").symlink_to(tmp_path / "round")
    assert of_reading(tmp_path / "none").found == "nothing of that name"
    assert of_reading(tmp_path).found == "a folder"
    assert of_reading(tmp_path / "file" / "none").found == "a file in place of one of its folders"
    assert of_reading(tmp_path / ("x" * 300)).remedy == "Name it shorter."
    assert of_reading(tmp_path / "round").found == "a link that leads back to itself"
    assert of_reading(tmp_path / "a\0b").found == "a name that no file can have"


def test_what_cannot_be_written_is_told(tmp_path: Path) -> None:
    assert of_writing(tmp_path / "none" / "file").found == "no folder of that name"
    assert of_writing(tmp_path).found == "a folder of that name"


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="the device that is always full is of Linux")
def test_a_full_disk_asks_for_room() -> None:
    told = of_writing(Path("/dev/full"))
    assert told.found == "no room left on the disk"
    assert told.remedy.startswith("Make room there")


def test_sqlite_is_told_in_the_same_words(tmp_path: Path) -> None:
    with pytest.raises(sqlite3.OperationalError) as raised:
        sqlite3.connect(tmp_path / "none" / "a.db").execute("CREATE TABLE a (b)")
    assert unwritten(raised.value).found == "no way to make a file there"


@pytest.mark.parametrize("told", [unread, unwritten])
def test_every_code_of_the_system_makes_a_sentence(told) -> None:
    for code, name in errno.errorcode.items():
        found, remedy = told(OSError(code, os.strerror(code)))
        sentence = FileProblem("Nothing was done.", where="x", found=found, remedy=remedy).sentence
        assert f"Found: {found}." in sentence and remedy.endswith("."), name
        assert os.strerror(code) not in sentence, name


def test_a_trouble_without_a_code_leaves_open_what_was_found() -> None:
    assert unread(OSError("library: no")).found == ""


@pytest.mark.parametrize("folder", ["evaluation", "tui"])
def test_nobody_quotes_the_system(folder: str) -> None:
    quoting = [path.name for path in (ROOT / folder).rglob("*.py") if "strerror" in path.read_text("utf-8")]
    assert quoting == []


def test_a_sentence_about_a_file_that_is_not_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from tui.cli import main

    assert main(["new", "--from", str(tmp_path / "nope.toml"), "--archive", str(tmp_path / "a.db")]) == 1
    told = capsys.readouterr().err.strip()
    assert (
        told
        == f"{tmp_path / 'nope.toml'}. Found: nothing of that name. No session was begun. Check the name."
    )
