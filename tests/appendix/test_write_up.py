"""Write up, on a real archive: through the gate, whole or not at all, kept and said."""

import os
from dataclasses import replace
from pathlib import Path

import pytest

from evaluation.appendix import html, pdf
from evaluation.appendix.case import Choices
from evaluation.appendix.document import walked
from evaluation.appendix.unchanged import check_file
from evaluation.archive import documents, sessions
from evaluation.archive.connection import open_archive
from evaluation.errors import DrydownError, FileProblem, UsageProblem
from evaluation.session import Grade
from evaluation.telling.metrics import telling
from evaluation.telling.table import Table
from evaluation.work import onto_disk
from evaluation.work.look import look
from evaluation.work.weigh import weigh
from evaluation.work.weigh.document import document as weighing_document
from evaluation.work.write_up import write_up
from tests.cases import some_now


def test_the_file_is_kept_in_the_archive_and_the_session_says_so(archive_bench, tmp_path):
    written = write_up.write(archive_bench, [1], tmp_path / "lustre.html")
    assert written.words == "Written: lustre.html."
    name, kept = documents.fetch(archive_bench.archive, written.digest)
    assert (name, kept) == ("lustre.html", (tmp_path / "lustre.html").read_bytes())
    assert written.digest in sessions.load(archive_bench.archive, 1).written


@pytest.mark.parametrize("ending", some_now([".html", ".md", ".pdf"], ".html"))
def test_what_was_written_is_unchanged(archive_bench, tmp_path, ending):
    write_up.write(archive_bench, [1], tmp_path / f"a{ending}")
    assert check_file(tmp_path / f"a{ending}").unchanged


def test_the_same_archive_gives_the_same_bytes(archive_bench, tmp_path):
    first, again = tmp_path / "a.html", tmp_path / "b.html"
    write_up.write(archive_bench, [1], first)
    page = html.render(write_up.appendix(archive_bench, [1]))
    again.write_text(page, "utf-8", newline="\n")
    assert first.read_bytes() == again.read_bytes()


def test_no_reading_of_an_ungraded_region_is_in_the_page(archive_bench):
    document = write_up.appendix(archive_bench, [1])
    page = html.render(document)
    region = next(r for r in document.findings[0]["regions"] if r["id"] == "saturation")
    assert region["instrument"] is None and region["agreement"] == "not graded yet"
    assert "session-1-saturation-ramps" not in page and "hue turn" not in page


def test_the_numbers_of_the_page_are_those_of_the_findings(archive_bench):
    document = write_up.appendix(archive_bench, [1])
    weighing = weighing_document(weigh.weigh(archive_bench, 1))
    assert document.findings[0] == weighing
    page = html.render(document)
    for region in weighing["regions"]:
        for voice in ("eye", "instrument", "combined"):
            if region[voice]:
                assert f"{region[voice]['grade']:.1f} ± {region[voice]['spread']:.1f}" in page


def test_every_value_of_a_metric_is_that_of_the_findings_to_the_digits_shown(archive_bench):
    document = write_up.appendix(archive_bench, [1])
    blocks = {section.id: section.blocks for section in walked(document.sections)}
    checked = 0
    for region in document.findings[0]["regions"]:
        shown = [
            row
            for block in blocks[f"session-1-region-{region['id']}"]
            if isinstance(block, Table) and block.title.startswith("What the readings say")
            for row in block.rows
        ]
        stated = region["instrument"]["metrics"] if region["instrument"] else {}
        assert [row[0] for row in shown] == [telling(name).name for name in stated]
        for row, value in zip(shown, stated.values(), strict=True):
            number = row[1].partition(" ")[0].replace("−", "-")
            decimals = len(number.partition(".")[2])
            assert float(number) == pytest.approx(value, abs=0.51 * 10**-decimals + 5e-5)
            checked += 1
    assert checked > 8


def test_another_ending_is_refused_before_any_work(archive_bench, tmp_path):
    with pytest.raises(UsageProblem, match=r"ending in \.html, \.md or \.pdf\. Found: \.docx"):
        write_up.write(archive_bench, [1], tmp_path / "a.docx")


