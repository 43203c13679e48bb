"""The neutrality record by keys, on the demo's sessions 2 and 3: one paper in two modes."""

import shutil
from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from pathlib import Path

import pytest
from rich.cells import cell_len

from evaluation.archive.connection import Archive, open_archive
from evaluation.work import log
from evaluation.work.bench import Bench
from evaluation.work.look import look
from tui.widgets.lines import texts

Booth = Callable[..., AbstractAsyncContextManager]
TO_BOTH = ("j", "j", "j", "space", "j", "space", "g", "n")
NOTHING_READ = ("enter", "g", "n")


@pytest.fixture
def archive(demo_archive: Path, tmp_path: Path):
    path = tmp_path / "room.db"
    shutil.copyfile(demo_archive, path)
    with open_archive(path) as opened:
        yield opened


@pytest.mark.long
async def test_eight_keys_lead_from_home_to_the_record_of_both_modes(booth: Booth) -> None:
    async with booth() as driven:
        await driven.press(*TO_BOTH)
        assert driven.rows[0].startswith(
            " Neutrality, Sallowfell Baryta 322, session 3, against the paper's own grey"
        )
        assert "light       none" in driven.text and "crossover   none" in driven.text
        assert "worst under LED-B3" in driven.text and "stress  FL11" in driven.text
        assert "On Sallowfell Baryta 322, by the worst third of the greys, dE00: session 3" in driven.text
        names = [
            row.strip()[:30].split("   ")[:2]
            for row in driven.rows
            if row.strip().startswith(("a*   ", "b*   "))
        ]
        assert names == [["a*", "+ red, - green"], ["b*", "+ yellow, - blue"]]
        assert driven.saved.startswith("a*, b* of 21 steps off their aim, paper at the right. M1, ")


@pytest.mark.long
@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_nothing_runs_off_the_screen(booth: Booth, size: tuple[int, int]) -> None:
    async with booth(size) as driven:
        await driven.press(*TO_BOTH)
        for _ in range(7):
            assert all(cell_len(row) <= size[0] for row in driven.rows)
            assert not any("…" in row for row in driven.rows[2:-2])
            await driven.press("v")


@pytest.mark.long
async def test_lamps_of_ones_own_give_way_to_worst_and_stress(booth: Booth, archive: Archive) -> None:
    folder = archive.path.parent / "lamps"
    folder.mkdir()
    for name in ("gallery", "kitchen", "studio lamp of the second room", "hall\x1b[31m by the sea"):
        (folder / f"{name}.csv").write_text("".join(f"{nm},1\n" for nm in range(380, 781, 5)))
    async with booth() as driven:
        await driven.press(*TO_BOTH)
        assert "worst under LED-B3" in driven.text and "stress  FL11" in driven.text
        assert all(cell_len(row) <= 80 for row in driven.rows)
        assert "\x1b" not in "".join(row for row in texts(driven.app.screen.one("record").rows))
        await driven.press("enter", "down", "down")
        assert "studio lamp of the second room" in driven.text


@pytest.mark.long
async def test_right_and_left_go_from_print_to_print(booth: Booth) -> None:
    async with booth() as driven:
        await driven.press(*TO_BOTH, "right")
        assert "session 2, against" in driven.rows[0]
        assert "middle      yellow" in driven.text and "dark        blue" in driven.text
        assert "crossover   near L* 3" in driven.text
        await driven.press("right")
        assert "session 2, against" in driven.rows[0], "there is no third print"
        await driven.press("left")
        assert "session 3, against" in driven.rows[0]


@pytest.mark.long
async def test_v_lays_the_other_print_over_it_with_its_numbers_beside(booth: Booth) -> None:
    async with booth() as driven:
        await driven.press(*TO_BOTH, "v")
        assert driven.saved.startswith("3, 2: b* of each session off its aim; * both.")
        assert "step     3     2" in driven.text
        assert sum(row[6:46].count("2") + row[6:46].count("*") for row in driven.rows[2:14]) > 15
        titles = []
        for _ in range(4):
            await driven.press("v")
            titles.append(driven.saved)
        assert (
            "D50 to LED-B3" in titles[1] and "under M1, M2" in titles[2] and "L* of the source" in titles[3]
        )
        await driven.press("v")
        assert driven.saved.startswith("a*, b* of 21"), "round and back to the greys themselves"


