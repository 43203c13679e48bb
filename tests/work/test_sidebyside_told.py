"""Rounds that ended, as rulers, tables and a section of the appendix; the demo's, and one's own."""

import shutil
from dataclasses import replace
from io import BytesIO
from random import Random

import pytest

from evaluation.appendix.drawing import figures
from evaluation.appendix.drawing.marks import overlaps
from evaluation.archive import health, rounds
from evaluation.archive.connection import open_archive
from evaluation.errors import UsageProblem
from evaluation.rounds import odd_of
from evaluation.telling import side_by_side_tables as tables
from evaluation.telling import triangle as words
from evaluation.telling.jnd_ruler import APART, OTHERS, THESE, jnd_ruler
from evaluation.work.bench import Bench
from evaluation.work.compare import compare
from evaluation.work.sidebyside import document as beside_document
from evaluation.work.sidebyside import pages, sidebyside, triangle
from evaluation.work.write_up import write_up
from tui.screens.sidebyside import ruler
from tui.widgets.lines import texts


@pytest.fixture
def at(demo_archive, tmp_path):
    shutil.copy(demo_archive, tmp_path / "archive.db")
    with open_archive(tmp_path / "archive.db") as archive:
        yield Bench(archive)


def test_a_ruler_has_the_better_one_first_and_both_intervals(at):
    shadow, skin = sidebyside.result(at, (1, 4, 5)).regions
    figure = jnd_ruler(shadow)
    assert figure.row_names == ("1 over 4", "1 over 5", "5 and 4")
    apart = figure.lines[0]
    assert apart.name == APART and all(x >= 0 for x in apart.x)
    assert apart.told == ("2.0 (0.4 to 5.8)", "1.2 (0.3 to 2.1), these eyes", "not told apart")
    for row in range(3):
        these, others = (
            next(line.x for line in figure.lines if line.name == name and line.y[0] == row)
            for name in (THESE, OTHERS)
        )
        assert others[0] < these[0] < apart.x[row] < these[1] < others[1]
    cells = texts(ruler.ruler(figure, 78))
    assert cells[0].split() == ["-1", "0", "1", "2", "3", "4"]
    assert cells[1].startswith("  1 over 4 ") and cells[1].endswith("2.0 (0.4 to 5.8)")
    assert "●" in cells[1] and "━" in cells[1] and "┼" not in cells[1]  # 0 is outside
    assert "┼" in cells[3] and all(len(row) <= 78 for row in cells)
    for wide in (None, figures.PHONE):
        drawn = figures.drawn(figure, wide)
        assert not overlaps(drawn) and {"1 over 4", "not told apart"} <= {one.text for one in drawn.words}
    assert jnd_ruler(skin).alt.count(";") == 2


def test_too_few_and_too_far_stand_without_a_figure(at):
    for region, times in (("detail", 3), ("skin", 12)):
        (one,) = sidebyside.begin(at, (1, 4), observer="x", regions=(region,), times=times, random=Random(1))
        while one.next is not None:
            left, _ = (one.prints[letter] for letter in one.shown[one.next])
            one = sidebyside.answer(at, one, "left" if left == 4 else "right")
    few, far = map(jnd_ruler, sidebyside.result(at, (1, 4)).regions)
    assert few.lines[0].x == () and len(few.lines) == 1 and "too few" in few.notes[0][1]
    assert texts(ruler.ruler(few, 78))[1].endswith("too few")
    assert far.lines[0].told == ("more than 2",) and far.lines[0].x == (2.0,) and len(far.lines) == 1


def test_compare_hears_rounds_in_which_other_prints_lay_as_well(at):
    beside = compare.at_once(at, (5, 4)).beside
    assert beside == (
        "Shadow detail, in rounds with session 1: 5 and 4: not told apart.",
        "Skin tones, in rounds with session 1: 4 better than 5 to these eyes by about 1.0 JND (0.2 to 1.8), "
        "not surely to others.",
        "Judged by 2 observers; intervals of 95 %, for these eyes alone.",
    )
    assert compare.at_once(at, (5, 4, 3)).beside == beside and compare.at_once(at, (4, 3)).beside == ()
    assert not any("in rounds with" in line for line in compare.at_once(at, (1, 4, 5)).beside)


