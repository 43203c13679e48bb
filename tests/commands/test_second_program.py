"""Commands on an archive that another program has open: its log stays, and SQLite alone touches the file."""

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from evaluation.archive import habits
from evaluation.archive.connection import open_archive
from tests.cases import some_now

Drydown = Callable[..., Any]
FIXTURES = Path(__file__).parents[2] / "fixtures"
READINGS = FIXTURES / "readings" / "lustre-fine.txt"
PROFILE = FIXTURES / "profiles" / "sallowfell-lustre-fine.icc"
COMMANDS = [
    ("list",),
    ("list", "--json"),
    ("weigh", "1"),
    ("weigh", "4", "--json", "--reveal"),
    ("compare", "1", "2"),
    ("compare", "1", "2", "3", "--csv"),
    ("compare", "1", "2", "--plot", "curves.svg"),
    ("neutrality", "1"),
    ("neutrality", "1", "2", "--json"),
    ("chart", "1"),
    ("read", "1", READINGS, "--managed", "--anyway"),
    ("grade", "1", "--template"),
    ("grade", "1", "--from", "grades.toml"),
    ("new", "--like", "1"),
    ("new", "--from", "condition.toml"),
    ("attach", "1", "skin", "photo.jpg"),
    ("appendix", "1", "2", "-o", "review.html", "--data"),
    ("appendix", "1", "-o", "review.md", "--figures", "figures"),
    ("appendix", "1", "-o", "review.pdf"),
    ("check",),
    ("check", "review.html"),
    ("check", "archive.db"),
    ("backup", "copy.db"),
    ("sheet", "sheet.tif", "--size", "A4", "--ppi", "150", "--no-pages", "--no-pictures"),
    ("contents", READINGS),
    ("gamut", PROFILE),
    ("settings",),
]
CONDITION = '[condition]\npaper = "Sallowfell Lustre 247"\nmade_for = "general"\nprofile = "print.icc"\n'
GRADES = '[viewing]\nobserver = "observer 1"\nkind = "quick"\n[skin]\noverall = 4\n'


@pytest.fixture
def room(finished: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with an archive of finished sessions, and files that commands ask for."""
    finished.rename(tmp_path / "archive.db")
    (tmp_path / "condition.toml").write_text(CONDITION)
    (tmp_path / "grades.toml").write_text(GRADES)
    (tmp_path / "print.icc").write_bytes(PROFILE.read_bytes())
    Image.new("RGB", (80, 60), "grey").save(tmp_path / "photo.jpg")
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize("one_in", some_now((1, 3), 3))
def test_no_command_harms_an_archive_that_is_open_elsewhere(
    room: Path, drydown: Drydown, elsewhere: Any, one_in: int
) -> None:
    other = elsewhere(room / "archive.db")
    for words in COMMANDS[::one_in]:
        ran = drydown(*words)
        assert ran.code == 0, (words, ran.err)
        assert other.is_unharmed(), (words, other.touched)
        other.save()
    other.kill()
    with open_archive(room / "archive.db") as archive:
        assert all(habits.recall(archive, subject) for subject in other.saved)
        assert archive.rows("PRAGMA integrity_check") == [("ok",)]


@pytest.mark.parametrize(
    "words",
    some_now(
        [
            ("read", "1", "{}", "--managed"),
            ("grade", "1", "--from", "{}"),
            ("new", "--from", "{}"),
            ("new", "--sheet", "{}", "--from", "condition.toml"),
            ("new", "--from", "names-it.toml"),
            ("attach", "1", "skin", "{}"),
            ("neutrality", "1", "--lamp", "{}"),
            ("appendix", "1", "-o", "review.html", "--style", "{}"),
            ("sheet", "sheet.tif", "--size", "A4", "--ppi", "150", "--no-pictures", "--picture", "{}"),
            ("backup", "{}"),
        ],
        ("new", "--from", "names-it.toml"),
        ("attach", "1", "skin", "{}"),
        ("backup", "{}"),
    ),
    ids=lambda words: " ".join(words[:3]),
)
def test_the_archive_itself_is_no_file_to_read_or_write(
    room: Path, drydown: Drydown, elsewhere: Any, words: tuple[str, ...]
) -> None:
    (room / "link.db").hardlink_to(room / "archive.db")
    other = elsewhere(room / "archive.db")
    for name in ("archive.db", "archive.db-wal", "link.db"):
        (room / "names-it.toml").write_text(CONDITION.replace("print.icc", name))
        ran = drydown(*(word.format(name) for word in words))
        assert ran.code == 2, ran.err
        assert f"{name}. Expected: another file. Found: the archive itself." in ran.err
        assert other.is_unharmed(), (name, other.touched)


@pytest.fixture
def busy(room: Path) -> Any:
    """Another connection that is in the middle of writing."""
    writer = sqlite3.connect(room / "archive.db", isolation_level=None)
    writer.execute("PRAGMA journal_mode = WAL")
    writer.execute("BEGIN IMMEDIATE")
    yield writer
    writer.close()


@pytest.mark.parametrize(
    "words", [("list",), ("check",), ("backup", "copy.db"), ("chart", "1")], ids=" ".join
)
def test_who_only_reads_does_not_wait_for_who_writes(
    drydown: Drydown, busy: Any, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("evaluation.archive.sqlite._BUSY_S", 0.0)
    assert drydown(*words).code == 0
