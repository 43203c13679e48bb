"""Settings stepped through from the archive: charts of one printer and paper, as read, else as promised."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from evaluation.appendix.case import Choices
from evaluation.appendix.drawing.marks import overlaps
from evaluation.appendix.drawing.multiples import multiples
from evaluation.archive.connection import open_archive
from evaluation.errors import UsageProblem
from evaluation.readings.colours import colours
from evaluation.readings.supplied import Supplied
from evaluation.session import PrintingCondition
from evaluation.telling import growth as words
from evaluation.work.bench import Bench
from evaluation.work.describe import begin
from evaluation.work.gamut import gamut, growth_document, of_sessions
from evaluation.work.take_in import read
from evaluation.work.write_up import write_up
from fixtures import cgats
from fixtures.printer import icc
from fixtures.printer.bands import Array
from fixtures.printer.machine import Machine
from fixtures.printer.papers import PAPERS
from fixtures.printer.printing import unmanaged
from tests.profile.carrying import carrying, table, text_tag

LUSTRE = Machine(PAPERS["Sallowfell Lustre 247"])
CONDITION = PrintingCondition(printer="Merrowby 24", paper="Sallowfell Lustre 247")
PROFILES = Path(icc.__file__).parents[1] / "profiles"
STEPS = np.linspace(0, 1, 6)
CUBE: Array = np.stack(np.meshgrid(STEPS, STEPS, STEPS, indexing="ij"), axis=-1).reshape(-1, 3)


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    with open_archive(tmp_path / "archive.db", create=True) as archive:
        yield Bench(archive, now=lambda: datetime(2026, 3, 9, 12, tzinfo=UTC))


def begun(
    bench: Bench, folder: Path, quality: str, machine: Machine | None, seed: int, profile: str = ""
) -> int:
    condition = replace(CONDITION, quality=quality, profile=f"{profile}.icc" if profile else "")
    content = (PROFILES / condition.profile).read_bytes() if profile else None
    made = begin.begin(bench, condition, {}, profile=content).id
    if machine is not None:
        path = folder / f"{quality}-{seed}.txt"
        found = unmanaged(machine, CUBE, np.random.default_rng(seed))
        path.write_text(cgats.text(found, path.stem, datetime(2026, 2, 27, 9, tzinfo=UTC)), "utf-8")
        given = Supplied(printed_as="unmanaged")
        read.take_in(bench, made, read.preview(bench, made, path, given))
    return made


@pytest.mark.long
def test_charts_of_three_settings_are_measured_and_the_picture_of_words_is_whole(
    bench: Bench, tmp_path: Path
) -> None:
    levels = {"fine": LUSTRE, "finest": replace(LUSTRE, quality=5), "coated": replace(LUSTRE, ink_level=1.09)}
    ids = [begun(bench, tmp_path, name, machine, 3) for name, machine in levels.items()]
    found = of_sessions.of_sessions(bench, ids)
    assert [one.name for one in found.settings] == ["fine", "finest", "coated"]
    assert found.measured and found.patches == 152 and found.sheets is not None and found.sheets.sheets == 0
    assert [(step.base, step.to) for step in found.steps] == [(0, 1), (0, 2), (1, 2)]
    first, second = found.step(0, 1), found.step(0, 2)
    assert first.growth.mean == pytest.approx(0.39, abs=0.06)
    assert words.cell_words(first, 1, 1).startswith("yellow middle +0.6, within what sheets differ by")
    assert "visible" in {word for row in second.words for word in row}
    told = " ".join([*words.step_words(found, first), *words.basis(found)])
    assert "outwards on average" in told and "1.73 times" in told and "sheet_mean" in told
    assert found.settings[1].surface.all_ > found.settings[0].surface.all_ > 0.4
    for wide in (482.0, 238.0):
        assert overlaps(multiples(words.slices(found, second), wide), 1.15) == 0
    document = growth_document.document(found)
    assert document["basis"] == "measured" and len(document["steps"][0]["cells"]) == 18
    assert len(growth_document.as_csv(found).splitlines()) == 1 + 3 * 18


@pytest.mark.long
def test_eight_sheets_in_repeated_settings_tell_more_than_the_usual_spread(
    bench: Bench, tmp_path: Path
) -> None:
    """Sessions of one setting are sheets of it, and sheets of the whole printer are the limit."""
    finest = replace(LUSTRE, quality=5)
    ids = [begun(bench, tmp_path, "fine", LUSTRE, seed) for seed in (1, 2, 3, 4)]
    ids += [begun(bench, tmp_path, "finest", finest, seed) for seed in (5, 6, 7, 8)]
    found = of_sessions.of_sessions(bench, ids)
    assert [one.sheets for one in found.settings] == [4, 4]
    assert found.sheets is not None and found.sheets.sheets == 8
    step = found.step(0, 1)
    assert words.cell_words(step, 3, 1) == "cyan middle +0.5, measured, not visible"
    assert "what 8 sheets of this printer differ by" in " ".join(words.basis(found))


@pytest.mark.long
def test_without_shared_patches_profiles_promise_and_say_so(bench: Bench, tmp_path: Path) -> None:
    ids = [
        begun(bench, tmp_path, "fine", LUSTRE, 1, "sallowfell-lustre-fine"),
        begun(bench, tmp_path, "finest", None, 2, "sallowfell-lustre-finest"),
    ]
    found = of_sessions.of_sessions(bench, ids)
    assert not found.measured and found.sheets is None
    assert found.step(0, 1).growth.mean == pytest.approx(0.36, abs=0.03)
    assert "Profile making included, sheet spread unknown." in words.basis(found)
    drawn = write_up.as_text(write_up.appendix(bench, ids, Choices()))
    assert "Settings stepped through" in drawn and "Finest over fine: 60" in drawn
    section = drawn[drawn.index("Settings stepped through") :]
    assert section.index("surface colours held") < section.index("lightness and chroma in six hues")
    assert growth_document.document(found)["steps"][0]["cells"][0]["limit"] is None
    steps = np.linspace(0, 255, 64).astype(np.uint8)
    green = np.stack(np.broadcast_arrays(np.uint8(0), steps[:, None], steps[None] // 2), axis=-1)
    Image.fromarray(np.kron(green, np.ones((4, 4, 1), np.uint8))).save(tmp_path / "greens.png")
    held = of_sessions.of_sessions(bench, ids, tmp_path / "greens.png")
    gain = held.newly_held(held.step(0, 1))
    assert gain is not None and 0 < gain < 0.2
    assert words.step_words(held, held.step(0, 1))[0].endswith(" do now).")
    assert "of greens.png newly held" in words.step_words(held, held.step(0, 1))[0]


@pytest.mark.long
def test_profiles_that_carry_their_readings_are_measured_by_them(tmp_path: Path) -> None:
    names = "SAMPLE_ID RGB_R RGB_G RGB_B LAB_L LAB_A LAB_B"
    paths = []
    for quality, machine in (("fine", LUSTRE), ("finest", replace(LUSTRE, quality=5))):
        (run,) = unmanaged(machine, CUBE, np.random.default_rng(4))
        rows = [
            (n, *(f"{255 * v:.2f}" for v in device), *(f"{v:.3f}" for v in lab))
            for n, (device, lab) in enumerate(zip(CUBE, colours(run).lab_d50, strict=True), 1)
        ]
        sound = (PROFILES / f"sallowfell-lustre-{quality}.icc").read_bytes()
        paths.append(tmp_path / f"{quality}.icc")
        paths[-1].write_bytes(carrying(sound, {b"targ": text_tag(table(names, rows))}))
    found = gamut.gamuts(paths, None, sheet_mean=0.5).growth
    assert found is not None and found.measured and found.patches == 152
    assert found.step(0, 1).growth.mean == pytest.approx(0.39, abs=0.06)


def test_what_cannot_be_stepped_through_is_refused_with_a_remedy(bench: Bench, tmp_path: Path) -> None:
    fine = begun(bench, tmp_path, "fine", LUSTRE, 1)
    with pytest.raises(UsageProblem, match="one setting"):
        of_sessions.of_sessions(bench, [fine, begun(bench, tmp_path, "fine", None, 1)])
    bare = begun(bench, tmp_path, "draft", None, 1)
    with pytest.raises(UsageProblem, match=f"none in session {bare}"):
        of_sessions.of_sessions(bench, [fine, bare])
