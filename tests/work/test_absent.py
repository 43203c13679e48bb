"""A region that a print lacks is asked for no more, weighs nothing, and is said in what is written up."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.errors import UsageProblem
from evaluation.session import PrintingCondition
from evaluation.work import home, log
from evaluation.work.bench import Bench, drawn_sheet_of, sheet_of
from evaluation.work.compare import compare
from evaluation.work.compare.pairs import fields_digest
from evaluation.work.describe import begin, fields
from evaluation.work.look import look
from evaluation.work.weigh import weigh
from evaluation.work.write_up import write_up


@pytest.fixture
def bench(finished: Path) -> Iterator[Bench]:
    with open_archive(finished) as archive:
        yield Bench(archive)


def test_its_patches_stay_and_belong_to_no_region(bench: Bench) -> None:
    session = look.absent(bench, 1, "skin").session
    whole, sheet = drawn_sheet_of(bench, session), sheet_of(bench, session)
    assert [region.id for region in sheet.absent] == ["skin"] and "skin" not in {r.id for r in sheet.regions}
    assert [patch.id for patch in sheet.patches] == [patch.id for patch in whole.patches]
    assert not any(patch.region == "skin" for patch in sheet.patches)
    assert sheet_of(bench, session) is sheet, "made once"


def test_it_counts_nowhere_and_comes_back_whole(bench: Bench) -> None:
    before = weigh.weigh(bench, 1)
    regions = home.heads(bench)[-1].summary.regions
    look.absent(bench, 1, "picture")
    found = weigh.weigh(bench, 1)
    assert {one.region for one in before.findings} - {one.region for one in found.findings} == {"picture"}
    assert home.heads(bench)[-1].summary.regions == regions - 1
    look.absent(bench, 1, "picture", False)
    again = weigh.weigh(bench, 1)
    assert [one.eye for one in again.findings] == [one.eye for one in before.findings]


def test_a_verdict_that_rests_on_it_says_that_it_is_not_there(bench: Bench) -> None:
    look.absent(bench, 1, "skin")
    verdict = weigh.weigh(bench, 1).verdicts["portrait"]
    assert (
        verdict.verdict == "incomplete"
        and "Key regions missing from this sheet: skin tones" in verdict.reasons[0]
    )


@pytest.mark.long
def test_the_print_is_of_the_same_sheet_all_the_same(bench: Bench) -> None:
    one = look.absent(bench, 1, "skin").session
    assert fields_digest(sheet_of(bench, one)) == fields_digest(drawn_sheet_of(bench, one))
    matrix = compare.worked_out(bench, (1, 6))
    reasons = {one.region: one.reason for one in matrix.differences[1, 6]}
    assert reasons["neutral"] != "another sheet" and reasons["saturation"] != "another sheet"


def test_it_goes_with_a_session_that_is_begun_like_this_one(bench: Bench) -> None:
    look.absent(bench, 1, "picture")
    assert begin.begin_like(bench, 1).condition.absent == ("picture",)


def test_a_region_of_the_sheet_before_is_not_carried_on(bench: Bench) -> None:
    session = begin.begin(bench, PrintingCondition(paper="rag", absent=("skin",)), {})
    mono = fields.say_field(bench, session.id, "made_for", "black and white").session
    assert mono.condition.absent == ("skin",) and sheet_of(bench, mono).absent == ()
    assert begin.begin_like(bench, mono.id).condition.absent == ()


@pytest.mark.long
def test_the_appendix_says_so(bench: Bench) -> None:
    look.absent(bench, 1, "picture")
    assert "not on this print: Your own picture" in write_up.as_text(write_up.appendix(bench, (1,)))


def test_what_is_not_on_the_map_cannot_be_lacking(bench: Bench) -> None:
    with pytest.raises(UsageProblem, match="no region “moon”"):
        look.absent(bench, 1, "moon")
    assert sessions.load(bench.archive, 1) == log.session(bench, 1)
