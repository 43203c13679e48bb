"""Prints side by side: rounds are drawn, answered, taken back, opened; what they add up to, in words."""

import shutil
from random import Random

import pytest

from evaluation.archive import health, rounds
from evaluation.archive.connection import open_archive
from evaluation.entry import Draft
from evaluation.errors import SheetProblem, UsageProblem
from evaluation.work.bench import Bench
from evaluation.work.log import say
from evaluation.work.sidebyside import document, form, pages, sidebyside

PRINTS = (1, 5, 6)  # no round of the demo has just these


@pytest.fixture
def at(demo_archive, tmp_path):
    shutil.copy(demo_archive, tmp_path / "archive.db")
    with open_archive(tmp_path / "archive.db") as archive:
        yield Bench(archive)


def begin(at, ids=PRINTS, observer="booth 1", regions=("skin",), times=6, seed=1):
    return sidebyside.begin(at, ids, observer=observer, regions=regions, times=times, random=Random(seed))


def answer_all(at, one, prefer):
    """Every pair by an observer who names the print that `prefer` puts first; None: no difference."""
    while one.next is not None:
        left, right = (one.prints[letter] for letter in one.shown[one.next])
        best = prefer(left, right)
        one = sidebyside.answer(at, one, {left: "left", right: "right"}.get(best, "none"))
    return one


def test_a_round_is_answered_key_by_key_taken_back_and_kept(at):
    (one,) = begin(at)
    assert len(one.shown) == 18 and one.is_open and one.next == 0
    one = sidebyside.answer(at, one, "left")
    one = sidebyside.answer(at, one, "none")
    assert rounds.load(at.archive, one.id) == one and one.next == 2
    one = sidebyside.take_back(at, one)
    assert one.next == 1 and one.answers == {0: "left"}
    assert sidebyside.take_back(at, sidebyside.take_back(at, one)).answers == {}
    assert sidebyside.waiting(at, PRINTS, "booth 1")[0].id == one.id
    assert sidebyside.waiting(at, PRINTS, "booth 2") == sidebyside.waiting(at, (1, 4)) == ()
    born = at.archive.rows(
        "SELECT what, count(*) FROM birth WHERE what IN ('round', 'judgement') GROUP BY what"
    )
    assert born == [("judgement", 72 + 4), ("round", 4 + 1)]  # after the demo's own
    first, second, third = begin(
        at, ids=(4, 5), observer="booth 9", regions=("skin", "detail", "shadow"), seed=3
    )
    assert not set(first.prints) & set(second.prints) and not set(second.prints) & set(third.prints)
    assert health.check(at.archive).sound
    one = answer_all(at, rounds.load(at.archive, one.id), min)
    assert not one.is_open and sidebyside.take_back(at, one) == one
    again = sidebyside.take_back(at, one, unseen=True)  # its letters were not shown yet
    assert again.next == 17 and sidebyside.answer(at, again, "none").next is None
    one = rounds.load(at.archive, one.id)
    with pytest.raises(UsageProblem, match="which has all of its answers"):
        sidebyside.answer(at, one, "left")


def test_what_a_clear_order_adds_up_to_in_words_and_numbers(at):
    """Three people judge alike: six of eight, and of the prints farthest apart seven of eight."""
    people = [begin(at, observer=f"booth {k}", times=8)[0] for k in (1, 2, 3)]

    def judge(one):
        said = {}

        def named(a, b):
            pair = min(a, b), max(a, b)
            said[pair] = times = said.get(pair, 0) + 1
            return pair[1] if times == 4 or (times == 8 and pair != (1, 6)) else pair[0]

        answer_all(at, one, named)

    judge(people[0])
    alone = sidebyside.result(at, PRINTS).regions[0]
    assert "for these eyes alone" in " ".join(document.of_region(alone)) and alone.apart[0].others is None
    for one in people[1:]:
        judge(one)
    found = sidebyside.result(at, PRINTS)
    (skin,) = found.regions
    assert len(skin.observers) == 3 and skin.prints == PRINTS and not skin.circles
    told = document.told(found)
    assert told[0].startswith("Skin tones: ") and "1 better than 6 by about" in told[0]
    assert "to these eyes by about" in told[0] and "not surely to others" in told[0]
    assert "for other eyes too unless these are named" in told[1] and told[-1].startswith("What this cannot")
    as_json = document.document(found, {"skin": "Skin tones"})["regions"][0]["pairs"][1]
    assert as_json["first"] == 1 and as_json["by"] > 0 and as_json["told_apart"]
    low, high = as_json["other_eyes"]
    assert low < as_json["these_eyes"][0] < as_json["by"] < as_json["these_eyes"][1] < high


def test_what_is_too_little_too_much_or_goes_round_is_said_so(at):
    (few,) = begin(at, ids=(1, 4), times=3)
    answer_all(at, few, min)
    assert (
        "1 before 4 in 3 judgements, too few for a figure" in document.told(sidebyside.result(at, (1, 4)))[0]
    )
    (much,) = begin(at, ids=(1, 4), times=12, regions=("detail",))
    answer_all(at, much, max)
    assert "4 better than 1 by more than 2 JND" in " ".join(document.told(sidebyside.result(at, (1, 4))))
    (none,) = begin(at, ids=(4, 5), times=8)
    answer_all(at, none, lambda a, b: None)
    assert "4 and 5: not told apart" in document.told(sidebyside.result(at, (4, 5)))[0]
    after = {1: 4, 4: 6, 6: 1}
    (turning,) = begin(at, ids=(1, 4, 6), regions=("neutral",))
    answer_all(at, turning, lambda a, b: a if after[a] == b else b)
    told = " ".join(document.told(sidebyside.result(at, (1, 4, 6))))
    assert "A circle: 1 over 4, 4 over 6, 6 over 1. Look at these again." in told


