"""The code printed on a sheet ties a session to the map that the sheet was drawn with."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from evaluation.archive.connection import open_archive
from evaluation.errors import UsageProblem
from evaluation.readings.supplied import Supplied
from evaluation.session import Grade, PrintingCondition
from evaluation.sheet.aims import source_lab
from evaluation.sheet.load import map_text, read_map
from evaluation.sheet.patch_set import COLOUR_KINDS, MONO_KINDS, patch_set, set_of
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import begin, fields, sheets
from evaluation.work.look.look import answer, start
from evaluation.work.take_in import read

CODE = "W73H-CE5N"
DRAWN_BEFORE = Path(__file__).parents[1] / "sheet" / "data" / "drawn-before.toml"


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    """A bench whose archive has drawn one sheet: that of four regions, under a code of its own."""
    with open_archive(tmp_path / "archive.db", create=True) as archive:
        made = Bench(archive, now=lambda: datetime(2026, 3, 9, 12, tzinfo=UTC))
        text = re.sub(r'^code = ".*"$', f'code = "{CODE}"', map_text("colour-4"), count=1, flags=re.MULTILINE)
        sheets.remember(made, text, "drawn.sheet.toml", CODE)
        yield made


def test_a_code_typed_for_the_sheet_takes_its_map_and_its_size(bench: Bench) -> None:
    session = begin.begin(bench, PrintingCondition(paper="rag"), {})
    step = fields.say_field(bench, session.id, "sheet_size", "w73h ce5n")
    sheet = sheet_of(bench, step.session)
    assert sheet.code == CODE and len(sheet.regions) == 4
    assert fields.shown(step.session.condition, "sheet_size") == f"330.2 x 482.6 mm, {CODE}"
    sheets.note_code(bench, "GETK-B33Q", "0" * 64)
    assert fields.offered(bench, "sheet_size") == ("GETK-B33Q", CODE), "the last drawn first"


def test_a_code_of_no_sheet_drawn_here_is_told(bench: Bench) -> None:
    session = begin.begin(bench, PrintingCondition(), {})
    with pytest.raises(UsageProblem):
        fields.say_field(bench, session.id, "sheet_size", "W73H-CE5M")


def test_a_code_of_a_sheet_drawn_elsewhere_is_known_once_its_map_was_given(bench: Bench) -> None:
    text = re.sub(r'^code = ".*"$', 'code = "GETK-B33Q"', map_text("mono-7"), count=1, flags=re.MULTILINE)
    with pytest.raises(UsageProblem, match=r"next to its picture, as OUT\.sheet\.toml.*--sheet"):
        sheets.by_code(bench, "GETK-B33Q")
    begin.begin(bench, PrintingCondition(), {}, map_text=text, map_name="guest.sheet.toml")
    assert sheets.by_code(bench, "getk b33q") == ("guest.sheet.toml", text)
    own = re.sub(r'^code = ".*"$', 'code = "our own"', text, count=1, flags=re.MULTILINE)
    begin.begin(bench, PrintingCondition(), {}, map_text=own, map_name="own.toml")  # a code of another maker


def test_without_a_code_a_print_is_of_the_sheet_as_it_is_drawn_now(bench: Bench) -> None:
    """Patch for patch that of today's page; an earlier sheet is had by its code, and stays of its time."""
    session = begin.begin(bench, PrintingCondition(), {})
    for made_for, kinds in (("general", COLOUR_KINDS), ("black and white", MONO_KINDS)):
        session = fields.say_field(bench, session.id, "made_for", made_for).session
        today = {patch.id: patch.source for patch in patch_set(kinds, "srgb", 5) if patch.region != "ring"}
        ours = {p.id: p.source for p in sheet_of(bench, session).patches if p.region != "ring"}
        assert ours.keys() == today.keys()
        assert all(ours[name] == pytest.approx(today[name], abs=2e-5) for name in today)
        assert {region.kind for region in sheet_of(bench, session).regions} == {
            set_of(kind) for kind in kinds
        }
    session = fields.say_field(bench, session.id, "sheet_size", "yach2p57").session
    assert sheet_of(bench, session).code == "YACH-2P57"
    for made_for, code in (("black and white", "89R9-H4RN"), ("portrait", "YACH-2P57")):
        session = begin.begin_like(bench, session.id)
        session = fields.say_field(bench, session.id, "made_for", made_for).session
        assert sheet_of(bench, session).code == code


def test_a_sheet_that_was_graded_stays(bench: Bench) -> None:
    session = begin.begin(bench, PrintingCondition(), {})
    start(bench, session.id)
    answer(bench, session.id, "skin", "overall", Grade(4))
    with pytest.raises(UsageProblem, match="keeps its sheet"):
        fields.say_field(bench, session.id, "sheet_size", CODE)
    assert sheet_of(bench, fields.sessions.load(bench.archive, session.id)).code != CODE


def test_a_size_is_still_a_size(bench: Bench) -> None:
    session = begin.begin(bench, PrintingCondition(), {})
    step = fields.say_field(bench, session.id, "sheet_size", "13x19in")
    assert step.session.condition.sheet_width_mm == pytest.approx(330.2)


def test_a_print_of_a_sheet_with_earlier_patch_codes_is_found_and_read(bench: Bench, tmp_path: Path) -> None:
    """Ids are the map's, and a session keeps its map: K05 on a print stays K05 in its readings."""
    text = DRAWN_BEFORE.read_text("utf-8")
    sheet = read_map(text, DRAWN_BEFORE.name)
    sheets.remember(bench, text, DRAWN_BEFORE.name, sheet.code)
    session = begin.begin(bench, PrintingCondition(paper="rag"), {})
    session = fields.say_field(bench, session.id, "sheet_size", sheet.code.lower()).session
    assert sheet_of(bench, session) == sheet
    rows = [
        f"{patch.id}\t{L:.2f}\t{a:.2f}\t{b:.2f}"
        for patch, (L, a, b) in zip(sheet.patches, source_lab(sheet), strict=True)
    ]
    strip = tmp_path / "strip.txt"
    head = "ISO28178\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n"
    strip.write_text(head + "\n".join(rows) + "\nEND_DATA\n", "utf-8")
    found = read.preview(bench, session.id, strip, Supplied(printed_as="managed"))
    session = read.take_in(bench, session.id, found).session
    (taken,) = read.taken_in(bench, session)
    assert taken.matched_by == "id" and len(taken.matched) == len(sheet.patches)
    assert {"K05", "CA8", "P1"} <= taken.matched.keys()
