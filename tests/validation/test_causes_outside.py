"""Faults outside the printer model: stripes, the wrong side, marks, a harsh eye, a drifting lamp, two."""

from collections import Counter

import pytest

from tests.validation import outside
from tests.validation.draws import LUSTRE
from tests.validation.outside import DOCUMENT, DRAWS, RIGHT, SEEDS, TUNING, Row


@pytest.mark.long
def test_stripes_are_named_and_a_sound_print_names_nothing() -> None:
    assert outside.drawn("even stripes", "four regions", "colour-4", LUSTRE, TUNING).word == "first"
    assert outside.drawn("sound", "four regions", "colour-4", LUSTRE, TUNING).word == "silent"


def test_the_table_counts_first_second_wrong_and_silent() -> None:
    rows = [
        Row("even stripes", "full sheet", LUSTRE, named)
        for named in (("c29",), ("c12", "c29"), ("c12",), ("none",), ())
    ]
    assert [row.word for row in rows] == ["first", "second", "wrong", "silent", "silent"]
    assert "| even stripes | c29 | 1 1 1 2 |" in outside.document(rows)


@pytest.mark.long
def test_the_table_of_faults_outside_the_model() -> None:
    """Writes OUTSIDE.md, then holds it to what is promised."""
    rows = list(outside.drawn_all(SEEDS, DRAWS))
    DOCUMENT.write_text(outside.document(rows), encoding="utf-8")
    words = {fault: Counter(row.word for row in rows if row.fault == fault) for fault in RIGHT}
    assert words["sound"]["wrong"] == 0
    for fault in ("even stripes", "the wrong side", "two faults"):
        assert words[fault]["first"] + words[fault]["second"] >= 0.75 * sum(words[fault].values()), fault
    assert sum(one["wrong"] for one in words.values()) <= 0.1 * len(rows)