def test_letters_that_were_opened_early_end_the_round_and_are_on_record(at):
    (one,) = begin(at)
    one = sidebyside.answer(at, one, "left")
    one = rounds.open_letters(at.archive, one.id, at.now())
    assert not one.is_open and one.opened is not None
    with pytest.raises(UsageProblem, match="opened before its last answer"):
        rounds.judge(at.archive, one.id, 1, "left", at.now())
    told = document.told(sidebyside.result(at, PRINTS))
    assert any("Letters opened before the last answer: round 5" in line for line in told)
    begin(at)  # a new one may follow


def test_while_a_round_waits_nothing_says_which_print_a_letter_is(at):
    (one,) = begin(at)
    text = form.blank_form([one], {"skin": "Skin tones"})
    found = document.document(sidebyside.result(at, PRINTS), {"skin": "Skin tones"})
    assert "session" not in text and found["waiting"][0]["letters"] == sorted(one.prints)
    assert found["regions"] == [] and "prints" not in found["waiting"][0]


def test_a_filled_form_is_recorded_whole_or_not_at_all(at):
    (one,) = begin(at, times=2)
    blank = form.blank_form([one], {"skin": "Skin tones"})
    left = one.shown[0][0]
    full = blank.replace('= ""', '= "0"').replace('1 = "0"', f'1 = "{left.lower()}"', 1)
    for wrong, said in (
        (full.replace('3 = "0"', '3 = ""'), "round_5: 1 pair without an answer, the first is 3"),
        (full.replace('3 = "0"', '3 = "Q"'), "round_5.3: expected"),
        (full.replace("round_5", "round_77"), "unknown round"),
        (full + '99 = "0"\n', "no pair of this round, which has 6"),
        (blank, "every line of the form is blank"),
    ):
        with pytest.raises(SheetProblem, match=said):
            form.record(at, form.read_form(wrong, "form.toml", [one]))
        assert rounds.load(at.archive, one.id).answers == {}
    (after,) = form.record(at, form.read_form(full, "form.toml", [one]))
    assert after.answers == {0: "left"} | dict.fromkeys(range(1, 6), "none")


@pytest.mark.parametrize(
    ("ids", "regions", "times", "said"),
    [
        ((1, 1), ("skin",), 6, "session 1 twice"),
        ((1,), ("skin",), 6, "2 to 6 prints. Found: 1"),
        ((1, 2), ("skin",), 6, "another sheet in session 2"),
        ((1, 4), ("sky",), 6, "a region: neutral"),
        ((1, 4), ("skin",), 41, "each pair 1 to 40 times"),
        (
            (4, 5),
            ("ring", "skin"),
            6,
            "round 5 in skin tones to be ended first. Found: booth 1 has it open, of sessions 4 and 6",
        ),
    ],
)
def test_what_cannot_be_laid_side_by_side_draws_nothing(at, ids, regions, times, said):
    begin(at, ids=(4, 6))
    with pytest.raises(UsageProblem, match=said):
        begin(at, ids=ids, regions=regions, times=times)
    assert at.archive.rows("SELECT count(*) FROM round WHERE id > 4") == [(1,)]


def test_prints_of_two_sizes_are_not_laid_side_by_side(at):
    for session, wide, high in ((1, 420, 594), (4, 594, 841)):
        sizes = {"sheet_width_mm": wide, "sheet_height_mm": high}
        say(at, session, [Draft("condition", name, value) for name, value in sizes.items()])
    with pytest.raises(UsageProblem, match="another size in session 4 than in 1"):
        begin(at, ids=(1, 4))
    assert at.archive.rows("SELECT count(*) FROM round WHERE id > 4") == [(0,)]


def test_the_key_regions_of_the_use_are_judged_where_nobody_names_any(at):
    found = {one.region for one in begin(at, regions=())}
    assert found and found < {"neutral", "skin", "shadow", "highlight", "saturation", "detail", "gradient"}


def test_slips_and_form_are_pages(at):
    pypdf = pytest.importorskip("pypdf")
    from io import BytesIO

    (one,) = begin(at)
    for page, named in ((pages.slips([one], {}, {1: "Rag *300*"}), True), (pages.form([one], {}), False)):
        text = pypdf.PdfReader(BytesIO(page)).pages[0].extract_text()
        assert ("session 1" in text) == named and all(letter in text for letter in one.prints)
        assert ("Rag *300*" in text) == named


def test_compare_tells_prints_apart_by_eye_from_rounds_alone(at):
    from evaluation.telling import comparison
    from evaluation.work.compare import compare

    def last():
        return comparison.sentences(compare.at_once(at, (1, 4)), "general")[-1:]

    (one,) = begin(at, ids=(1, 4), times=12)
    assert not any("under letters" in line for line in last())
    answer_all(at, one, min)
    matrix = compare.at_once(at, (1, 4))
    assert matrix.beside[0] == "Skin tones: 1 better than 4 by more than 2 JND."
    assert comparison._side_by_side(matrix).startswith(
        "Side by side under letters: Skin tones: 1 better than 4"
    )
    regions, whose = compare.at_once(at, (1, 5)).beside[::2], compare.at_once(at, (1, 5)).beside[1::2]
    assert all("in rounds with session 4" in line for line in regions)
    assert set(whose) == {"Judged by 2 observers; intervals of 95 %, for these eyes alone."}
    assert compare.at_once(at, (1, 3)).beside == ()
