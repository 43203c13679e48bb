"""In which order prints stand for a use: only as far as their grades give one."""

from itertools import combinations
from typing import Any

import pytest

from evaluation.judgement.matrix import Matrix, PrintColumn, RegionRow, pair
from evaluation.judgement.standing import better, ranked
from evaluation.judgement.two_prints import Difference
from evaluation.session import PrintingCondition
from evaluation.telling.comparison import in_order
from evaluation.telling.difference import eye_word, reading_word

ROWS = (RegionRow("skin", "Skin tones", "skin", 4), RegionRow("shadow", "Shadow detail", "shadow", 2))


def matrix(
    grades: dict[int, tuple[float, float]], words: dict[tuple[int, int, str], str] | None = None
) -> Matrix:
    """Prints by their grades of skins and shadows; a grade apart or more is beyond what viewings vary by."""
    differences = {}
    for a, b in combinations(sorted(grades), 2):
        found = []
        for place, row in enumerate(ROWS):
            first, second = grades[a][place], grades[b][place]
            change = second - first
            word: Any = "by grade" if abs(change) >= 1 else "open" if change else "alike"
            word = (words or {}).get((a, b, row.id), word)
            found.append(
                Difference(row.id, a, b, change, False, word, graded=(first, second), viewings=(1, 1))
            )
        differences[pair(a, b)] = tuple(found)
    columns = tuple(PrintColumn(one, PrintingCondition(), {}, {}) for one in grades)
    weights = {"general": {"skin": 2.0, "shadow": 1.0}}
    return Matrix(min(grades), ROWS, columns, differences, weights, coverage=0.5)


def test_prints_that_do_not_differ_by_enough_share_a_place() -> None:
    table = matrix({1: (3, 3), 2: (5, 5), 3: (5, 4.6), 4: (2, 2)})
    assert ranked(table, "general") == ((2, 3), (1,), (4,))
    assert in_order(table, "general") == (
        "In order for general use: 2 and 3, then 1, then 4. No order within 2 and 3."
    )


def test_a_print_that_is_better_here_and_worse_there_has_no_place() -> None:
    table = matrix({1: (5, 3), 2: (3, 5)})
    assert better(table, 1, 2, "general") == (("skin tones",), ("shadow detail",))
    assert better(table, 2, 1, "general") == (("shadow detail",), ("skin tones",))
    assert ranked(table, "general") == ((1, 2),)
    assert in_order(table, "general") == (
        "No order for general use: 1 is better in skin tones, 2 in shadow detail."
    )


def test_one_in_between_takes_both_neighbours_into_its_group() -> None:
    """2 differs by enough from neither; 1 and 3 differ. No step between them can be said."""
    table = matrix({1: (5, 5), 2: (4.5, 4.5), 3: (4, 4), 4: (2, 2)})
    assert ranked(table, "general") == ((1, 2, 3), (4,))


@pytest.mark.parametrize("word", ["contradict", "not comparable"])
def test_what_cannot_be_said_gives_no_order(word: str) -> None:
    said = {(1, 2, "skin"): word, (1, 2, "shadow"): word}
    table = matrix({1: (5, 5), 2: (3, 3)}, said)
    assert better(table, 1, 2, "general") is None
    assert in_order(table, "general") == "No order for general use: too little is known of 1 and 2."


def test_a_use_that_weighs_nothing_of_it_gives_no_order_and_before_all_are_compared_nothing_is_said() -> None:
    table = matrix({1: (5, 5), 2: (3, 3)})
    assert ranked(table, "portrait") == ((1, 2),)
    missing = Matrix(1, ROWS, table.columns, {}, table.weights, 0.5)
    assert ranked(missing, "general") is None and in_order(missing, "general") == ""


@pytest.mark.parametrize(
    ("graded", "word", "told"),
    [
        ((5.0, 4.0), "open", "1.0 lower?"),  # told as different, though one viewing each varies that much
        ((5.0, 3.0), "by grade", "2.0 lower"),
        ((3.0, 5.0), "apart", "2.0 higher"),
        ((4.0, 4.0), "large", "alike"),
        ((), "large", ""),
    ],
)
def test_the_eye_s_word_is_of_its_grades_alone(graded: tuple[float, ...], word: Any, told: str) -> None:
    assert eye_word(Difference("skin", 1, 2, None, True, word, graded=graded, viewings=(1, 1))) == told


@pytest.mark.parametrize(
    ("read", "beyond", "word", "told"),
    [
        (True, True, "large", "large"),
        (True, True, "apart", "measured"),
        (True, False, "by grade", "alike"),
        (False, False, "by grade", ""),
    ],
)
def test_the_readings_word_is_of_the_readings_alone(read: bool, beyond: bool, word: Any, told: str) -> None:
    assert reading_word(Difference("skin", 1, 2, None, beyond, word, read=read)) == told
