"""What is done beside the six steps: by g t, by name, and with nothing but keys."""

import shutil
import time
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from evaluation.archive.connection import open_archive
from evaluation.session import Session
from evaluation.telling.table import Table
from evaluation.work import home, log, upkeep
from evaluation.work.bench import Bench
from evaluation.work.look.attach import attached_to
from evaluation.work.write_up import write_up
from fixtures.printer import icc
from tui.screens.tools.choose import PICTURE, ChooseFile
from tui.screens.tools.report_lines import table_lines
from tui.screens.tools.table import TOOLS
from tui.widgets.lines import texts

PROFILES = Path(icc.__file__).parents[1] / "profiles"


@pytest.fixture(autouse=True)
def a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is read or written in the folders of whoever runs the tests."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("DRYDOWN_SETTINGS", str(tmp_path / "weighing.toml"))
    monkeypatch.chdir(tmp_path)


def place(tool: str) -> tuple[str, ...]:
    """Keys from the first row to a tool, and into it."""
    return (*["down"] * [one.id for one in TOOLS].index(tool), "enter")


@pytest.mark.long
async def test_settings_check_backup_and_profiling_data_open_from_anywhere(
    booth: Any, bench: Bench, session: Session, tmp_path: Path
) -> None:
    async with booth() as app:
        await app.press("g", "t")
        assert "session 1 is in hand" in app.rows[0]
        await app.press("enter")
        assert "Thresholds and defaults." in app.text and "eye_spread" in app.text
        await app.press("escape", *place("check"))
        assert "The archive is sound." in app.text
        await app.press("escape", *["home"], *place("chart"))
        assert "No profiling data here" in app.saved
        await app.press("home", *place("numbers"))
        assert "nothing with a colour was read" in app.text
        await app.press("enter", "home", *place("backup"))
        assert app.app.screen.typing.value.endswith("room-2026-11-24.db")
        await app.type(str(tmp_path / "copy.db"))
        assert app.saved == "Copied to ~/copy.db."
        await app.press("home", *place("backup"))
        await app.type(str(tmp_path / "copy.db"))
        assert "a file of that name" in app.text  # never written over
        await app.press("enter", "escape")
        assert "Sessions" in app.text
    with open_archive(tmp_path / "copy.db", read_only=True) as copied:
        assert home.count(Bench(copied)) == 1


@pytest.mark.long
async def test_an_appendix_is_checked_by_choosing_it(
    booth: Any, bench: Bench, session: Session, tmp_path: Path
) -> None:
    path = tmp_path / "review.md"
    write_up.write(bench, (1,), path, write_up.Choices("summary"))
    (tmp_path / "changed.md").write_text(path.read_text("utf-8").replace("Sallowfell", "Brackmoor"), "utf-8")
    async with booth() as app:
        for name, words in (
            ("review.md", "Unchanged since it was written."),
            ("changed.md", "Changed since it was written"),
        ):
            await app.press("g", "t", *place("appendix"), "p")
            await app.type(str(tmp_path / name))
            assert words in app.text
            await app.press("escape", "escape")


@pytest.mark.long
async def test_every_tool_is_found_by_its_name(booth: Any, session: Session) -> None:
    async with booth() as app:
        await app.press("g", "1", "colon")
        for key in "settings":
            await app.pilot.press(key)
        await app.pilot.pause(0.3)
        assert "Settings in force" in app.text
        await app.pilot.press("enter")
        await app.settle()
        assert "Thresholds and defaults." in app.text
        await app.press("escape", "escape")
        assert "Enter change" in app.keys  # back where one came from