@pytest.mark.long
def test_the_appendix_says_how_it_was_done_and_what_it_cannot_tell(at):
    document = write_up.appendix(at, (1, 4, 5), write_up.Choices("article"))
    (section,) = (one for one in document.sections if one.title == "Side by side under letters")
    text = str(section)
    assert "72 judgements by 2 observers, 8 of them “no difference”" in text
    assert "('Shadow detail', '1 and 4', '12', '0', '0')" in text and "What this cannot tell" in text
    first = str(document.sections[0])  # which is better; by how much stands on the ruler alone
    assert "Shadow detail: 1 better than 4; 1 better than 5 to these eyes; 5 and 4: not told apart." in first
    assert "JND" not in first
    whole = [str(one) for one in write_up.appendix(at, (1, 4, 5), write_up.Choices("whole")).sections]
    annexe = next(k for k, one in enumerate(whole) if "Section(id='annexe'" in one)
    for behind in ("The rounds and their letters", "The letters were opened after the last answer."):
        assert behind not in text and any(behind in one for one in whole[annexe:])
    rounds = tables.letters(sidebyside.result(at, (1, 4, 5)))
    assert len(rounds.rows) == 4 and all(
        "session 5" in row[4] and row[5] == "18 of 18" for row in rounds.rows
    )
    alone = write_up.appendix(at, (4,), write_up.Choices("article"))
    assert any(one.title == section.title for one in alone.sections)
    others = write_up.appendix(at, (1, 2), write_up.Choices("article"))
    assert all(one.title != section.title for one in others.sections)


def test_a_print_tells_what_it_lay_side_by_side_with(at):
    found = tables.beside_it(sidebyside.of_prints(at, (4,)), 4)
    assert found[0].startswith(
        "Side by side with sessions 1 and 5, under letters, shadow detail: 1 better than 4 by about 2.0 JND"
    )
    assert "5 and 4: not told apart" in found[0] and "1 better than 5" not in found[0]
    assert sidebyside.of_prints(at, (2,)) == ()


def test_a_triangle_test_says_what_it_shows_and_what_it_would_have_missed(at):
    order = triangle.drawn(at, (1, 4), 15, Random(1))
    assert len(order) == 15 and {len(set(row)) for row in order} == {2}
    table = words.layout(order)
    for row in table.rows:
        assert row[1:4].count(row[1 + ("left", "middle", "right").index(row[4])]) == 1
    told = words.before(15)[1]
    assert "Of 15 triangles 9 right show a difference" in told and "with 10 right in 1 %" in told
    assert words.told(15, 9)[0].startswith(
        "9 of 15 right: there is something to see. Guessing gets there in 5 %"
    )
    assert "1 % at most" in words.told(15, 10)[0]
    assert "That is not “alike”" in words.told(6, 4)[0] and "would miss it in 65 %" in words.told(6, 4)[0]
    for ids, many, said in (((1, 4, 5), 15, "two prints"), ((1, 4), 4, "5 to 60"), ((1, 2), 9, "one sheet")):
        with pytest.raises(UsageProblem, match=said):
            triangle.drawn(at, ids, many)
    with pytest.raises(UsageProblem, match="0 to 9 right"):
        triangle.refuse_answers(9, 10)


