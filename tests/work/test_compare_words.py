"""A comparison in words, on matrices made by hand: groups, sentences, order, other programs' forms."""

import csv
import io
from collections.abc import Mapping
from itertools import combinations

import pytest

from evaluation.judgement.compare import Difference, Word
from evaluation.session import PrintingCondition
from evaluation.work import compare_document, compare_order, compare_words
from evaluation.work.compare_matrix import Column, Matrix, Row, Value, pair

ROWS = (
    Row("neutral", "Neutral greyscale", "neutral", 1),
    Row("skin", "Skin tones", "skin", 4),
    Row("detail", "Fine detail", "detail", 7),
)
WEIGHTS = {"general": {"neutral": 4.0, "skin": 1.0}, "landscape": {"detail": 1.0}}
Told = Mapping[tuple[int, int], Mapping[str, Word]]


def matrix(told: Told, ids: tuple[int, ...] = (1, 2, 3), **conditions: PrintingCondition) -> Matrix:
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
                "eye and readings disagree in session 2"
                if told.get((a, b), {}).get(row.id) == "not comparable"
                else "",
            )
            for row in ROWS
        )
        for a, b in combinations(ids, 2)
    }
    columns = tuple(
        Column(
            one,
            conditions.get(f"s{one}", PrintingCondition(paper=f"Paper {one}", printer="Merrowby 24")),
            {row.id: Value(4.0 - one / 10, 4.0, 4.0, "agree") for row in ROWS},
            {"general": "accepted"},
            hours=12.0 * one,
        )
        for one in ids
    )
    return Matrix(ids[0], ROWS, columns, differences, WEIGHTS)


def test_prints_that_are_alike_are_one_group() -> None:
    assert compare_words.groups(matrix({}), "general") == ((1, 2, 3),)


def test_a_visible_difference_in_a_region_of_the_use_parts_them() -> None:
    made = matrix({(1, 3): {"skin": "visible"}, (2, 3): {"neutral": "visible"}})
    assert compare_words.groups(made, "general") == ((1, 2), (3,))
    assert compare_words.groups(made, "landscape") == ((1, 2, 3),)


def test_a_measured_difference_parts_nothing() -> None:
    assert compare_words.groups(matrix({(1, 2): {"skin": "measured"}}), "general") == ((1, 2, 3),)


def test_a_print_between_two_others_stands_with_each() -> None:
    assert compare_words.groups(matrix({(1, 3): {"skin": "visible"}}), "general") == ((1, 2), (2, 3))