@pytest.mark.long
async def test_long_work_shows_a_bar_and_esc_stops_it(
    booth: Any, session: Session, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def slow(_bench: object, _file: Path, tell: Any) -> int:
        while True:
            tell(2, 8, "2 of 8 pages")
            time.sleep(0.01)

    monkeypatch.setattr(upkeep, "backup", slow)
    async with booth() as app:
        await app.press("g", "t", *place("backup"))
        app.app.screen.typing.value = str(tmp_path / "copy.db")
        await app.pilot.press("enter")
        await app.pilot.pause(0.2)
        assert app.saved == "Copying: 2 of 8 pages. Esc stops."
        assert "25%" in app.text and app.keys.startswith("Esc stop")
        await app.press("escape")
        assert app.saved == "No copy was made: stopped."
        assert "25%" not in app.text and not (tmp_path / "copy.db").exists()


@pytest.mark.long
async def test_a_gamut_of_a_profile_and_a_lamp_by_name(booth: Any, session: Session, tmp_path: Path) -> None:
    """With a picture held against the profile, and the lamp from a file as well."""
    Image.new("RGB", (8, 8), (0, 255, 0)).save(tmp_path / "greenest.png")
    lines = [f"{nm},{1 + (nm - 400) / 300:.4f}" for nm in range(380, 785, 5)]
    (tmp_path / "hall.csv").write_text("nm,power\n" + "\n".join(lines) + "\n")
    async with booth() as app:
        await app.press("g", "t", *place("gamut"), "enter", "p")
        await app.type(str(PROFILES))
        assert "brackmoor-rag-fine.icc" in app.text
        await app.press("slash")
        app.app.screen.typing.value = "rag"
        await app.press("enter", "enter", "enter", "p")  # the profile; then a row on, the picture
        await app.type(str(tmp_path / "greenest.png"))
        await app.press("end", "enter")
        assert "C*ab by hue" in app.text and "brackmoor-rag-fine.icc" in app.text
        assert "Share of this picture outside: greenest.png" in app.text
        await app.press("escape", "escape", "home", *place("lamp"), "enter", "p")
        await app.type(str(tmp_path / "hall.csv"))
        assert "Light source, hall" in app.text
        await app.press("escape", "down", "enter")
        assert "A, incandescent lamp" in app.text
        assert "2856 K" in app.text  # CIE 15, illuminant A (2 855.5 K)


@pytest.mark.long
async def test_a_picture_of_a_fault_is_attached_from_look(
    booth: Any, bench: Bench, session: Session, tmp_path: Path
) -> None:
    folder = tmp_path / "shots"
    folder.mkdir()
    Image.new("RGB", (40, 30), (90, 90, 90)).save(folder / "banding.png")
    (folder / "notes.txt").write_text("not a picture")
    async with booth(size=(120, 36)) as app:
        await app.press("g", "3", "1", "1", "p")  # a short viewing, its first fault, then the picture
        await app.press("enter")
        assert "banding.png" in app.text and "notes.txt" not in app.text
        await app.press("enter")
        assert app.saved == "t keeps it; nothing is kept before."
        assert not attached_to(bench, 1)
        await app.press("down", "enter")
        await app.type("lower left, [b]loupe[/b]")
        await app.press("t")
        assert app.saved.startswith("Saved.")
        (kept,) = attached_to(bench, 1)
        assert kept.fault and kept.caption == "lower left, [b]loupe[/b]"
        await app.press("u")
        assert app.saved.startswith("Undone:") and not attached_to(bench, 1)
        await app.press("escape")
        assert "The sheet" in app.text  # back in Look


@pytest.mark.long
async def test_the_region_of_a_picture_goes_by_its_number_on_the_sheet(
    booth: Any, bench: Bench, session: Session
) -> None:
    async with booth(size=(120, 36)) as app:
        await app.press("g", "3", "1", "p", "escape", "down", "enter")
        assert "2 Shadow detail" in app.text and "0 the next of: Ring-around" in app.text
        await app.press("0")
        assert app.app.screen.about.id == "ring" and app.app.screen.row == "region"
        await app.press("2")
        assert app.app.screen.about.number == 2 and app.app.screen.row == "fault"
        await app.press("1")
        assert app.app.screen.fault == app.app.screen.about.faults[0]
        await app.press("up", "0")
        assert app.app.screen.fault == ""
        await app.press("t")
        assert app.saved == "Enter on the first row chooses a picture."


@pytest.mark.long
async def test_removed_sessions_are_shown_from_the_tools(booth: Any, session: Session) -> None:
    async with booth() as app:
        await app.press("x", "g", "t", *place("removed"))
        assert "Sessions that were removed" in app.saved
        await app.press("enter", "g", "t", *place("removed"))
        assert app.saved == "No session was removed."


@pytest.mark.long
async def test_the_chooser_goes_through_folders_and_lists_what_fits(
    booth: Any, bench: Bench, tmp_path: Path
) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "b" / "inner").mkdir(parents=True)
    (tmp_path / ".hidden").mkdir()
    (tmp_path / "scan.TIF").write_bytes(b"")
    (tmp_path / "gone.png").symlink_to(tmp_path / "nowhere")
    taken: list[Path] = []
    async with booth() as app:
        await app.app.push_screen(ChooseFile(bench, PICTURE, taken.append))
        await app.settle()
        listed = [row for row in app.rows if "b/" in row or "scan" in row or "gone" in row or "hidden" in row]
        assert [row.split()[0].strip("▸") or row.split()[1] for row in listed] == ["b/", "scan.TIF"]
        assert "scan.TIF" in app.here  # the newest file, below the folders
        await app.press("up", "enter", "left")
        assert "b/" in app.here  # back on the folder one came from
        await app.press("p")
        await app.type("/nowhere/at/all")
        assert "Nothing was chosen." in app.text and not taken
        await app.press("escape", "down", "enter")
    assert taken == [tmp_path / "scan.TIF"]


def test_words_that_are_too_wide_for_a_table_stand_under_their_row() -> None:
    table = Table("", ("", "name", "what it is"), ((" ", "eye_spread", "word " * 30),))
    assert len(texts(table_lines(table, 200))) == 2
    beside = texts(table_lines(table, 80))
    assert beside[1].startswith("      eye_spread  word word") and len(beside) > 3
    under = texts(table_lines(table, 40))
    assert under[1].strip() == "eye_spread" and under[2].startswith("         word word")
    assert all(len(row) <= 39 for row in under)


@pytest.mark.long
async def test_a_profile_and_a_picture_of_one_s_own_are_looked_for_in_folders(
    booth: Any, bench: Bench, session: Session, tmp_path: Path
) -> None:
    shutil.copy(PROFILES / "sallowfell-lustre-fine.icc", tmp_path)
    Image.new("RGB", (60, 40)).save(tmp_path / "mine.png")
    async with booth() as app:
        await app.press("g", "1", "p", "slash")
        app.app.screen.typing.value = "lustre"
        await app.press("enter", "enter")
        assert "Profile: sallowfell-lustre-fine.icc" in app.saved
        assert log.session(bench, 1).condition.profile_digest
        await app.press("t", "p", "end", "enter")
        assert app.here.split() == ["▸", "own", "picture", "mine.png"]