def test_a_file_that_is_there_is_overwritten_only_when_told(archive_bench, tmp_path):
    file = tmp_path / "a.md"
    file.write_text("mine", "utf-8")
    with pytest.raises(UsageProblem, match="there already"):
        write_up.write(archive_bench, [1], file)
    assert file.read_text("utf-8") == "mine" and not sessions.load(archive_bench.archive, 1).written
    write_up.write(archive_bench, [1], file, overwrite=True)
    assert file.read_text("utf-8").startswith("# Review appendix: Sallowfell Lustre 247")


def test_a_write_that_breaks_off_leaves_the_earlier_file_and_nothing_beside_it(tmp_path, monkeypatch):
    file = tmp_path / "a.md"
    file.write_text("earlier", "utf-8")

    def broken(descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", broken)
    with pytest.raises(DrydownError, match=r"Found: no room left on the disk.*Make room there"):
        onto_disk.put(file, b"new", "Nothing was written.")
    assert file.read_text("utf-8") == "earlier" and list(tmp_path.iterdir()) == [file]


def test_a_full_disk_leaves_no_folder_of_pictures_behind(tmp_path, monkeypatch):
    calls = []

    def full_at_the_third(descriptor):
        calls.append(descriptor)
        if len(calls) == 3:
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full_at_the_third)
    files = {tmp_path / "x-pictures" / f"{n}.svg": b"<svg/>" for n in range(3)}
    with pytest.raises(DrydownError, match=r"Found: no room left on the disk"):
        onto_disk.put_all({**files, tmp_path / "x.md": b"text"}, "Nothing was written.")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_filled_is_taken_away_again(tmp_path):
    (tmp_path / "x.md").mkdir()
    with pytest.raises(DrydownError, match=r"Found: a folder of that name"):
        onto_disk.put_all(
            {tmp_path / "x-p" / "a.svg": b"x", tmp_path / "x.md": b"text"}, "Nothing was written."
        )
    assert not list(tmp_path.glob(".*"))


def test_a_folder_that_is_not_there_is_said(archive_bench, tmp_path):
    with pytest.raises(UsageProblem, match="Expected: a folder that is there"):
        write_up.write(archive_bench, [1], tmp_path / "none" / "a.md")
    assert not sessions.load(archive_bench.archive, 1).written


def test_an_archive_that_can_only_be_looked_at_still_gives_a_file(archive_bench, tmp_path):
    archive_bench.archive.close() if hasattr(archive_bench.archive, "close") else None
    with open_archive(archive_bench.archive.path, read_only=True) as archive:
        bench = replace(archive_bench, archive=archive)
        written = write_up.write(bench, [1], tmp_path / "a.md")
    assert "does not record that" in written.words and Path(written.path).exists()


def test_no_session_and_an_unknown_session_are_refused(archive_bench, tmp_path):
    with pytest.raises(UsageProblem):
        write_up.write(archive_bench, [], tmp_path / "a.md")
    with pytest.raises(UsageProblem):
        write_up.write(archive_bench, [99], tmp_path / "a.md")
    assert not (tmp_path / "a.md").exists()


def test_a_session_named_twice_is_written_up_once(archive_bench):
    assert len(write_up.appendix(archive_bench, [1, 1]).findings) == 1


def test_how_it_will_begin_is_how_it_begins(archive_bench):
    document = write_up.appendix(archive_bench, [1])
    first = write_up.beginning(document).splitlines()[0]
    assert first.startswith("Incomplete for general use: the regions graded carry")


def test_observers_are_named_only_when_chosen(archive_bench):
    by_role = html.render(write_up.appendix(archive_bench, [1]))
    by_name = html.render(write_up.appendix(archive_bench, [1], Choices("article", "name")))
    assert "Quist" not in by_role and "Wilhelmina Quist" in by_name


