"""Read, Weigh and Write up by keys: what the archive holds, what the screen says, what stays out of sight."""

import shutil
from importlib.resources import files
from os import utime
from pathlib import Path
from threading import Event
from typing import Any

import pytest
from textual import events

from evaluation.archive import runs, sessions
from evaluation.judgement import combine
from evaluation.judgement import weigh as judgement
from evaluation.judgement.rules import RULES
from evaluation.session import Grade, Session
from evaluation.work import home
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.look import look
from evaluation.work.take_in import read
from evaluation.work.write_up import write_up
from tests.tui.conftest import NOON

READINGS = files("fixtures").joinpath("readings")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with one good file and one that is cut."""
    place = tmp_path / "room-readings"
    place.mkdir()
    text = READINGS.joinpath("lustre-fine.txt").read_text("utf-8")
    text = text.replace("2026-03-09T14:00:00+00:00", NOON.isoformat())  # two days after the print
    (place / "lustre-fine.txt").write_text(text, "utf-8")
    (place / "cut.txt").write_text(text[: len(text) // 2], "utf-8")
    shutil.copystat(place / "lustre-fine.txt", place / "cut.txt")
    return place


def grade(bench: Bench, session: Session, *regions: str, value: int = 4) -> None:
    look.start(bench, session.id, kind="quick")
    for region in sheet_of(bench, session).regions:
        if region.whole is not None and (not regions or region.id in regions):
            look.answer(bench, session.id, region.id, region.whole.id, Grade(value))


def take_in(bench: Bench, session: Session, folder: Path) -> None:
    from evaluation.readings.supplied import Supplied

    said = Supplied(printed_as="managed")
    read.take_in(bench, session.id, read.preview(bench, session.id, folder / "lustre-fine.txt", said))


async def to_file(app: Any, name: str) -> None:
    await app.press("g", "4", "slash")
    await app.type(name)
    await app.press("home")


@pytest.mark.long
async def test_a_file_shows_its_facts_before_anything_is_kept(
    booth: Any, bench: Bench, session: Session, folder: Path
) -> None:
    async with booth() as app:
        await to_file(app, "lustre-fine")
        await app.press("enter")
        assert "M1 and M2" in app.text
        assert "380 to 730 nm, 10 nm" in app.text
        assert app.saved == "Not taken in yet. The archive is unchanged."
        assert sessions.load(bench.archive, 1).runs == frozenset()


@pytest.mark.long
async def test_escape_stops_a_file_that_is_being_read(
    booth: Any, bench: Bench, session: Session, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What it brings later is of no interest any more."""
    until, real = Event(), read.preview

    def slow(*given: Any, **more: Any) -> Any:
        until.wait(10)
        return real(*given, **more)

    async with booth() as app:
        await to_file(app, "lustre-fine")
        monkeypatch.setattr(read, "preview", slow)
        app.app.post_message(events.Key("enter", None))
        await app.pilot.pause()
        assert app.saved.startswith("Reading lustre-fine.txt. Esc stops")
        app.app.post_message(events.Key("escape", None))
        await app.pilot.pause()
        assert app.saved == "Nothing was taken in."
        until.set()
        await app.settle()
        assert app.saved == "Nothing was taken in." and "380 to 730 nm" not in app.text
        assert app.here.startswith(" ▸  lustre-fine.txt")


