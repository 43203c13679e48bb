"""A comparison in words, on matrices made by hand: groups, sentences, order, other programs' forms."""

import csv
import io
from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluation.judgement import standing
from evaluation.judgement.matrix import Matrix, PrintColumn, RegionRow, Value, pair, turned
from evaluation.judgement.two_prints import Difference, Word
from evaluation.session import PrintingCondition
from evaluation.telling import comparison as compare_words
from evaluation.telling import difference
from evaluation.work.compare import document, order

ROWS = (
    RegionRow("neutral", "Neutral greyscale", "neutral", 1),
    RegionRow("skin", "Skin tones", "skin", 4),
    RegionRow("detail", "Fine detail", "detail", 7),
)
WEIGHTS = {"general": {"neutral": 4.0, "skin": 1.0}, "landscape": {"detail": 1.0}}
Told = Mapping[tuple[int, int], Mapping[str, Word]]


def matrix(
    told: Told,
    ids: tuple[int, ...] = (1, 2, 3),
    reason: str = "eye and readings disagree in session 2",
    coverage: float = 0.8,
    **conditions: PrintingCondition,
) -> Matrix:
    """Pairs are alike in all rows but those told; `s2=...` gives session 2 its printing condition."""
    differences = {
        pair(a, b): tuple(
            Difference(
                row.id,
                a,
                b,
                0.0,
                False,
                told.get((a, b), {}).get(row.id, "alike"),
                reason if told.get((a, b), {}).get(row.id) == "not comparable" else "",
                (4.0, 4.0),
                (1, 1),
                True,
            )
            for row in ROWS
        )
        for a, b in combinations(ids, 2)
    }
    columns = tuple(
        PrintColumn(
            one,
            conditions.get(f"s{one}", PrintingCondition(paper=f"Paper {one}", printer="Merrowby 24")),
            {row.id: Value(4.0 - one / 10, 4.0, 4.0, "agree") for row in ROWS},
            {"general": "accepted"},
            hours=12.0 * one,
        )
        for one in ids
    )
    return Matrix(ids[0], ROWS, columns, differences, WEIGHTS, coverage)


def test_prints_that_are_alike_are_one_group() -> None:
    assert standing.groups(matrix({}), "general") == ((1, 2, 3),)


def test_a_large_difference_in_a_region_of_the_use_keeps_them_apart() -> None:
    made = matrix({(1, 3): {"skin": "large"}, (2, 3): {"neutral": "large"}})
    assert standing.groups(made, "general") == ((1, 2), (3,))
    assert standing.groups(made, "landscape") == ((1, 2, 3),)


def test_a_measured_difference_keeps_nothing_apart() -> None:
    assert standing.groups(matrix({(1, 2): {"skin": "measured"}}), "general") == ((1, 2, 3),)


def test_a_print_between_two_others_stands_with_each() -> None:
    assert standing.groups(matrix({(1, 3): {"skin": "large"}}), "general") == ((1, 2), (2, 3))