def test_thirty_prints_in_pairs_are_fifteen_groups() -> None:
    ids = tuple(range(1, 31))
    far: Told = {(a, b): {"skin": "visible"} for a, b in combinations(ids, 2) if (a - 1) // 2 != (b - 1) // 2}
    found = compare_words.groups(matrix(far, ids), "general")
    assert found is not None and len(found) == 15
    assert found[:2] == ((1, 2), (3, 4))


def test_prints_of_which_too_little_could_be_compared_are_not_called_alike() -> None:
    """Another sheet, say: skin tones alone are a fifth of the weight of the use."""
    made = matrix({(1, 3): {"neutral": "not comparable"}, (2, 3): {"neutral": "not comparable"}})
    assert compare_words.groups(made, "general") == ((1, 2), (3,))
    assert compare_words.sentences(made, "general")[-1] == (
        "Session 3: too little could be compared with others."
    )


def test_no_groups_before_all_were_compared() -> None:
    made = matrix({})
    part = Matrix(
        made.base,
        ROWS,
        made.columns,
        {(1, 2): made.differences[1, 2], (1, 3): made.differences[1, 3]},
        WEIGHTS,
    )
    assert compare_words.groups(part, "general") is None
    assert compare_words.sentences(part, "general") == (
        "Sessions 2 and 3 cannot be told apart from 1 by eye for general use.",
    )


def test_sentences_name_what_only_the_readings_tell() -> None:
    made = matrix(
        {(1, 2): {"skin": "measured"}, (1, 3): {"neutral": "visible"}, (2, 3): {"neutral": "visible"}}
    )
    assert compare_words.sentences(made, "general") == (
        "Sessions 1 and 2 cannot be told apart by eye for general use; they differ in the paper "
        "(Paper 1, Paper 2). In the readings only: skin tones.",
        "Session 3 in neutral greyscale can be told apart from every other.",
    )


def test_sentences_name_what_was_not_compared() -> None:
    made = matrix({(1, 2): {"skin": "not comparable"}}, (1, 2))
    assert "Not compared: skin tones." in compare_words.sentences(made, "general")[0]


def test_one_change_between_the_prints_of_a_group_is_named() -> None:
    sorts = {
        f"s{one}": PrintingCondition(paper="Lustre 247", printer="Merrowby 24", quality=f"{one} of 5")
        for one in (1, 2)
    }
    sentence = compare_words.sentences(matrix({}, (1, 2), **sorts), "portrait")[0]
    assert sentence.endswith("for portraits; they differ in the quality setting (1 of 5, 2 of 5).")


def test_what_would_part_them_is_said_by_what_is_in_the_way() -> None:
    assert (
        "settle skin tones of session 2 in Weigh first"
        in compare_words.separators(matrix({(1, 2): {"skin": "not comparable"}}, (1, 2)), "general")[0]
    )
    assert (
        "both prints side by side"
        in compare_words.separators(matrix({(1, 2): {"skin": "measured"}}, (1, 2)), "general")[0]
    )
    assert compare_words.separators(matrix({(1, 2): {"skin": "visible"}}, (1, 2)), "general") == ()


def test_the_sentence_for_the_review_names_the_papers() -> None:
    assert compare_words.review(matrix({}, (1, 2)), "general").startswith(
        "Compared: Paper 1 (session 1), Paper 2 (session 2)."
    )


def test_nothing_is_called_better() -> None:
    made = matrix({(1, 3): {"skin": "visible"}, (2, 3): {"skin": "visible"}})
    text = " ".join((*compare_words.sentences(made, "general"), *compare_words.separators(made, "general")))
    assert not {"better", "best", "worse", "wins"} & set(text.split())


# Order ----------------------------------------------------------------------------------------------------


def sessions(columns: tuple[Column, ...]) -> list[int]:
    return [column.session for column in columns]


def test_papers_stand_as_asked_by_a_row_or_by_verdict() -> None:
    made = matrix({}, (1, 3, 2))
    assert sessions(compare_order.arranged(made)) == [3, 2]
    assert sessions(compare_order.arranged(made, sort="row", region="skin")) == [2, 3]
    assert sessions(compare_order.arranged(made, sort="verdict", use="general")) == [3, 2]


def test_groups_stand_together_the_bases_own_first() -> None:
    glossy, matt = PrintingCondition(paper="Lustre"), PrintingCondition(paper="Rag")
    made = matrix({}, (1, 2, 3, 4), s1=matt, s2=glossy, s3=matt, s4=glossy)
    assert sessions(compare_order.arranged(made, group="paper")) == [3, 2, 4]


@pytest.mark.parametrize(
    ("hours", "words"),
    [(None, "age not known"), (2, "under a day old"), (50, "1 to 6 days old"), (400, "a week old or more")],
)
def test_ages_are_classes(hours: float | None, words: str) -> None:
    column = Column(1, PrintingCondition(), {}, {}, hours)
    assert compare_order.label(column, "age") == words


def test_rows_in_which_all_are_alike_may_be_hidden() -> None:
    made = matrix({(1, 2): {"skin": "measured"}})
    assert [row.id for row in compare_order.differing(made)] == ["skin"]


# Other programs -------------------------------------------------------------------------------------------


def test_a_paper_named_like_a_formula_is_text_in_a_spreadsheet() -> None:
    made = matrix({}, (1, 2), s2=PrintingCondition(paper='=HYPERLINK("x")'))
    rows = list(csv.DictReader(io.StringIO(compare_document.as_csv(made))))
    assert len(rows) == len(ROWS) * 2
    assert {row["paper"] for row in rows if row["session"] == "2"} == {'\'=HYPERLINK("x")'}
    assert {row["word"] for row in rows} == {"base", "alike"}


def test_control_characters_of_a_paper_stay_out_of_the_table() -> None:
    made = matrix({}, (1, 2), s2=PrintingCondition(paper="Rag\x1b[2J\r\n9,9"))
    assert "\x1b" not in compare_document.as_csv(made)