@pytest.mark.long
async def test_enter_opens_every_step_as_a_table_and_escape_leads_back(booth: Booth) -> None:
    async with booth((120, 36)) as driven:
        await driven.press(*TO_BOTH, "enter")
        assert sum(row.strip("│").startswith("   grey L* ") for row in driven.rows) == 21
        assert "page 1 of" in driven.rows[0]
        await driven.press("escape")
        assert "crossover" in driven.text
        await driven.press("escape")
        assert driven.rows[0].startswith(" drydown")


@pytest.mark.long
async def test_f_holds_the_greys_against_another_tone_and_saves_nothing(booth: Booth, bench: Bench) -> None:
    before = log.session(bench, 3).revision
    async with booth() as driven:
        await driven.press(*TO_BOTH, "f", "f")
        assert driven.saved.startswith("Tone wanted: warm.")
        assert "wanted      warm, barely toned" in driven.text
        await driven.press("f", "f")
        assert driven.saved.startswith("Tone wanted: like session 3.")
        await driven.press("right")
        assert "session 2, against the tone of session 3" in driven.rows[0]
    assert log.session(bench, 3).revision == before


@pytest.mark.long
async def test_copy_keeps_the_sentence_and_all_numbers_in_a_file(booth: Booth, archive: Archive) -> None:
    async with booth() as driven:
        await driven.press(*TO_BOTH, "c")
        assert "neutrality-3-2.txt" in driven.saved
        await driven.press("c")
        rows = driven.app.clipboard.splitlines()
        assert rows[0].startswith("step\tL*\ta*\tb*") and len(rows) > 21
        await driven.press("c")
        assert "On Sallowfell Baryta 322, by the worst third" in driven.app.clipboard
    text = (archive.path.parent / "copied" / "neutrality-3-2.txt").read_text("utf-8")
    assert text.startswith("Neutrality, Sallowfell Baryta 322, session 3")
    assert "On Sallowfell Baryta 322, by the worst third" in text
    assert text.count("grey L* ") > 21 and "Side by side" in text and "What limits this" in text


@pytest.mark.long
async def test_from_weigh_it_opens_over_it_and_steps_are_reached_from_it(booth: Booth) -> None:
    async with booth() as driven:
        await driven.press("j", "j", "j", "j", "g", "5", "g", "n")
        assert "session 2, against" in driven.rows[0]
        assert "Left Right" not in driven.keys, "one print alone"
        await driven.press("escape")
        assert "5 Weigh" in driven.text
        await driven.press("g", "n", "g", "1")
        assert "1 Describe" in driven.text and "session 2" in driven.rows[0]
        assert len(driven.app.screen_stack) == 2


@pytest.mark.long
async def test_a_scale_without_its_grade_asks_before_it_is_shown(booth: Booth, bench: Bench) -> None:
    look.start(bench, 3, observer="observer 3")
    async with booth() as driven:
        await driven.press("j", "j", "j", "g", "n")
        assert "its readings stay out of sight" in " ".join(driven.text.split())
        assert "dCh" not in driven.text
        await driven.press("enter", "0")
        assert "dCh" not in driven.text
        await driven.press("enter", "1")
        assert "crossover   none" in driven.text
        assert driven.saved == "Shown before its grade; that is recorded with the session."
    assert "mono_neutral" in log.session(bench, 3).viewings[-1].revealed


async def test_without_readings_it_says_so(booth: Booth) -> None:
    async with booth() as driven:
        await driven.press("g", "n")
        assert "Nothing was read in session 6 yet." in driven.text
        assert "Read its neutral scale with g 4." in driven.text
        await driven.press("v", "f", "enter")
        assert "Nothing was read in session 6 yet." in driven.text