def test_thirty_prints_in_pairs_are_fifteen_groups() -> None:
    ids = tuple(range(1, 31))
    far: Told = {(a, b): {"skin": "large"} for a, b in combinations(ids, 2) if (a - 1) // 2 != (b - 1) // 2}
    found = standing.groups(matrix(far, ids), "general")
    assert found is not None and len(found) == 15
    assert found[:2] == ((1, 2), (3, 4))


def test_prints_of_which_too_little_could_be_compared_are_not_called_alike() -> None:
    """Another sheet, say: skin tones alone are a fifth of the weight of the use."""
    made = matrix({(1, 3): {"neutral": "not comparable"}, (2, 3): {"neutral": "not comparable"}})
    assert standing.groups(made, "general") == ((1, 2), (3,))
    assert compare_words.sentences(made, "general")[1:-1] == (
        "Too little could be compared: 1 and 3; 2 and 3 (eye and readings disagree in session 2).",
    )


def test_how_much_must_be_compared_is_the_users_setting() -> None:
    """A fifth of the weight could be compared: too little as shipped, enough for a coverage of 0.1."""
    told: Told = {(1, 3): {"neutral": "not comparable"}}
    found = [standing.between(made, 1, 3, "general") for made in (matrix(told), matrix(told, coverage=0.1))]
    assert [one and one.standing for one in found] == ["unknown", "open"]


def test_no_groups_before_all_were_compared() -> None:
    made = matrix({})
    part = Matrix(
        made.base,
        ROWS,
        made.columns,
        {(1, 2): made.differences[1, 2], (1, 3): made.differences[1, 3]},
        WEIGHTS,
        0.8,
    )
    assert standing.groups(part, "general") is None
    assert compare_words.sentences(part, "general") == (
        "Sessions 1 and 2 are alike for general use, as far as looked and read; printed with another paper "
        "(Paper 1, Paper 2).",
        "Sessions 1 and 3 are alike for general use, as far as looked and read; printed with another paper "
        "(Paper 1, Paper 3).",
        "Nobody has looked at them side by side.",
    )


def test_sentences_name_what_differs_and_how_surely() -> None:
    made = matrix(
        {
            (1, 2): {"skin": "measured"},
            (1, 3): {"neutral": "large"},
            (2, 3): {"neutral": "large", "skin": "apart"},
        }
    )
    assert compare_words.sentences(made, "general") == (
        "Sessions 1 and 2 show no difference large enough to be seen for general use, as far as looked and "
        "read; printed with another paper (Paper 1, Paper 2). Measured: skin tones.",
        "1 and 3 differ for general use measurably, by enough to be seen, in neutral greyscale.",
        "2 and 3 differ measurably, by enough to be seen, in neutral greyscale; and to eye and readings in "
        "skin tones.",
        "Nobody has looked at them side by side.",
    )


def test_prints_on_other_sheets_are_not_comparable_and_not_told_apart() -> None:
    """Every pair is of another sheet: nothing follows of how they differ."""
    other: Mapping[str, Word] = {row.id: "not comparable" for row in ROWS}
    made = matrix(dict.fromkeys(combinations((1, 2, 3), 2), other), reason="another sheet")
    assert compare_words.sentences(made, "general") == (
        "Not comparable: 1 and 2; 1 and 3; 2 and 3 (another sheet).",
        "Nobody has looked at them side by side.",
    )


def test_a_use_that_the_sheets_do_not_hold_is_not_blamed_on_a_region() -> None:
    other: Mapping[str, Word] = {"detail": "not comparable"}
    made = matrix({(1, 2): other}, (1, 2))
    made = replace(made, weights={"general": {"detail": 1.0, "mono_neutral": 4.0}})
    assert compare_words.sentences(made, "general")[0] == (
        "Not comparable: 1 and 2 (their sheets have too little of what this use weighs)."
    )


EVERY: tuple[Word, ...] = (
    "alike",
    "measured",
    "large",
    "by grade",
    "apart",
    "contradict",
    "open",
    "not comparable",
)


@given(st.lists(st.lists(st.sampled_from(EVERY), min_size=3, max_size=3), min_size=6, max_size=6))
def test_no_words_ever_say_that_prints_were_told_apart_by_eye(cells: list[list[Word]]) -> None:
    """Whatever was read and graded of four prints: nobody put two of them side by side."""
    pairs = combinations((1, 2, 3, 4), 2)
    told = {
        each: dict(zip(("neutral", "skin", "detail"), row, strict=True))
        for each, row in zip(pairs, cells, strict=True)
    }
    made = matrix(told, (1, 2, 3, 4))
    said = [
        compare_words.review(made, "general"),
        *compare_words.separators(made, "general"),
        compare_words.LEGEND,
    ]
    said += [difference.reason(one, one.region) for found in made.differences.values() for one in found]
    text = " ".join(said)
    assert "told apart" not in text and "visibl" not in text.lower() and "by eye for" not in text
    assert "Nobody has looked at them side by side." in text
    for a, b in told:  # each pair stands in exactly one kind of sentence
        found = standing.between(made, a, b, "general")
        assert found is not None
        differs = [line for line in compare_words.sentences(made, "general") if " differ " in line]
        assert found.standing != "apart" or differs
        if found.standing == "unknown":
            assert "ompar" in " ".join(compare_words.sentences(made, "general"))


def test_a_print_graded_beside_another_is_told_as_that() -> None:
    made = matrix({}, (1, 2))
    columns = (made.columns[0], replace(made.columns[1], beside=frozenset({1})))
    assert compare_words.sentences(replace(made, columns=columns), "general")[-1] == (
        "Session 2 was graded with 1 beside it; no other was looked at side by side."
    )


@pytest.mark.parametrize(
    ("word", "read", "graded", "said"),
    [
        ("alike", True, (4.0, 4.0), "alike as far as looked and read"),
        ("alike", True, (), "alike in the readings alone"),
        (
            "alike",
            False,
            (4.0, 4.0),
            "alike by eye alone, graded 4 and 4 from one viewing each",
        ),
        (
            "open",
            True,
            (4.0, 3.0),
            "graded 4 and 3 from one viewing each; viewings vary that",
        ),
        (
            "large",
            True,
            (4.0, 4.0),
            "most in hue of skin; graded 4 and 4 from one viewing each, not",
        ),
        ("by grade", False, (5.0, 3.0), "no reading of both to compare"),
        ("by grade", True, (5.0, 3.0), "the readings alike: a fault they do not see?"),
        ("contradict", True, (5.0, 3.0), "eye and readings contradict each other"),
    ],
)
def test_a_cell_is_worded_from_readings_and_grades(
    word: Word, read: bool, graded: tuple[float, ...], said: str
) -> None:
    reason = "skin hue" if word in ("large", "contradict") else ""
    cell = Difference("skin", 1, 2, -1.0, True, word, reason, graded, (1,) * len(graded), read)
    assert said in difference.reason(cell, "Skin tones")


def test_a_cell_seen_from_the_other_print_turns_its_grades_too() -> None:
    cell = Difference("skin", 1, 2, -1.0, False, "open", "", (5.0, 4.0), (2, 1), True)
    assert difference.reason(turned(cell), "Skin tones") == (
        "Skin tones, session 1 against 2: graded 4 and 5 from 1 and 2 viewings; viewings vary that much, "
        "look side by side."
    )


def test_sentences_name_what_was_not_compared() -> None:
    made = matrix({(1, 2): {"skin": "not comparable"}}, (1, 2))
    assert "Not compared: skin tones." in compare_words.sentences(made, "general")[0]


def test_one_change_between_the_prints_of_a_group_is_named() -> None:
    sorts = {
        f"s{one}": PrintingCondition(paper="Lustre 247", printer="Merrowby 24", quality=f"{one} of 5")
        for one in (1, 2)
    }
    sentence = compare_words.sentences(matrix({}, (1, 2), **sorts), "landscape")[0]
    assert sentence.endswith("and read; printed with another quality setting (1 of 5, 2 of 5).")


def test_what_would_settle_more_is_said_by_what_is_in_the_way() -> None:
    assert (
        compare_words.separators(matrix({(1, 2): {"skin": "not comparable"}}, (1, 2)), "general")[0]
        == "Settle skin tones of session 2 in Weigh first."
    )
    assert (
        "look at skin tones of both side by side"
        in compare_words.separators(matrix({(1, 2): {"skin": "measured"}}, (1, 2)), "general")[0]
    )
    assert compare_words.separators(matrix({(1, 2): {"skin": "large"}}, (1, 2)), "general") == ()


def test_the_sentence_for_the_review_names_the_papers() -> None:
    assert compare_words.review(matrix({}, (1, 2)), "general").startswith(
        "Compared: Paper 1 (session 1), Paper 2 (session 2)."
    )


def test_nothing_is_called_better() -> None:
    made = matrix({(1, 3): {"skin": "large"}, (2, 3): {"skin": "large"}})
    text = " ".join((*compare_words.sentences(made, "general"), *compare_words.separators(made, "general")))
    assert not {"better", "best", "worse", "wins"} & set(text.split())


# Order ----------------------------------------------------------------------------------------------------


def sessions(columns: tuple[PrintColumn, ...]) -> list[int]:
    return [column.session for column in columns]


def test_papers_stand_as_asked_by_a_row_or_by_verdict() -> None:
    made = matrix({}, (1, 3, 2))
    assert sessions(order.arranged(made)) == [3, 2]
    assert sessions(order.arranged(made, sort="row", region="skin")) == [2, 3]
    assert sessions(order.arranged(made, sort="verdict", use="general")) == [3, 2]


def test_groups_stand_together_the_bases_own_first() -> None:
    glossy, matt = PrintingCondition(paper="Lustre"), PrintingCondition(paper="Rag")
    made = matrix({}, (1, 2, 3, 4), s1=matt, s2=glossy, s3=matt, s4=glossy)
    assert sessions(order.arranged(made, group="paper")) == [3, 2, 4]


@pytest.mark.parametrize(
    ("hours", "words"),
    [(None, "age not known"), (2, "under a day old"), (50, "1 to 6 days old"), (400, "a week old or more")],
)
def test_ages_are_classes(hours: float | None, words: str) -> None:
    column = PrintColumn(1, PrintingCondition(), {}, {}, hours)
    assert order.label(column, "age") == words


def test_rows_in_which_all_are_alike_may_be_hidden() -> None:
    made = matrix({(1, 2): {"skin": "measured"}})
    assert [row.id for row in order.differing(made)] == ["skin"]


# Other programs -------------------------------------------------------------------------------------------


def test_a_paper_named_like_a_formula_is_text_in_a_spreadsheet() -> None:
    made = matrix({}, (1, 2), s2=PrintingCondition(paper='=HYPERLINK("x")'))
    rows = list(csv.DictReader(io.StringIO(document.as_csv(made))))
    assert len(rows) == len(ROWS) * 2
    assert {row["paper"] for row in rows if row["session"] == "2"} == {'\'=HYPERLINK("x")'}
    assert {row["word"] for row in rows} == {"base", "alike"}


def test_control_characters_of_a_paper_stay_out_of_the_table() -> None:
    made = matrix({}, (1, 2), s2=PrintingCondition(paper="Rag\x1b[2J\r\n9,9"))
    assert "\x1b" not in document.as_csv(made)