def test_pictures_of_markdown_lie_beside_it_and_every_one_is_referred_to(archive_bench, tmp_path):
    written = write_up.write(archive_bench, [1], tmp_path / "My Lustre.md")
    text = written.path.read_text("utf-8")
    files = sorted((tmp_path / "my-lustre-pictures").iterdir())
    assert files and sorted(written.beside) == files
    assert {f"](<my-lustre-pictures/{file.name}>)" in text for file in files} == {True}


def test_a_picture_that_is_there_already_is_not_overwritten(archive_bench, tmp_path):
    (tmp_path / "a-pictures").mkdir()
    mine = tmp_path / "a-pictures" / "session-1-neutral-track.svg"
    mine.write_text("mine", "utf-8")
    with pytest.raises(UsageProblem, match="there already"):
        write_up.write(archive_bench, [1], tmp_path / "a.md")
    assert mine.read_text("utf-8") == "mine" and not (tmp_path / "a.md").exists()


def test_data_lies_in_a_folder_beside_it(archive_bench, tmp_path):
    write_up.write(archive_bench, [1], tmp_path / "a.html", with_data=True)
    names = {file.name for file in (tmp_path / "a-data").iterdir()}
    assert names >= {"findings.json", "findings.csv", "grades.csv", "greys.csv", "session-1-readings-1.txt"}


def test_a_house_style_is_read_from_its_file(archive_bench, tmp_path):
    (tmp_path / "house.css").write_text("h1 { color: #202020 }", "utf-8")
    write_up.write(archive_bench, [1], tmp_path / "a.html", style=tmp_path / "house.css")
    assert "h1 { color: #202020 }" in (tmp_path / "a.html").read_text("utf-8")


def test_writing_again_with_nothing_changed_gives_the_same_bytes(archive_bench, tmp_path):
    first = write_up.write(archive_bench, [1], tmp_path / "a.html")
    again = write_up.write(archive_bench, [1], tmp_path / "b.html")
    assert first.digest == again.digest


def test_amending_says_what_changed_and_keeps_the_earlier_version(archive_bench, tmp_path):
    first = write_up.write(archive_bench, [1], tmp_path / "a.html")
    before = first.path.read_bytes()
    look.answer(archive_bench, 1, "neutral", "overall", Grade(3))
    second = write_up.write(archive_bench, [1], tmp_path / "a.html", overwrite=True)
    page = second.path.read_text("utf-8")
    assert "Changed since the version before" in page
    assert "Findings by region, 1 Neutral greyscale, eye: 3.0 ± 0.6; before: 4.0 ± 0.6" in page
    assert documents.fetch(archive_bench.archive, first.digest)[1] == before
    assert check_file(second.path).unchanged


def test_a_summary_is_not_compared_with_a_whole_appendix(archive_bench, tmp_path):
    write_up.write(archive_bench, [1], tmp_path / "a.html")
    document = write_up.appendix(archive_bench, [1], Choices(parts="summary"))
    assert document.changes == ()


@pytest.mark.long
def test_changed_pages_of_a_pdf_are_noticed(archive_bench, tmp_path, monkeypatch):
    written = write_up.write(archive_bench, [1], tmp_path / "a.pdf")
    changed = written.path.read_bytes().replace(b"/Lang(en-GB)", b"/Lang(en-US)")
    (tmp_path / "b.pdf").write_bytes(changed)
    assert changed != written.path.read_bytes()
    assert check_file(tmp_path / "b.pdf").what == (
        "Changed since it was written: the pages are not those that its content gives."
    )
    # What another template set is not called changed: nobody touched it.
    monkeypatch.setattr(pdf, "set_by", lambda: pdf.SET_BY + b"another template")
    with pytest.raises(FileProblem, match=r"another build of .* It was not compared with anything"):
        check_file(tmp_path / "b.pdf")


def test_neutrality_is_worked_out_only_where_it_is_told(archive_bench, monkeypatch):
    def untold(*_):
        raise AssertionError("nobody reads it")

    monkeypatch.setattr(write_up.neutrality, "neutrality", untold)
    for parts in ("article", "summary"):
        assert write_up.appendix(archive_bench, [1], Choices(parts)).sections
    with pytest.raises(AssertionError):
        write_up.appendix(archive_bench, [1], Choices("neutrality"))