@pytest.mark.long
def test_triangles_are_kept_and_added_up_over_observers_everywhere_they_belong(at):
    for observer, wrong in (("booth 1", 3), ("booth 2", 4)):
        one = triangle.begin(at, (4, 1), observer=observer, region="skin", count=9, random=Random(3))
        with pytest.raises(UsageProblem, match=f"{observer} has 0 of 9 answered"):
            triangle.begin(at, (1, 4), observer=observer, region="skin", count=9)
        result = sidebyside.result(at, (1, 4))
        assert result.triangles == () or observer == "booth 2"
        told = beside_document.document(result, {"skin": "Skin tones"})["told"]
        assert told[0] == f"Skin tones, {observer}: 0 of 9 triangles answered."
        while one.next is not None:
            odd = odd_of(one.shown[one.next])
            one = triangle.answer(at, one, odd if one.next >= wrong else "left" if odd != "left" else "right")
        assert one.right == 9 - wrong and triangle.take_back(at, one) == one
        with pytest.raises(UsageProblem, match="has all of its answers"):
            triangle.answer(at, one, "left")
    for wrong, said in (
        ({"region": "sky"}, "a region: neutral"),
        ({"count": 4}, "5 to 60"),
        ({"ids": (1, 1)}, "session 1 twice"),
    ):
        with pytest.raises(UsageProblem, match=said):
            triangle.begin(at, **{"ids": (1, 4), "observer": "x", "region": "skin", "count": 9} | wrong)
    found = sidebyside.result(at, (1, 4, 5))
    (skin,) = found.triangles
    assert (skin.triangles, skin.right, skin.observers, skin.seen) == (18, 11, ("booth 1", "booth 2"), True)
    said = "Skin tones, triangles of 1 and 4 by 2 observers. 11 of 18 right: there is something to see."
    assert any(line.startswith(said) for line in beside_document.told(found))
    as_json = beside_document.document(found, {})["triangles"]
    assert as_json[0]["right"] == 11 and as_json[0]["something_to_see"]
    assert any(line.startswith(said) for line in compare.at_once(at, (1, 4)).beside)
    assert tables.beside_it(sidebyside.of_prints(at, (4,)), 4)[-1].startswith(said)
    document = write_up.appendix(at, (1, 4), write_up.Choices("article"))
    beside = [one for one in document.sections if one.id.startswith("side-by-side")]
    assert [one.title for one in beside] == [
        "Side by side under letters: sessions 1, 4 and 5",
        "Triangles of three sheets: sessions 1 and 4",
    ]
    (detail,) = sidebyside.begin(at, (1, 5), observer="x", regions=("detail",), times=6)
    while detail.next is not None:
        detail = sidebyside.answer(at, detail, "none")
    both = str(write_up.appendix(at, (1, 5), write_up.Choices("article")).sections)
    for once in ("at 1 JND 75 % name the better one", "What this cannot tell"):
        assert both.count(once) == 1
    assert said in str(beside[1]) and words.ONLY in str(beside[1])
    assert health.check(at.archive).sound
    pypdf = pytest.importorskip("pypdf")
    page = (
        pypdf.PdfReader(BytesIO(pages.triangles(one, "Skin tones", {1: "Rag *300*"}))).pages[0].extract_text()
    )
    assert page.count("session 1") + page.count("session 4") == 27 and "Rag *300*" in page


def test_three_at_a_time_the_best_first_then_the_better_of_the_other_two(at):
    with pytest.raises(UsageProblem, match="4 prints for three at a time"):
        sidebyside.begin(at, (1, 4, 5), observer="x", regions=("skin",), at_once=3)
    (one,) = sidebyside.begin(
        at, (1, 4, 5, 6), observer="x", regions=("detail",), times=4, at_once=3, random=Random(3)
    )
    assert len(one.shown) == 12 and len(one.pairs) == 36 and rounds.load(at.archive, one.id) == one
    left, middle, right = one.three_at_once
    after = sidebyside.best_of_three(at, one, middle)
    assert after.answers == {0: "right", 2: "left"} and after.three_at_once is None
    assert after.next == 1 and after.pairs[1] == (left, right)  # what is left of them is a pair
    after = sidebyside.answer(at, after, "right")
    assert after.three_at_once == one.shown[1] and len(after.answers) == 3
    assert sidebyside.take_back(at, after).answers == {0: "right", 2: "left"}
    assert sidebyside.take_back(at, rounds.load(at.archive, one.id)).answers == {}
    after = sidebyside.best_of_three(at, rounds.load(at.archive, one.id), "")
    assert after.answers == dict.fromkeys(range(3), "none")
    after = sidebyside.take_back(at, after)
    assert after.answers == {}
    with pytest.raises(UsageProblem, match="one of three"):
        sidebyside.best_of_three(at, after, next(iter(set(one.prints) - set(one.shown[0]))))
    while after.next is not None:
        if after.three_at_once:
            after = sidebyside.best_of_three(
                at, after, min(after.three_at_once, key=after.prints.__getitem__)
            )
        else:
            a, b = (after.prints[letter] for letter in after.pairs[after.next])
            after = sidebyside.answer(at, after, "left" if a < b else "right")
    found = sidebyside.result(at, (1, 4, 5, 6))
    (detail,) = (one for one in found.regions if 6 in one.prints)
    assert not detail.circles and all(one.by > 0 for one in detail.apart) and detail.ties == 0
    assert all(4 <= one.judgements <= 12 for one in detail.apart) and sum(map(sum, detail.wins)) == 36
    assert "under letters, three at a time, in" in tables.lead(replace(found, regions=(detail,)))
    assert "under letters, two at a time, in" in tables.lead(sidebyside.result(at, (1, 4, 5)))
    assert "(triplets, ISO 20462-2)" in " ".join(tables.design(replace(found, regions=(detail,))))
