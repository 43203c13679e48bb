"""A file of another chart is refused in one sentence that says what fits where; a few strays are not."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.errors import FileProblem
from evaluation.readings.supplied import OpenQuestions, Supplied
from evaluation.session import PrintingCondition
from evaluation.sheet.load import map_text
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import begin
from evaluation.work.take_in import facts, read
from fixtures.printer import icc

READINGS = Path(icc.__file__).parents[1] / "readings"


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    with open_archive(tmp_path / "archive.db", create=True) as archive:
        yield Bench(archive, now=lambda: datetime(2026, 3, 9, 12, tzinfo=UTC))


def begun(bench: Bench, name: str = "colour-9") -> int:
    """A session of the sheet that the readings of the fixtures are of."""
    return begin.begin(bench, PrintingCondition(), {}, map_text=map_text(name), map_name=name).id


def refusal(bench: Bench, session_id: int, path: Path) -> FileProblem:
    with pytest.raises(FileProblem) as caught:
        read.preview(bench, session_id, path, Supplied(printed_as="managed"))
    assert not sessions.load(bench.archive, session_id).runs
    return caught.value


def test_readings_of_the_mono_sheet_are_none_of_the_colour_sheet(bench: Bench) -> None:
    """Its greys are on both, its second table wholly so: the file is of the mono sheet all the same."""
    colour = begun(bench)
    problem = refusal(bench, colour, READINGS / "baryta-mono-driver.txt")
    assert "baryta-mono-driver.txt, table 1" in problem.sentence
    assert "127 of its 154 patches are of this sheet, by source values" in problem.found
    assert "154 are of “Reference sheet, mono" in problem.found and "by id" in problem.found
    assert "a session of that sheet" in problem.remedy


def test_readings_of_the_colour_sheet_are_none_of_the_mono_sheet(bench: Bench) -> None:
    mono = begun(bench, "mono-7")
    problem = refusal(bench, mono, READINGS / "lustre-fine.txt")
    assert "380 are of “Reference sheet, 330" in problem.found


def chart(path: Path, own: int, strays: int) -> Path:
    """A table of greys that the sheet has, and of colours that no sheet has."""
    rows = [(f"Q{k}", round(255 * k / 20), round(255 * k / 20), round(255 * k / 20)) for k in range(own)]
    rows += [(f"S{k}", 10 + 9 * k, 200 - 9 * k, 17) for k in range(strays)]
    text = "BEGIN_DATA_FORMAT\nSAMPLE_ID RGB_R RGB_G RGB_B LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n"
    text += "\n".join(f"{name} {r} {g} {b} {g / 2.55:.1f} 0 0" for name, r, g, b in rows) + "\nEND_DATA\n"
    path.write_text(text)
    return path


def test_a_chart_that_no_sheet_fits_is_refused_where_only_some_values_are_alike(
    bench: Bench, tmp_path: Path
) -> None:
    made = begun(bench)
    path = chart(tmp_path / "other.txt", own=2, strays=12)
    with pytest.raises(FileProblem, match="another chart"):
        read.preview(bench, made, path, Supplied(printed_as="managed", rgb_scale=255))


def test_ids_alike_do_not_make_a_chart_the_sheet(bench: Bench, tmp_path: Path) -> None:
    """Fields called by letter and number, as common practice has it: five of them are called as ours."""
    path = tmp_path / "strips.txt"
    rows = "".join(f"{strip}{place} {20 + place} 0 0\n" for strip in "TX" for place in range(1, 11))
    fields = "BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n"
    path.write_text(f"CGATS.17\n{fields}BEGIN_DATA\n{rows}END_DATA\n")
    found = refusal(bench, begun(bench), path).found
    assert found == "another chart (5 of its 20 ids also stand on this sheet)"


def test_printed_unmanaged_it_is_the_profiles_and_no_sheets(bench: Bench, tmp_path: Path) -> None:
    made = begun(bench)
    path = chart(tmp_path / "other.txt", own=2, strays=12)
    assert read.preview(bench, made, path, Supplied(printed_as="unmanaged", rgb_scale=255)).taken


def test_with_consent_to_the_order_nothing_is_refused(bench: Bench, tmp_path: Path) -> None:
    made = begun(bench)
    path = chart(tmp_path / "other.txt", own=2, strays=12)
    said = Supplied(printed_as="managed", rgb_scale=255)
    assert read.preview(bench, made, path, replace(said, by_order=True)).taken[0].matched_by == "order"


def test_rows_that_only_their_order_could_tell_are_asked_about(bench: Bench, tmp_path: Path) -> None:
    made = begin.begin(bench, PrintingCondition(), {})
    patches = sheet_of(bench, made).patches
    path = tmp_path / "bare.csv"
    path.write_text("L*,a*,b*\n" + "".join(f"{20 + k % 70},0,0\n" for k in range(len(patches))), "utf-8")
    said = Supplied(printed_as="managed", illuminant="D50", observer="2")
    with pytest.raises(OpenQuestions, match="State it with --by-order") as caught:
        read.preview(bench, made.id, path, said)
    assert [ask.field for ask in caught.value.questions] == ["by_order"]
    told = facts.said_with(said, "by_order", "yes")
    (taken,) = read.preview(bench, made.id, path, told).taken
    assert taken.matched_by == "order" and len(taken.matched) == len(patches)
    assert facts.said_with(told, "by_order", "no") == said


def test_a_few_strays_are_pointed_out_and_the_rest_is_read(bench: Bench, tmp_path: Path) -> None:
    made = begun(bench)
    text = (READINGS / "lustre-fine.txt").read_text("utf-8")
    lines = text.splitlines()
    at = lines.index("BEGIN_DATA")
    stray = lines[at + 5].split("\t")
    stray[0], stray[1] = "X1", "a stray"
    columns = lines[lines.index("BEGIN_DATA_FORMAT") + 1].split("\t")
    stray[next(k for k, name in enumerate(columns) if name.endswith("_R"))] = "3.21"
    lines.insert(at + 6, "\t".join(stray))
    text = "\n".join(line for line in lines if not line.startswith("NUMBER_OF_SETS")) + "\n"
    path = tmp_path / "strays.txt"
    path.write_text(text, "utf-8")
    taken = read.preview(bench, made, path, Supplied(printed_as="managed")).taken[0]
    assert len(taken.unmatched_rows) == 1 and len(taken.matched) == 408


def test_ids_of_this_sheet_with_other_values_are_told_apart_from_another_chart(
    bench: Bench, tmp_path: Path
) -> None:
    """As where the sheet was drawn in another encoding, or a program wrote what a profile made of it."""
    made = begun(bench)
    lines = (READINGS / "lustre-fine.txt").read_text("utf-8").splitlines()
    columns = lines[lines.index("BEGIN_DATA_FORMAT") + 1].split("\t")
    places = [k for k, name in enumerate(columns) if name in ("RGB_R", "RGB_G", "RGB_B")]
    assert len(places) == 3
    for row, line in enumerate(lines):
        cells = line.split("\t")
        if len(cells) == len(columns) and cells != columns:
            for k in places:
                cells[k] = f"{255 * (float(cells[k]) / 255) ** 0.8:.2f}"
            lines[row] = "\t".join(cells)
    path = tmp_path / "drawn-otherwise.txt"
    path.write_text("\n".join(lines) + "\n", "utf-8")
    problem = refusal(bench, made, path)
    assert "others beside 408 of its ids" in problem.found and "map" in problem.remedy
