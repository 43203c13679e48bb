"""What several rooms test with: the demo with all of its evaluations finished, made once."""

import shutil
from pathlib import Path

import pytest

from evaluation.archive.connection import open_archive
from evaluation.readings.supplied import Supplied
from evaluation.sheet.layout import Sheet
from evaluation.work import paper, read
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.say import session
from fixtures import demo


@pytest.fixture(scope="session")
def finished_archive(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo after the ordinary verbs brought sessions 4, 5 and 6 to an end. Not to be written to."""
    path = tmp_path_factory.mktemp("finished") / "demo.db"
    demo.build(path)
    folder = path.parent / "demo-readings"
    with open_archive(path) as archive:
        bench = Bench(archive)
        for number, name in ((6, "lustre-finest-strip"), (4, "rag-fine-dry")):
            what = read.preview(bench, number, folder / f"{name}.txt", Supplied(printed_as="managed"))
            read.take_in(bench, number, what)
        for number, grade in ((5, 3), (6, 4)):
            sheet = sheet_of(bench, session(bench, number))
            form = paper.read_form(quick_form(sheet, grade), "form", sheet)
            paper.record(bench, number, form)
    return path


@pytest.fixture
def finished(finished_archive: Path, tmp_path: Path) -> Path:
    """A copy of it for one test."""
    return Path(shutil.copy(finished_archive, tmp_path / "finished.db"))


def quick_form(sheet: Sheet, grade: int) -> str:
    """A short viewing: every region as a whole, all of one grade."""
    asked = [(region.id, region.whole.id) for region in sheet.regions if region.whole]
    head = '[viewing]\nobserver = "observer 1"\nkind = "quick"\n'
    return head + "".join(f"[{region}]\n{question} = {grade}\n" for region, question in asked)
