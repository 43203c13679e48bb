"""Taking readings in: the same file is never in twice, or its repeats would pass for repeats of the print."""

from dataclasses import replace
from pathlib import Path

import pytest

from evaluation.archive import documents
from evaluation.archive.connection import open_archive
from evaluation.readings.supplied import Doubtful, Supplied
from evaluation.work.bench import Bench
from evaluation.work.log import session, undo
from evaluation.work.take_in import files, read
from fixtures.printer import icc
from tests.profile.carrying import carrying, table, text_tag

MANAGED = Supplied(printed_as="managed")


@pytest.fixture
def strip(finished: Path) -> Path:
    """The file that is in session 6, under another name."""
    path = finished.with_name("again.txt")
    with open_archive(finished) as archive:
        digest = read.taken_in(Bench(archive), session(Bench(archive), 6))[0].run.source_digest
        assert digest is not None
        path.write_bytes(documents.fetch(archive, digest)[1])
    return path


def test_a_file_that_is_in_takes_its_own_place(finished: Path, strip: Path) -> None:
    with open_archive(finished) as archive:
        bench = Bench(archive)
        before = session(bench, 6).runs
        what = read.preview(bench, 6, strip, Supplied(printed_as="managed", backing="black"))
        assert "The same file is in already; it takes its own place." in what.remarks
        after = read.take_in(bench, 6, what).session.runs
        assert len(after) == len(before) and not after & before
        backings = [taken.run.stated.backing for taken in read.taken_in(bench, session(bench, 6))]
        assert set(backings) == {"black"}


def test_undo_brings_back_what_it_gave_before(finished: Path, strip: Path) -> None:
    with open_archive(finished) as archive:
        bench = Bench(archive)
        before = session(bench, 6).runs
        read.take_in(bench, 6, read.preview(bench, 6, strip, MANAGED))
        undo(bench, 6)
        undo(bench, 6)
        assert session(bench, 6).runs == before


def test_another_file_stands_beside_it(finished: Path, strip: Path) -> None:
    strip.write_text(strip.read_text("utf-8") + "\n", "utf-8")
    with open_archive(finished) as archive:
        bench = Bench(archive)
        before = session(bench, 6).runs
        what = read.preview(bench, 6, strip, MANAGED)
        assert not any("already" in remark for remark in what.remarks)
        assert before < read.take_in(bench, 6, what).session.runs


def test_tables_of_the_same_patches_without_a_condition_are_pointed_out(finished: Path, strip: Path) -> None:
    text = strip.read_text("utf-8")
    strip.write_text("\n".join(row for row in text.splitlines() if "CONDITION" not in row) + "\n", "utf-8")
    table = strip.read_text("utf-8").split("END_DATA\n")[0] + "END_DATA\n"
    with open_archive(finished) as archive:
        bench = Bench(archive)
        strip.write_text(table, "utf-8")
        assert not any("repeats" in remark for remark in read.preview(bench, 6, strip, MANAGED).remarks)
        strip.write_text(table * 3, "utf-8")
        remarks = read.preview(bench, 6, strip, MANAGED).remarks
        assert any(remark.startswith("3 tables hold the same patches and state no") for remark in remarks)


def test_a_file_in_two_sessions_is_said_in_both(finished: Path, strip: Path) -> None:
    with open_archive(finished) as archive:
        bench = Bench(archive)
        assert all("also" not in each.about for each in files.taken_files(bench, session(bench, 6)))
        with pytest.raises(Doubtful, match="another paper"):  # it says Lustre, session 5 is on cold press
            read.preview(bench, 5, strip, MANAGED)
        what = read.preview(bench, 5, strip, replace(MANAGED, anyway=True))
        assert "The same file is in session 6 too; its readings count in each." in what.remarks
        read.take_in(bench, 5, what)
        for here, there in ((5, 6), (6, 5)):
            told = [each.about for each in files.taken_files(bench, session(bench, here))]
            assert any(about.endswith(f", also in session {there}") for about in told), told
        undo(bench, 5)
        assert all("also" not in each.about for each in files.taken_files(bench, session(bench, 6)))


def test_a_profile_with_readings_inside_stands_in_the_list_of_files(tmp_path: Path) -> None:
    sound = (Path(icc.__file__).parents[1] / "profiles" / "brackmoor-rag-fine.icc").read_bytes()
    (tmp_path / "bare.icc").write_bytes(sound)
    (tmp_path / "data.ICM").write_bytes(
        carrying(sound, {b"targ": text_tag(table("SAMPLE_ID LAB_L", [(1, 2)]))})
    )
    (tmp_path / "strip.txt").write_bytes(b"")
    assert {each.path.name for each in files.candidates(tmp_path)} == {"data.ICM", "strip.txt"}