async def test_a_list_of_what_is_in_fetches_no_reading(
    booth: Any, bench: Bench, session: Session, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    take_in(bench, session, folder)

    def fetched(*_given: Any) -> None:
        raise AssertionError("readings were fetched")

    monkeypatch.setattr(runs, "of_session", fetched)
    async with booth() as app:
        await app.press("g", "4")
        assert "lustre-fine.txt" in app.rows[5]
        assert "432 readings, M1 and M2, printed as a picture" in app.rows[5]


async def test_no_value_of_an_ungraded_region_is_shown(
    booth: Any, bench: Bench, session: Session, folder: Path
) -> None:
    async with booth() as app:
        await to_file(app, "lustre-fine")
        await app.press("enter")
        assert "Out of sight for" in app.text
        await app.press("t", "v")
        assert "out of sight" in app.text
        assert app.here.endswith("out of sight") and "." not in app.here, "no number beside it"


@pytest.mark.long
async def test_t_takes_in_and_undo_takes_it_back(
    booth: Any, bench: Bench, session: Session, folder: Path
) -> None:
    async with booth() as app:
        await to_file(app, "lustre-fine")
        await app.press("enter", "t")
        assert len(sessions.load(bench.archive, 1).runs) == 2
        assert app.saved == "Saved 14:02. Taken in: lustre-fine.txt."
        assert "in, unseen" in app.rows[2]
        await app.press("u")
        assert sessions.load(bench.archive, 1).runs == frozenset()
        await app.press("U")
        assert len(sessions.load(bench.archive, 1).runs) == 2


@pytest.mark.long
async def test_leaving_out_takes_a_whole_file_and_u_brings_it_back(
    booth: Any, bench: Bench, session: Session, folder: Path
) -> None:
    take_in(bench, session, folder)
    async with booth() as app:
        await app.press("g", "4", "x")
        assert sessions.load(bench.archive, 1).runs == frozenset()
        assert app.saved == "lustre-fine.txt left out. u brings it back."
        await app.press("u")
        assert len(sessions.load(bench.archive, 1).runs) == 2


@pytest.mark.long
async def test_what_the_file_leaves_open_is_said_by_a_digit(
    booth: Any, bench: Bench, session: Session, folder: Path
) -> None:
    text = (folder / "lustre-fine.txt").read_text("utf-8").replace("Sallowfell Lustre", "Brackmoor Rag")
    (folder / "silent.txt").write_text(
        "\n".join(
            line for line in text.splitlines() if not line.startswith(("INSTRUMENT", "SAMPLE_BACKING"))
        ),
        "utf-8",
    )
    utime(folder / "silent.txt", (1e9, 1e9))  # the last of the list
    async with booth() as app:
        await app.press("g", "4")
        while "silent" not in app.here:
            await app.press("down")
        await app.press("enter")
        assert "another paper" in app.text
        await app.press("t")
        assert app.saved == "Answer the question first, or Esc leaves the file out."
        await app.press("escape")
        assert "silent.txt" in app.here
        await app.press("enter", "1")
        assert "backing" in app.text
        row = next(row for row in app.rows if " backing " in row)
        if "not stated" in row:
            while " backing " not in app.here:
                await app.press("down" if app.rows.index(app.here) < app.rows.index(row) else "up")
            await app.press("enter", "1")
            assert "said by you" in next(row for row in app.rows if " backing " in row)


async def test_a_cut_file_is_refused_in_the_window_and_nothing_is_kept(
    booth: Any, bench: Bench, session: Session, folder: Path
) -> None:
    async with booth() as app:
        await to_file(app, "cut")
        await app.press("enter")
        assert "cut.txt" in app.text
        assert "Expected: " in app.text and "Found:" in app.text
        assert app.keys.startswith("Enter back")
        await app.press("enter")
        assert "Files in" in app.text
        assert sessions.load(bench.archive, 1).runs == frozenset()


@pytest.mark.long
async def test_a_new_file_in_the_watched_folder_is_offered(
    booth: Any, bench: Bench, session: Session, folder: Path, tmp_path: Path
) -> None:
    watched = tmp_path / "watched"
    watched.mkdir()
    async with booth(watch=watched) as app:
        await app.press("g", "4")
        shutil.copy(folder / "lustre-fine.txt", watched / "just-read.txt")
        app.app.screen._look()
        await app.settle()
        assert app.saved == "New file: just-read.txt."
        assert "just-read.txt" in app.here


@pytest.mark.long
async def test_early_showing_asks_and_is_recorded(
    booth: Any, bench: Bench, session: Session, folder: Path
) -> None:
    take_in(bench, session, folder)
    async with booth() as app:
        await app.press("g", "4", "v", "enter")
        assert app.saved.endswith("Showing them is recorded. Show? 1 yes, 0 no.")
        await app.press("0")
        assert sessions.load(bench.archive, 1).revealed == {}
        await app.press("enter", "1")
        assert "neutral" in sessions.load(bench.archive, 1).revealed
        assert "." in app.here, "now with its numbers"


@pytest.mark.long
async def test_a_patch_opens_to_its_curve_and_numbers(
    booth: Any, bench: Bench, session: Session, folder: Path
) -> None:
    take_in(bench, session, folder)
    grade(bench, session)
    async with booth() as app:
        await app.press("g", "4", "v", "enter")
        assert "reflectance over nm; 1 = M1, 2 = M2; * where they meet" in app.text
        assert "M2 - M1 in b*" in app.text
        await app.press("v")
        assert "density over nm" in app.text
        await app.press("escape", "escape")
        assert "4 Read" in app.rows[1]


@pytest.mark.long
async def test_weigh_shows_both_voices_on_the_ruler(
    booth: Any, bench: Bench, session: Session, folder: Path
) -> None:
    take_in(bench, session, folder)
    grade(bench, session)
    async with booth() as app:
        await app.press("g", "5")
        assert "1 neutral greyscale" in app.here
        assert any(letter in app.here for letter in "EB")
        assert "For general use" in app.text


async def test_weigh_hides_the_instrument_of_a_region_not_looked_at(
    booth: Any, bench: Bench, session: Session, folder: Path
) -> None:
    take_in(bench, session, folder)
    grade(bench, session, "shadow")
    async with booth() as app:
        await app.press("g", "5")
        row = next(row for row in app.rows if "neutral greyscale" in row)
        assert "not graded " in row and "not graded yet" not in row
        assert "I" not in row and "-" in row
        await app.press("enter")
        assert "│" not in app.text, "no curve of it either"


async def test_a_disagreement_is_a_word_in_capitals_and_has_no_mean(
    booth: Any, bench: Bench, session: Session, folder: Path
) -> None:
    take_in(bench, session, folder)
    grade(bench, session, value=1)
    async with booth() as app:
        await app.press("g", "5")
        assert "≠1 neutral greyscale" in app.here
        assert "DISAGREE     -" in app.here
    known = home.coming(bench, 1)
    assert (known.found[0].eye, known.found[0].agreement) == (1.0, "disagree"), "Home knows it by now"
    assert known.reasons


@pytest.mark.long
async def test_a_row_opens_to_its_curve_and_closes_by_left(
    booth: Any, bench: Bench, session: Session, folder: Path
) -> None:
    take_in(bench, session, folder)
    grade(bench, session)
    async with booth() as app:
        await app.press("g", "5", "down", "down", "enter")
        assert "L* over step: dotted aim," in app.text
        await app.press("v")
        assert "Greys from their aim" in app.text
        await app.press("left")
        assert "neutral greyscale" in app.text and "┼" in app.text


@pytest.mark.long
async def test_f_goes_through_the_uses(booth: Any, bench: Bench, session: Session) -> None:
    grade(bench, session)
    async with booth() as app:
        await app.press("g", "5", "f")
        assert "For black and white" in app.text
        await app.press("f")
        assert "For portraits" in app.text


@pytest.mark.long
async def test_the_table_is_copied_and_kept_as_a_file(
    booth: Any, bench: Bench, session: Session, tmp_path: Path
) -> None:
    grade(bench, session)
    async with booth() as app:
        await app.press("g", "5", "c")
        assert app.saved.startswith("To the clipboard and ")
        assert app.saved.endswith("c again: the table.")
        kept = (tmp_path / "copied" / "weigh-1.txt").read_text("utf-8")
        assert "neutral greyscale" in kept and "For general use" in kept
        assert app.app.clipboard == kept
        await app.press("c")
        cells = [row.split("\t") for row in app.app.clipboard.splitlines()]
        assert cells[0][:3] == ["no.", "region", "eye"] and {len(row) for row in cells} == {9}
        assert cells[1][:3] == ["1", "Neutral greyscale", "4.0"] and cells[1][6] == "eye only"
        await app.press("c")
        assert app.app.clipboard.startswith("Sallowfell Lustre 247, session 1. Neutral greyscale: eye 4.0 ± ")
        assert (tmp_path / "copied" / "finding-1-neutral.txt").read_text("utf-8") == app.app.clipboard
        await app.press("f", "c")
        assert app.app.clipboard.startswith("Sallowfell Lustre 247, session 1\n")  # anew with the page


@pytest.mark.long
async def test_weigh_says_that_it_was_written_up_with_other_results(
    booth: Any, bench: Bench, session: Session, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Here the rules changed: the combined grade is the eye's alone."""
    take_in(bench, session, folder)
    grade(bench, session)
    write_up.write(bench, (session.id,), folder / "lustre.md", write_up.Choices("summary"))
    combined = combine.combined
    monkeypatch.setattr(judgement, "RULES", RULES + 1)
    monkeypatch.setattr(combine, "combined", lambda eye, _, tables: combined(eye, eye, tables))
    async with booth() as app:
        await app.press("g", "5")
        assert app.saved == "Written up with other results than these; v says which, and why they changed."
        assert "caveats: v" in app.text
        await app.press("v")
        shown = " ".join(app.text.split())
        assert "Session 1 was written up on 24 Nov 2026, 14:02 UTC with other results" in shown
        assert "the rules of weighing have changed" in shown
        await app.press("escape", "c")
        copied = (folder.parent / "copied" / "weigh-1.txt").read_text("utf-8")
        assert "was written up on 24 Nov 2026" in copied


@pytest.mark.long
async def test_the_page_begins_as_shown_and_is_written(
    booth: Any, bench: Bench, session: Session, tmp_path: Path
) -> None:
    grade(bench, session)
    path = tmp_path / "lustre.md"
    async with booth() as app:
        await app.press("g", "6")
        assert "Accepted with remarks for general use" in app.text
        assert "or whole, page 1, neutrality" in app.text
        await app.press("end", "enter")
        await app.type(str(path))
        await app.press("o")
        assert app.saved.startswith("Written 14:02:") and app.saved.endswith("lustre.md.")
        assert "Sallowfell Lustre 247" in path.read_text("utf-8")
        assert "written" in app.rows[2]
        assert sessions.load(bench.archive, 1).written
        await app.press("g", "h", "enter")
        assert "E eye, I instrument" in app.saved, "nothing is to be done any more: its result opens"


@pytest.mark.long
async def test_writing_over_a_file_asks(booth: Any, bench: Bench, session: Session, tmp_path: Path) -> None:
    grade(bench, session)
    path = tmp_path / "kept.md"
    path.write_text("mine", "utf-8")
    async with booth() as app:
        await app.press("g", "6", "end", "enter")
        await app.type(str(path))
        await app.press("o")
        assert app.saved == "kept.md exists. Write over it? 1 yes, 0 no."
        await app.press("0")
        assert path.read_text("utf-8") == "mine"
        await app.press("o", "1")
        assert path.read_text("utf-8") != "mine"


@pytest.mark.long
async def test_marked_sessions_are_written_up_together(booth: Any, bench: Bench, session: Session) -> None:
    from evaluation.work.describe import begin

    begin.begin_like(bench, session.id)
    async with booth() as app:
        await app.press("space", "down", "space", "g", "6")
        assert "sessions     2, 1" in app.text


@pytest.mark.long
async def test_the_whole_page_can_be_read_first(booth: Any, bench: Bench, session: Session) -> None:
    grade(bench, session)
    async with booth() as app:
        await app.press("g", "6", "v")
        assert "page 1 of" in app.rows[0]
        assert "Chapters: Summary; Where" in app.text, "its contents come first"
        assert not any(row.lstrip(" │").startswith(("#", "**", "| ")) for row in app.rows), "no raw marks"
        await app.press("down")
        assert "page 2 of" in app.rows[0]
        await app.press("escape")
        assert "6 Write up" in app.rows[1]


@pytest.mark.long
async def test_g_g_passes_by_weigh_before_writing_up(
    booth: Any, bench: Bench, session: Session, folder: Path
) -> None:
    take_in(bench, session, folder)
    grade(bench, session)
    async with booth() as app:
        await app.press("g", "4", "g", "g")
        assert app.rows[3][53] == "━", "Weigh"
        await app.press("g", "g")
        assert app.rows[3][66] == "━", "then Write up"
        await app.press("g", "g")
        assert app.saved == "Nothing else is open: o writes the file."


@pytest.mark.long
async def test_the_header_names_the_conditions_once_all_is_graded(
    booth: Any, bench: Bench, session: Session, folder: Path
) -> None:
    take_in(bench, session, folder)
    async with booth() as app:
        await app.press("g", "4")
        assert "in, unseen" in app.rows[2]
        grade(bench, session)
        await app.press("g", "4")
        assert "in, M1 M2" in app.rows[2]
        await app.press("g", "5")
        assert "in, M1 M2" in app.rows[2]


@pytest.mark.long
async def test_the_order_of_the_rows_counts_once_it_is_said(
    booth: Any, bench: Bench, session: Session, folder: Path
) -> None:
    patches = sheet_of(bench, session).patches
    bare = "L*,a*,b*\n" + "".join(f"{20 + k % 70},0,0\n" for k in range(len(patches)))
    (folder / "bare.csv").write_text(bare, "utf-8")
    async with booth() as app:
        await to_file(app, "bare")
        await app.press("enter")
        assert "in the order of the sheet's patches" in app.text
        await app.press("enter")
        await app.type("yes")
        await app.press("enter")
        assert "by order" in app.text
        await app.press("t")
        assert len(sessions.load(bench.archive, session.id).runs) == 1


async def test_weigh_keeps_grades_from_an_observer_who_has_not_begun(
    booth: Any, bench: Bench, session: Session
) -> None:
    grade(bench, session)
    async with booth() as app:
        app.pilot.app.observers[session.id] = "Ann"
        await app.press("g", "5", "enter")
        assert "Ann looks next" in app.text and "neutral greyscale" not in app.text
        assert app.app.screen.weighing is None and "weigh" not in app.keys
