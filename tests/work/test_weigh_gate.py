"""Readings of regions without a grade appear nowhere in the document of a weighing, the paper included."""

from pathlib import Path

from evaluation.archive import documents, sessions
from evaluation.archive.connection import open_archive
from evaluation.readings.supplied import Supplied
from evaluation.work.bench import Bench
from evaluation.work.describe import begin
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from evaluation.work.weigh.document import document as weighing_document


def test_the_paper_is_hidden_until_its_region_is_graded(finished: Path) -> None:
    strip = finished.with_name("strip.txt")
    with open_archive(finished) as archive:
        bench = Bench(archive)
        _, content = _source(bench)
        strip.write_bytes(content)
        ungraded = begin.begin_like(bench, 6).id
        what = read.preview(bench, ungraded, strip, Supplied(printed_as="managed"))
        read.take_in(bench, ungraded, what)
        hidden = weighing_document(weigh.weigh(bench, ungraded))
        graded = weighing_document(weigh.weigh(bench, 6))
    assert hidden["paper"] is None and hidden["print_step"] is None
    assert all(region["instrument"] is None and not region["steps"] for region in hidden["regions"])
    assert graded["paper"] is not None


def _source(bench: Bench) -> tuple[str, bytes]:

    run = read.taken_in(bench, sessions.load(bench.archive, 6))[0].run
    assert run.source_digest
    return documents.fetch(bench.archive, run.source_digest)
