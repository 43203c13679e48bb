"""Device values in one file, readings in another; files that speak of another print than the session's."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.errors import FileProblem, UsageProblem
from evaluation.readings.supplied import Doubtful, OpenQuestions, Supplied
from evaluation.session import PrintingCondition
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import begin
from evaluation.work.take_in import facts, read
from tests.profile.carrying import table

UNMANAGED = Supplied(printed_as="unmanaged")
RGB = [(r, g, b) for r in (0, 85, 170, 255) for g in (0, 85, 170, 255) for b in (0, 85, 170, 255)]
COLOURS = [(round(10 + sum(rgb) / 9, 2), rgb[0] / 10, -rgb[2] / 10) for rgb in RGB]


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    with open_archive(tmp_path / "archive.db", create=True) as archive:
        yield Bench(archive, now=lambda: datetime(2026, 3, 9, 12, tzinfo=UTC))


@pytest.fixture
def made(bench: Bench) -> int:
    return begin.begin(bench, PrintingCondition(), {}).id


def two(folder: Path, ids: list[str], listed: list[str], names: list[str] | None = None) -> tuple[Path, Path]:
    """Colours without device values, in an order of their own, and the list of what was printed."""
    readings, printed = folder / "colours.txt", folder / "list.txt"
    turned = [*range(len(RGB))][::-1]
    rows = [(f'"{ids[n]}"', *COLOURS[n]) for n in turned]
    readings.write_text(table("SAMPLE_ID LAB_L LAB_A LAB_B", rows))
    named = names or [f"N{n}" for n in range(len(RGB))]
    printed.write_text(
        table(
            "SAMPLE_ID SAMPLE_NAME RGB_R RGB_G RGB_B",
            [(f'"{i}"', f'"{name}"', *rgb) for i, name, rgb in zip(listed, named, RGB, strict=True)],
        )
    )
    return readings, printed


NUMBERS = [str(n) for n in range(1, 65)]
PLACES = [f"{'ABCDEFGH'[n // 8]}{n % 8 + 1}" for n in range(64)]


@pytest.mark.parametrize(
    ("ids", "listed", "names", "way"),
    [
        (NUMBERS, [f"{n:04}" for n in range(1, 65)], None, "id"),
        (PLACES, NUMBERS, [place.lower() for place in PLACES], "name"),
    ],
)
def test_device_values_of_another_file_are_joined(
    bench: Bench, made: int, tmp_path: Path, ids: list[str], listed: list[str], names: list[str], way: str
) -> None:
    readings, printed = two(tmp_path, ids, listed, names)
    (taken,) = read.preview(bench, made, readings, replace(UNMANAGED, device_list=printed)).taken
    assert taken.run.device is not None and taken.run.lab is not None
    for rgb, lab in zip(taken.run.device * 255, taken.run.lab, strict=True):
        np.testing.assert_allclose(lab, COLOURS[RGB.index(tuple(int(v) for v in rgb.round()))])
    assert f"device values from list.txt, joined by {way}" in taken.run.remarks


def test_fields_of_a_chart_that_go_by_names_of_the_sheets_patches_are_none_of_them(
    bench: Bench, made: int, tmp_path: Path
) -> None:
    """Letter and number, as common practice has it: T1 to T5 are called as process patches are."""
    ids = [f"{'STUVWXYZ'[n // 8]}{n % 8 + 1}" for n in range(64)]
    readings, printed = two(tmp_path, ids, ids)
    found = read.preview(bench, made, readings, replace(UNMANAGED, device_list=printed))
    (taken,) = found.taken
    assert not taken.matched and len(taken.unmatched_rows) == 64
    assert any("none of this sheet's" in remark for remark in found.remarks)


def test_place_joins_only_what_counts_alike_and_with_consent(bench: Bench, made: int, tmp_path: Path) -> None:
    readings, printed = two(tmp_path, [f"x{n}" for n in range(64)], PLACES)
    said = replace(UNMANAGED, device_list=printed)
    with pytest.raises(OpenQuestions, match=r"rows of both files in the same order.*--by-order"):
        read.preview(bench, made, readings, said)
    (taken,) = read.preview(bench, made, readings, facts.said_with(said, "by_order", "yes")).taken
    assert taken.run.device is not None
    np.testing.assert_allclose(taken.run.device * 255, RGB)
    assert "device values from list.txt, joined by place" in taken.run.remarks
    short = printed.with_name("short.txt")
    short.write_text(table("SAMPLE_ID RGB_R RGB_G RGB_B", [(k, *rgb) for k, rgb in enumerate(RGB[:9])]))
    with pytest.raises(FileProblem, match="64 readings and 9 patches, with no id or name in common"):
        read.preview(bench, made, readings, replace(said, device_list=short, by_order=True))
    with pytest.raises(FileProblem, match=r"colours\.txt.*no device values"):
        read.preview(bench, made, readings, replace(said, device_list=readings))


def test_rows_that_are_only_counted_have_no_ids(bench: Bench, tmp_path: Path) -> None:
    """Neither the list nor a sheet whose ids are numbers takes the count of rows for ids."""
    bare, printed = tmp_path / "bare.txt", tmp_path / "list.txt"
    colours = [(n + 10, n / 2, -n) for n in range(24)]
    bare.write_text(table("LAB_L LAB_A LAB_B", colours))
    sent = [(f"{n:02}", n, 2 * n, 255) for n in range(24, 0, -1)]
    printed.write_text(table("SAMPLE_ID RGB_R RGB_G RGB_B", sent))
    chart = Path(__file__).parents[1] / "sheet/data/chart-24.toml"
    session = begin.begin(bench, PrintingCondition(), {}, map_text=chart.read_text("utf-8")).id
    with pytest.raises(OpenQuestions, match=r"as many rows as patches.*--by-order"):
        read.preview(bench, session, bare, Supplied())
    said = Supplied(device_list=printed)
    with pytest.raises(OpenQuestions, match="24 rows in each, and no ids in one of them"):
        read.preview(bench, session, bare, said)
    (taken,) = read.preview(bench, session, bare, replace(said, by_order=True)).taken
    assert [ref.id for ref in taken.run.patches] == [f"{n:02}" for n in range(24, 0, -1)]
    assert (taken.matched_by, taken.matched["24"]) == ("id", (0,))


def test_a_file_that_fits_no_sheet_offers_the_list_and_a_path_answers(
    bench: Bench, made: int, tmp_path: Path
) -> None:
    readings, printed = two(tmp_path, NUMBERS, NUMBERS)
    with pytest.raises(Doubtful, match="name the list that it was printed from with --with LIST") as caught:
        read.preview(bench, made, readings, UNMANAGED)
    (asked,) = caught.value.questions
    assert asked.field == "device_list"
    said = facts.said_with(UNMANAGED, asked.field, str(printed))
    assert read.preview(bench, made, readings, said).taken[0].run.device_space == "RGB"


def chart(path: Path, descriptor: str) -> Path:
    rows = [(n, *rgb, *lab) for n, (rgb, lab) in enumerate(zip(RGB, COLOURS, strict=True))]
    words = f'DESCRIPTOR "{descriptor}"\n' if descriptor else ""
    path.write_text(table("SAMPLE_ID RGB_R RGB_G RGB_B LAB_L LAB_A LAB_B", rows, words))
    return path


@pytest.mark.parametrize(
    ("paper", "name", "descriptor", "asked"),
    [
        (
            "Brackmoor Rag 310",
            "chart.txt",
            "Sallowfell Lustre 247, fine",
            "This file says Lustre, the session Rag",
        ),
        ("Brackmoor Rag 310", "my-luster_1.txt", "", "This file says Luster, the session Rag"),
        (
            "Hollin 210",
            "chart.txt",
            "printed on Tarn Board",
            "This file says Tarn Board, the session Hollin 210",
        ),
        ("Brackmoor Rag 310", "chart.txt", "a matte paper", ""),
        ("Sallowfell Baryta", "chart.txt", "glossy", ""),
        ("Sallowfell Lustre", "lustre-on-rag-day.txt", "", ""),
        ("", "lustre.txt", "", ""),
    ],
)
def test_a_file_that_speaks_of_another_paper_is_asked_about(
    bench: Bench, tmp_path: Path, paper: str, name: str, descriptor: str, asked: str
) -> None:
    begin.begin(bench, PrintingCondition(paper="Tarn Board", printer="Merrowby 24"), {})
    made = begin.begin(bench, PrintingCondition(paper=paper, printer="Aldermoor 9"), {}).id
    path = chart(tmp_path / name, descriptor)
    if not asked:
        assert read.preview(bench, made, path, UNMANAGED).taken
        return
    with pytest.raises(Doubtful, match=r"another paper.*--anyway") as caught:
        read.preview(bench, made, path, UNMANAGED)
    (question,) = caught.value.questions
    assert (question.field, question.question) == ("anyway", asked)
    assert read.preview(bench, made, path, facts.said_with(UNMANAGED, "anyway", "yes")).taken


def test_a_date_that_names_no_day_is_not_taken() -> None:
    with pytest.raises(UsageProblem, match=r"a date, as 2015-05-12 or .* Found: “May 2015”"):
        facts.said_with(UNMANAGED, "measured_at", "May 2015")
    assert facts.said_with(UNMANAGED, "measured_at", "").measured_at is None


def test_another_printer_is_asked_about(bench: Bench, tmp_path: Path) -> None:
    begin.begin(bench, PrintingCondition(printer="Merrowby 24"), {})
    made = begin.begin(bench, PrintingCondition(printer="Aldermoor 9"), {}).id
    with pytest.raises(Doubtful, match="another printer"):
        read.preview(bench, made, chart(tmp_path / "one.txt", "chart of the Merrowby 24"), UNMANAGED)
    own = chart(tmp_path / "two.txt", "Aldermoor 9, after the Merrowby 24")
    assert read.preview(bench, made, own, UNMANAGED).taken


def test_readings_from_before_the_print_are_asked_about(bench: Bench, tmp_path: Path) -> None:
    printed = datetime(2026, 3, 4, 15, 30, tzinfo=UTC)
    made = begin.begin(bench, PrintingCondition(paper="Hollin 210", printed_at=printed), {}).id
    patches = sheet_of(bench, sessions.load(bench.archive, made)).patches[:2]
    rows = [(patch.id, 90, 0, 0) for patch in patches]

    def dated(when: str) -> Path:
        path = tmp_path / "strip.txt"
        path.write_text(table("SAMPLE_ID LAB_L LAB_A LAB_B", rows, f'MEASUREMENT_DATE "{when}"\n'))
        return path

    managed = Supplied(printed_as="managed")
    with pytest.raises(Doubtful, match=r"after the print.*Found: readings of 2026-03-03") as caught:
        read.preview(bench, made, dated("2026-03-03"), managed)
    assert [question.field for question in caught.value.questions] == ["anyway", "measured_at"]
    assert "print made 2026-03-04" in caught.value.questions[0].question
    for settled in (
        facts.said_with(managed, "anyway", "yes"),
        facts.said_with(managed, "measured_at", "2026-03-05"),
    ):
        assert read.preview(bench, made, dated("2026-03-03"), settled).taken
    for later in ("2026-03-04", "2026-03-04T16:00:00+00:00"):  # the day of printing, without and with a time
        assert read.preview(bench, made, dated(later), managed).taken
